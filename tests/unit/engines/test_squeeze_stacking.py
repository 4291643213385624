"""Dies, pins and shims: which combinations there are, and which one is put in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rivetwright.engines.squeeze.change import least_change, swap
from rivetwright.engines.squeeze.choosing import Asked, Chosen, Rule, choose
from rivetwright.engines.squeeze.opening import engagement_of
from rivetwright.engines.squeeze.stacking import (
    Combinations,
    OnTool,
    Owned,
    Pieces,
    combinations,
    die_pairs,
    dimple,
    for_rivet,
    shim_sums,
    turns_mm,
)
from rivetwright.model.shop import Die, Tool

IN = 25.4
FLAT, SECOND = Die("flat", 0.250 * IN), Die("flat", 0.125 * IN)
CUP = Die("cup", 0.230 * IN, 4)
YOKE = Tool("Y", "yoke", closed_height_mm=0.760 * IN)
SHIMS = tuple(t * IN for t in (0.010, 0.020, 0.032, 0.063))
OWN = Owned((FLAT, CUP), (), SHIMS)


def found(own: Owned = OWN, **more: OnTool) -> Combinations:
    """Combinations for a universal 1/8 rivet."""
    return combinations(own, for_rivet(4, False), YOKE, squeezer="air", **more)


def band(low: float, aim: float, high: float, clear: float = 0.0025) -> Asked:
    """A gap asked for, in inches, clear of its limits by so much."""
    ends = (aim, low, high, low + clear, high - clear)
    return Asked(*(np.array([end * IN]) for end in ends))


def gap_in(chosen: Chosen) -> float:
    """The gap chosen [in]."""
    return float(chosen.gap_mm[0]) / IN


@pytest.mark.parametrize(
    ("need", "parts", "off"),
    [
        (0.203, (1 / 16, 1 / 16, 1 / 16, 1 / 64), 0.0001),
        (0.118, (1 / 16, 1 / 16), 0.0070),
        (0.2875, (1 / 4, 1 / 32), -0.0063),
    ],
)
def test_nearest_thickness_of_pin_and_shims(
    need: float, parts: tuple[float, ...], off: float
) -> None:
    """Pins 0 or 1/4, three shims of 1/16, one of 1/32, one of 1/64; DERIVED."""
    shims = tuple(t * IN for t in (1 / 16, 1 / 16, 1 / 16, 1 / 32, 1 / 64))
    own = Owned((FLAT, CUP), (0.0, IN / 4), shims)
    thick = (0.760 - 0.480) - found(own).gap_mm / IN
    nearest = thick[np.argmin(np.abs(thick - need))]
    assert nearest == pytest.approx(sum(parts))
    assert nearest - need == pytest.approx(off, abs=5.1e-5)


def test_one_shim_of_each_leaves_a_hole_that_three_close() -> None:
    """1/16, 1/32, 1/64 reach 7/64; the pin begins at 16/64; two more 1/16 close it."""

    def widest_step(sixteenths: int) -> float:
        shims = (*(IN / 16,) * sixteenths, IN / 32, IN / 64)
        sums = found(Owned((FLAT, CUP), (0.0, IN / 4), shims)).gap_mm
        return float(np.diff(sums).max()) / IN * 64

    assert widest_step(1) == pytest.approx(9)
    assert widest_step(3) == pytest.approx(1)


def test_equal_sums_keep_the_fewest_shims() -> None:
    """0.030 from 0.010 + 0.020 or one of 0.030: the one."""
    sums = shim_sums([0.25, 0.5, 0.75])
    assert sums[750_000] == ((1, 1), (0.75,))


def test_shims_in_place_stay_where_the_sum_is_the_same() -> None:
    """With 0.010 and 0.020 on the tool nothing is changed to a single 0.030."""
    sums = shim_sums([0.25, 0.5, 0.75], in_place=[0.25, 0.5])
    assert sums[750_000] == ((0, 2), (0.5, 0.25))


def test_die_owned_once_is_not_used_twice() -> None:
    """Two flats and a pair of equal ones: every ordered pair but one with itself."""
    pairs = die_pairs((FLAT, SECOND), for_rivet(4, True))
    assert len(pairs) == 2
    twice = die_pairs((replace(FLAT, count=2), SECOND), for_rivet(4, True))
    assert len(twice) == 3


def test_cups_fit_their_size_and_dimple_dies_need_a_seat() -> None:
    """A 1/8 cup fits no 3/32 rivet; a jaw that is the die takes no dimple dies."""
    assert die_pairs((FLAT, CUP), for_rivet(3, False)) == []
    dies = (Die("male", 10.0, 3), Die("female", 9.0, 3))
    assert len(die_pairs(dies, dimple(3))) == 1
    assert die_pairs(dies, dimple(3), jaw_is_die=True) == []


def test_thicker_head_wins_where_it_keeps_clear() -> None:
    """Gaps 0.260 and 0.270 lie clear in 0.255 to 0.275: the wider one."""
    chosen = choose(found(), band(0.255, 0.265, 0.275))
    assert gap_in(chosen) == pytest.approx(0.270)
    assert chosen.rule[0] == Rule.THICKER_CLEAR


def test_gap_near_its_limit_is_taken_only_without_a_clear_one() -> None:
    """0.270 is 0.001 from the limit 0.271, so 0.260; alone in its band it is taken."""
    clear = choose(found(), band(0.255, 0.263, 0.271))
    assert gap_in(clear) == pytest.approx(0.260)
    assert clear.rule[0] == Rule.THICKER_CLEAR
    alone = choose(found(), band(0.269, 0.270, 0.271))
    assert gap_in(alone) == pytest.approx(0.270)
    assert alone.rule[0] == Rule.THICKER


def test_gap_above_the_band_is_nearest_before_one_below() -> None:
    """Nothing between 0.271 and 0.279: 0.280 leaves a head that can be mended.

    Above 0.280 nothing is wider, so the widest there is.
    """
    above = choose(found(), band(0.271, 0.275, 0.279))
    assert gap_in(above) == pytest.approx(0.280)
    assert above.rule[0] == Rule.NEAREST
    below = choose(found(), band(0.300, 0.310, 0.320))
    assert gap_in(below) == pytest.approx(0.280)


def test_what_a_caliper_does_not_tell_apart_costs_fewer_shims() -> None:
    """0.0005 wider with two shims more loses against one shim."""
    shims = tuple(t * IN for t in (0.0100, 0.0045, 0.0050))
    chosen = choose(found(Owned((FLAT, CUP), (), shims)), band(0.268, 0.270, 0.272))
    assert gap_in(chosen) == pytest.approx(0.270)


def test_gap_that_is_not_known_gets_nothing() -> None:
    """No number asked for, no combination; and none where no die fits."""
    unknown = Asked(*(np.array([np.nan]) for _ in range(5)))
    assert choose(found(), unknown).rule[0] == Rule.NOTHING
    bare = choose(found(Owned((FLAT,))), band(0.25, 0.26, 0.27))
    assert bare.rule[0] == Rule.NOTHING
    assert np.isnan(bare.gap_mm[0])


def test_threaded_holder_is_turned_to_the_gap_aimed_at() -> None:
    """Shims of 0.063 alone lose the band; a holder turned out 0.012 holds it.

    0.760 - 0.480 = 0.280; 0.268 is aimed at. It keeps 0.238 of 0.250 in its thread.
    """
    holder = replace(
        FLAT,
        length_max_mm=0.300 * IN,
        engaged_mm=0.250 * IN,
        engaged_min_mm=0.220 * IN,
    )
    assert turns_mm(holder) == pytest.approx(0.030 * IN)
    every = found(Owned((holder, CUP), (), (0.063 * IN,)))
    chosen = choose(every, band(0.260, 0.268, 0.276))
    assert gap_in(chosen) == pytest.approx(0.268)
    assert chosen.turned_mm[0] == pytest.approx(0.012 * IN)
    pieces = every.at(int(chosen.index[0]), float(chosen.turned_mm[0]))
    fixed, _ = engagement_of(pieces)
    assert fixed.engaged_mm == pytest.approx(0.238 * IN)
    beyond = choose(every, band(0.236, 0.240, 0.245))
    assert beyond.rule[0] == Rule.NEAREST


def test_fewest_changes_leave_the_tool_as_it_is() -> None:
    """With 0.020 on the tool and a band for 0.260 and 0.270 nothing is changed."""
    now = OnTool("air", "Y", Pieces(FLAT, CUP, 0.0, (0.020 * IN,)))
    every = found(on_tool=now)
    assert least_change(every, 0.255 * IN, 0.275 * IN) == now.pieces
    assert least_change(every, 0.300 * IN, 0.310 * IN) is None


def test_swap_names_what_goes_out_and_in() -> None:
    """From cup, flat and 0.010 to two flats and 0.020 with another pin."""
    now = OnTool("air", "Y", Pieces(FLAT, CUP, 0.0, (0.010 * IN,)))
    to = swap(now, "air", "Y", Pieces(FLAT, SECOND, 6.35, (0.020 * IN,)))
    assert (to.dies_out, to.dies_in) == ((CUP,), (SECOND,))
    assert to.shims_out_mm == (0.010 * IN,)
    assert to.shims_in_mm == (0.020 * IN,)
    assert (to.pin_mm, to.is_new_yoke) == (6.35, False)


def test_other_yoke_keeps_what_is_in_the_ram() -> None:
    """Only the fixed die goes along; another squeezer starts bare."""
    now = OnTool("air", "Y", Pieces(FLAT, CUP, 0.0, (0.010 * IN,)))
    moved = swap(now, "air", "Y9", now.pieces)
    assert moved.is_new_yoke
    assert (moved.dies_out, moved.dies_in) == ((FLAT,), (FLAT,))
    assert moved.shims_in_mm == ()
    bare = swap(now, "hand", "Y", now.pieces)
    assert bare.dies_out == ()
    assert bare.dies_in == (FLAT, CUP)
