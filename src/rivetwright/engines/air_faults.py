"""When the tool starves: what takes the pressure, ranked, each with its next test.

A stretch that gauge readings show to take more than it should comes first. Then what
holds the pressure down for good: a setting, the cut-in. Then what each piece takes
while the ram fills; that passes, and costs force only where the pedal is let up
early. What no figure can be put to (a leak, a setting that creeps) follows with the
test that settles it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from rivetwright.engines.air import ATMOSPHERE_KPA, LEAK
from rivetwright.engines.air_line import HARD, REGULATOR, USUAL, Drop
from rivetwright.engines.air_supply import Supply
from rivetwright.engines.figure import Figure, given
from rivetwright.standards.spread import Spread, sharp

TANK = -1
EARLY = "let up early"
LEAST_LOSS_KPA = 1.0

# The next test for each cause; the words stand in the catalogue of the face.
TESTS = {
    "cut-in": "read-tank-when-it-starts",
    "stroke": "count-strokes-between-two-starts",
    "setting": "read-regulator-with-the-pedal-up",
    "stretch": "gauge-at-each-end",
    "regulator": "read-regulator-with-the-pedal-down",
    "hose": "try-a-wider-or-shorter-hose",
    "pipe": "gauge-at-each-end",
    "coupler": "join-without-the-coupler",
    "pedal": "join-past-the-pedal",
    EARLY: "hold-until-the-ram-stops-and-count",
    "leak": "shut-all-and-read-the-tank-twice",
    "creep": "read-regulator-after-ten-minutes",
}


@dataclass(frozen=True)
class Suspect:
    """One thing that may starve the tool.

    `first` and `last` are places in the line (-1 is the tank) where it has any.
    `loss_kpa` is what it takes, or takes too much where it was measured; None where
    no figure can be put to it. `lasting` is a loss that stays when the ram stands.
    `test` is the key of the next test.
    """

    cause: str
    first: int | None
    last: int | None
    loss_kpa: Spread | None
    measured: bool
    lasting: bool
    test: str


def suspects(
    supply: Supply,
    readings_kpa: Mapping[int, float] | None = None,
    *,
    flow_m3_s: float = 0.0,
) -> tuple[Suspect, ...]:
    """Rank what starves the tool, the largest loss first.

    Args:
        supply: the air as worked out; losses are those while the ram fills.
        readings_kpa: gauge readings by place: -1 is the tank, 0 after the first
            piece, and so on [kPa].
        flow_m3_s: free air that flowed meanwhile; nought for a ram that stands,
            a gun's air with its trigger pulled [m3/s].

    Returns:
        Measured stretches that take too much, then what bounds the pressure and
        what each piece takes, then what no figure can be put to.
    """
    return (
        *_ranked(_by_readings(supply, readings_kpa or {}, flow_m3_s)),
        *_ranked(_short_limits(supply)),
        *_ranked(_by_piece(supply.flowing)),
        *(
            Suspect(cause, None, None, None, False, cause != EARLY, TESTS[cause])
            for cause in (EARLY, "leak", "creep")
        ),
    )


def leak_m3_s(supply: Supply, fall_kpa: float, duration_s: float) -> Figure | None:
    """Leak out of tank and line, from two readings with everything shut.

    Args:
        supply: the air as worked out.
        fall_kpa: how far the tank's gauge fell [kPa].
        duration_s: in which time [s].

    Returns:
        The leak [m3/s]; None where the tank is not known.
    """
    tank = supply.figures.get("tank_m3")
    if tank is None:
        return None
    return LEAK.figure(
        tank_m3=tank,
        fall_kpa=given("fall_kpa", fall_kpa, "kPa"),
        atmosphere_kpa=given("atmosphere_kpa", ATMOSPHERE_KPA, "kPa"),
        duration_s=given("duration_s", duration_s, "s"),
    )


def _ranked(found: list[Suspect]) -> list[Suspect]:
    """The largest loss first; a piece that cannot carry the flow before all."""

    def weight(one: Suspect) -> float:
        assert one.loss_kpa is not None
        central = one.loss_kpa.central
        return math.inf if math.isnan(central) else central

    return sorted(found, key=weight, reverse=True)


def _short_limits(supply: Supply) -> list[Suspect]:
    """Settings and cut-in that let less through than the tool needs."""
    needed = supply.figures.get("needed_kpa")
    short = []
    for limit in supply.limits:
        if limit.holds is not False or limit.name not in TESTS or needed is None:
            continue
        gives = limit.figure.value
        lack = (needed.central - one for one in (gives.high, gives.central, gives.low))
        loss = Spread(*(max(0.0, one) for one in lack))
        place = TANK if limit.place is None else limit.place
        short.append(
            Suspect(limit.name, place, place, loss, False, True, TESTS[limit.name])
        )
    return short


def _by_piece(drops: tuple[Drop, ...]) -> list[Suspect]:
    """What each piece takes while air flows; a regulator beyond its setting's cut."""
    found = []
    for drop in drops:
        loss = _flow_loss_kpa(drop)
        if math.isnan(loss.central) or loss.high >= LEAST_LOSS_KPA:
            kind = drop.stretch.kind
            one = Suspect(kind, drop.place, drop.place, loss, False, False, TESTS[kind])
            found.append(one)
    return found[: _first_choked(drops)]


def _first_choked(drops: tuple[Drop, ...]) -> int | None:
    """How many pieces count: after one that chokes nothing is known."""
    for count, drop in enumerate(drops, start=1):
        if not all(drop.carries):
            return count
    return None


def _flow_loss_kpa(drop: Drop) -> Spread:
    """What a piece takes because air flows: a regulator's own setting apart."""
    if drop.stretch.kind != REGULATOR:
        return drop.loss_kpa
    before, after = drop.before_kpa.central, drop.after_kpa.central
    still = drop.stretch.still_kpa(before, USUAL)
    return sharp(math.nan if math.isnan(after) else max(0.0, still - after))


def _by_readings(
    supply: Supply, readings_kpa: Mapping[int, float], flow_m3_s: float
) -> list[Suspect]:
    """Stretches between two readings that take more than the hard case allows."""
    found = []
    for (first, before), (last, after) in pairwise(sorted(readings_kpa.items())):
        expected = _expected_high_kpa(supply, first, last, before, flow_m3_s)
        beyond = before - after - expected
        if beyond > LEAST_LOSS_KPA:
            kinds = {one.kind for one in supply.line.stretches[first + 1 : last + 1]}
            cause = kinds.pop() if len(kinds) == 1 else "stretch"
            found.append(
                Suspect(
                    cause,
                    first + 1,
                    last,
                    sharp(beyond),
                    True,
                    flow_m3_s == 0,
                    TESTS[cause],
                )
            )
    return found


def _expected_high_kpa(
    supply: Supply, first: int, last: int, before_kpa: float, flow_m3_s: float
) -> float:
    """What the pieces between two readings take in the hard case [kPa]."""
    pressure = before_kpa
    for one in supply.line.stretches[first + 1 : last + 1]:
        pressure = one.outlet_kpa(pressure, flow_m3_s, HARD)
    return math.inf if math.isnan(pressure) else before_kpa - pressure
