"""Stall, spring and the press of squeezers, against examples worked out by hand.

DERIVED examples, to their printed rounding: yoke of 3e5 lbf/in, squeezer of 3000 lbf
at 90 psi that gives all of it from 1/16 in before its end, flat dies.
"""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.engines.squeeze.heads import Metal, gap_of_head_mm
from rivetwright.engines.squeeze.spring import judged_stiffness_n_mm, spring_of
from rivetwright.engines.squeeze.stall import (
    AirPress,
    HandPress,
    Stop,
    Stroke,
    end_force_n,
    press_of,
    stop_of,
)
from rivetwright.model.shop import Squeezer, Tool
from rivetwright.standards.source import Source, Status
from rivetwright.units.force import KPA_PER_PSI, N_PER_LBF

IN = 25.4
LBF, PSI = float(N_PER_LBF), float(KPA_PER_PSI)
K_N_MM = 3e5 * LBF / IN
MM_PER_N = 1 / K_N_MM
SOURCE = Source("made up", "", Status.INVENTED)
AIR = AirPress(3000 * LBF, 90 * PSI, IN / 16, SOURCE)
# Drills of the sizes, FROM MEMORY but that of 1/8.
HOLES = {0.125: 0.1285, 0.15625: 0.159, 0.1875: 0.191}


def metal(shank: float, length: float, grip: float) -> Metal:
    """A rivet of 2117-T4 [in] in a hole that it fills."""
    fill = ((HOLES[shank] / shank) ** 2 - 1) * grip / shank
    volume = (length - grip) / shank - fill
    return Metal(np.array([shank * IN]), np.array([volume]), np.array([1.0]))


def stop(
    shank: float, sixteenths: float, grip: float, aim_d: float, psi: float = 90
) -> Stop:
    """Where the ram stops when the gap aims at a height in diameters."""
    length = sixteenths / 16
    one = metal(shank, length, grip)
    aim = np.array([aim_d * shank * IN])
    gap = float(gap_of_head_mm(aim, grip * IN, one, MM_PER_N)[0])
    stroke = Stroke(gap, grip * IN, one, MM_PER_N, AIR, psi * PSI)
    return stop_of(stroke, length * IN - gap)


def test_sprung_yoke_wants_a_narrower_gap() -> None:
    """1/8 -3.5 in 0.064, head 0.0625: 0.1194 where a rigid tool wants 0.1265."""
    one = metal(0.125, 3.5 / 16, 0.064)
    head = np.array([0.0625 * IN])
    rigid = gap_of_head_mm(head, 0.064 * IN, one, 0.0)
    sprung = gap_of_head_mm(head, 0.064 * IN, one, MM_PER_N)
    assert rigid[0] / IN == pytest.approx(0.1265, abs=5e-5)
    # Printed to four digits from a force that is itself rounded.
    assert sprung[0] / IN == pytest.approx(0.1194, abs=1.1e-4)


@pytest.mark.parametrize("sixteenths", [3.5, 4.0])
def test_eighth_inch_rivets_end_their_stroke(sixteenths: float) -> None:
    """Dash 3.5 and 4 in 0.064, aimed at 0.48 D, need less than 3000 lbf."""
    assert not stop(0.125, sixteenths, 0.064, 0.48).is_stalled


def test_five_thirty_seconds_stalls_inside_its_band() -> None:
    """-4.5 in 0.082 stalls at 0.555 D, 14 mil from the end; 10 aimed at 0.50 D."""
    found = stop(0.15625, 4.5, 0.082, 0.48)
    assert found.head_mm / (0.15625 * IN) == pytest.approx(0.555, abs=5e-4)
    assert found.left_mm / IN == pytest.approx(0.014, abs=5e-4)
    nearer = stop(0.15625, 4.5, 0.082, 0.50)
    assert nearer.left_mm / IN == pytest.approx(0.010, abs=5e-4)


def test_three_sixteenths_stalls_far_off() -> None:
    """-5 in 0.082 stalls at 0.708 D."""
    found = stop(0.1875, 5, 0.082, 0.48)
    assert found.head_mm / (0.1875 * IN) == pytest.approx(0.708, abs=5e-4)


@pytest.mark.parametrize(
    ("psi", "height_d"),
    [(60, 0.754), (70, 0.672), (80, 0.607), (90, 0.555), (100, 0.513), (110, 0.500)],
)
def test_head_by_pressure(psi: float, height_d: float) -> None:
    """5/32 aimed at 0.50 D: the head that each pressure leaves; 110 psi ends it."""
    found = stop(0.15625, 4.5, 0.082, 0.50, psi)
    assert found.head_mm / (0.15625 * IN) == pytest.approx(height_d, abs=5e-4)
    assert found.is_stalled == (psi < 110)


def test_head_that_never_stalls_ends_at_the_gap() -> None:
    """With force to spare the ram comes to its end: nothing left of its travel."""
    found = stop(0.125, 3.5, 0.064, 0.5)
    assert found.left_mm == 0
    assert found.head_mm / IN == pytest.approx(0.0625)


def test_judged_stiffness_falls_with_reach() -> None:
    """4e5 lbf/in up to 1.5 in of reach, 1.2e5 at 4 in, an eighth of that at 8 in."""
    lbf_in = {
        reach: judged_stiffness_n_mm(reach * IN) * IN / LBF for reach in (1, 1.5, 4, 8)
    }
    assert lbf_in[1] == pytest.approx(4e5)
    assert lbf_in[1.5] == pytest.approx(4e5)
    assert lbf_in[4] == pytest.approx(1.2e5)
    assert lbf_in[8] == pytest.approx(1.2e5 / 8)
    assert judged_stiffness_n_mm(None) * IN / LBF == pytest.approx(1.2e5)
    middle = judged_stiffness_n_mm(3 * IN) * IN / LBF
    assert 1.2e5 < middle < 4e5


def test_spring_is_known_where_the_stiffness_is() -> None:
    """A given stiffness is one figure; else nought to the judged."""
    known = spring_of(Tool("Y", "yoke", stiffness_n_mm=50_000.0))
    assert known.is_known
    assert known.low_mm_n == known.mm_n == known.high_mm_n == 1 / 50_000
    judged = spring_of(Tool("Y", "yoke", reach_mm=1.5 * IN))
    assert not judged.is_known
    assert judged.low_mm_n == judged.mm_n == 0
    assert judged.high_mm_n * 4e5 * LBF / IN == pytest.approx(1)


def test_own_end_of_travel_takes_the_place_of_the_assumed_one() -> None:
    """`ends_mm` of the shop file is read, else 1/16 in is assumed and said so."""
    given = press_of(Squeezer("a", force_n=1000.0, pressure_kpa=600.0, ends_mm=2.0))
    assert isinstance(given, AirPress)
    assert (given.ends_mm, given.source.status) == (2.0, Status.READ)
    assumed = press_of(Squeezer("a", force_n=1000.0, pressure_kpa=600.0))
    assert isinstance(assumed, AirPress)
    assert assumed.ends_mm == pytest.approx(1.5875)
    assert assumed.source.status is Status.JUDGEMENT
    assert press_of(Squeezer("a", force_n=1000.0)) is None


def test_end_force_is_in_proportion_to_pressure() -> None:
    """Half the pressure gives half the force; a hand squeezer has no end force."""
    assert end_force_n(AIR, 45 * PSI) == pytest.approx(1500 * LBF)
    assert end_force_n(AIR, None) == pytest.approx(3000 * LBF)
    assert end_force_n(HandPress(100.0, 10.0, 12.7, SOURCE), None) is None
    assert end_force_n(None, None) is None


def test_hand_squeezer_gives_more_the_straighter_it_is() -> None:
    """At 45 degrees, with the ram back, half the lever's force; a quarter of the
    stroke from the end the angle is half: 1 / (2 tan 22.5) of it."""
    press = HandPress(100.0, 10.0, 12.0, SOURCE)
    gives = press.gives_n(np.array([12.0, 3.0]))
    assert gives[0] == pytest.approx(1000 / 2)
    assert gives[1] == pytest.approx(1000 / (2 * np.tan(np.radians(22.5))))
