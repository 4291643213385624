"""What the air gives: pressure at the tool, strokes a minute, when to wait.

The last head's force comes from the pressure standing still: flow dies out as the
ram stalls. What can cost force is a tank below what the setting wants, a pedal let up
too early, a leak, or a setting that creeps.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from rivetwright.engines.air import (
    ATMOSPHERE_KPA,
    LABORATORY,
    OWN,
    PIPE_SOURCE,
    STROKE_AIR,
    USABLE_AIR,
    fill_times_s,
)
from rivetwright.engines.air_line import (
    CASES,
    REGULATOR,
    USUAL,
    Drop,
    Line,
    Stretch,
    line_of,
)
from rivetwright.engines.figure import Figure, Law, given, looked_up
from rivetwright.model.shop import Compressor, Shop, Squeezer
from rivetwright.standards.air import air_figure
from rivetwright.standards.spread import Spread

PNEUMATIC = "pneumatic"
MM3_PER_M3 = 1e9
SAME_KPA = 1e-6

STROKES_HELD = Law(
    "strokes_held_count",
    "Strokes from a full tank until the compressor starts",
    "usable_air_m3 / stroke_air_m3",
    "count",
    OWN,
)
REFILL = Law(
    "refill_s",
    "Time the compressor takes to fill the tank again, nobody squeezing",
    "usable_air_m3 / delivery_m3_s",
    "s",
    LABORATORY,
)
SUSTAINED = Law(
    "sustained_a_minute",
    "Strokes a minute that the compressor keeps up with for ever",
    "60 * delivery_m3_s / stroke_air_m3",
    "1/min",
    OWN,
)
RATE_MOST = Law(
    "rate_most_a_minute",
    "Strokes in one minute begun with a full tank, at most the pace kept",
    "min(pace_a_minute,"
    " 60 * delivery_m3_s / stroke_air_m3 + usable_air_m3 / stroke_air_m3)",
    "1/min",
    OWN,
)
MEAN_FLOW = Law(
    "mean_flow_m3_s",
    "Free air drawn at the pace kept, on the mean",
    "pace_a_minute / 60 * stroke_air_m3",
    "m3/s",
    OWN,
)
RESTS = Law(
    "rests_s",
    "Time the compressor stands still between two runs",
    "usable_air_m3 / mean_flow_m3_s",
    "s",
    OWN,
)
RUNS = Law(
    "runs_s",
    "Time it runs; without end where the pace takes more than it gives",
    "where(delivery_m3_s > mean_flow_m3_s,"
    " usable_air_m3 / max(delivery_m3_s - mean_flow_m3_s, 1e-12), inf)",
    "s",
    OWN,
)
LASTS = Law(
    "lasts_s",
    "Time a full tank lasts at the pace kept; without end where it is kept up with",
    "where(mean_flow_m3_s > delivery_m3_s, usable_air_m3 / mean_flow_m3_s"
    " + spare_air_m3 / max(mean_flow_m3_s - delivery_m3_s, 1e-12), inf)",
    "s",
    OWN,
)
SETTING_GIVES = Law(
    "setting_gives_kpa",
    "What a regulator's setting lets through to the tool",
    "set_kpa - later_bands_kpa",
    "kPa",
    OWN,
)
CUT_IN_GIVES = Law(
    "cut_in_gives_kpa",
    "What the tank lets through at its cut-in",
    "starts_kpa - dead_bands_kpa",
    "kPa",
    OWN,
)
STROKE_DROP = Law(
    "stroke_drop_kpa",
    "How far one stroke lets the tank fall, the compressor not counted",
    "stroke_air_m3 * atmosphere_kpa / tank_m3",
    "kPa",
    OWN,
)
AFTER_STROKE = Law(
    "tank_after_stroke_kpa",
    "Tank at the end of a stroke begun at its cut-in",
    "max(0, starts_kpa - stroke_drop_kpa)",
    "kPa",
    OWN,
)
STROKE_GIVES = Law(
    "stroke_gives_kpa",
    "What the tank lets through at the end of a stroke begun at its cut-in",
    "tank_after_stroke_kpa - dead_bands_kpa",
    "kPa",
    OWN,
)
TANK_LEAST = Law(
    "tank_least_kpa",
    "Least cut-in that gives the tool what it needs to the end of a stroke",
    "needed_kpa + dead_bands_kpa + stroke_drop_kpa",
    "kPa",
    OWN,
)


STANDING = {
    "standing_kpa": "Pressure at the tool standing still, tank at its cut-in",
    "standing_full_kpa": "Pressure at the tool standing still, tank full",
    "standing_cycling_kpa": "Pressure at the end of a stroke begun at the cut-in",
}


@dataclass(frozen=True)
class Limit:
    """One thing that bounds the pressure at the tool.

    `name` is rating, setting, cut-in, or stroke: the end of one begun at the cut-in.
    `place` is that of a regulator in the line. `holds` says whether the pressure
    needed stays within it even in the hard case; None where no pressure is asked
    for.
    """

    name: str
    figure: Figure
    place: int | None
    holds: bool | None


@dataclass(frozen=True)
class Supply:
    """The whole answer; `missing` names what to read off a plate or gauge."""

    line: Line
    figures: Mapping[str, Figure]
    limits: tuple[Limit, ...]
    still: tuple[Drop, ...]
    flowing: tuple[Drop, ...]
    flow_m3_s: float
    missing: tuple[str, ...]

    @property
    def is_enough(self) -> bool | None:
        """Whether the pressure needed is there; None where nothing is asked for."""
        known = [limit.holds for limit in self.limits if limit.holds is not None]
        return all(known) if known else None

    @property
    def is_over(self) -> bool | None:
        """Whether a full tank puts more on the tool than it is rated for."""
        full = self.figures.get("standing_full_kpa")
        rated = [one.figure.central for one in self.limits if one.name == "rating"]
        if full is None or not rated:
            return None
        return full.value.high > rated[0] + SAME_KPA

    @property
    def first_short(self) -> Limit | None:
        """The lowest of the limits that the pressure needed breaks."""
        short = [limit for limit in self.limits if limit.holds is False]
        return min(short, key=lambda one: one.figure.value.low, default=None)


def work_out_air(
    shop: Shop,
    squeezer: Squeezer | None = None,
    *,
    needed_kpa: float | None = None,
    pace_a_minute: float | None = None,
) -> Supply:
    """Work the shop's air out for a squeezer.

    Args:
        shop: the shop with its compressor and air line.
        squeezer: the squeezer meant; the shop's first pneumatic one when not given.
        needed_kpa: pressure the tool needs; what it is rated at when not given [kPa].
        pace_a_minute: strokes a minute a person keeps; a judged range when not
            given [1/min].

    Returns:
        Figures, limits and the pressures along the line.
    """
    tool = squeezer or first_pneumatic(shop)
    line = line_of(shop.air_line)
    rated = tool.pressure_kpa if tool else None
    needed = needed_kpa if needed_kpa is not None else rated
    figures = _tank_figures(shop.compressor)
    starts, stops = figures.get("starts_kpa"), figures.get("stops_kpa")
    if starts and stops and line.stretches:
        _stand(figures, line, "standing_kpa", "starts_kpa")
        _stand(figures, line, "standing_full_kpa", "stops_kpa")
    figures |= _ram_figures(tool, figures.get("standing_full_kpa"), pace_a_minute)
    if needed is not None:
        figures["needed_kpa"] = given("needed_kpa", needed, "kPa")
    if line.stretches:
        figures["dead_bands_kpa"] = _dead_bands("dead_bands_kpa", line.regulators)
    _run(figures, (STROKE_DROP, AFTER_STROKE, CUT_IN_GIVES, STROKE_GIVES))
    if line.stretches and "tank_after_stroke_kpa" in figures:
        _stand(figures, line, "standing_cycling_kpa", "tank_after_stroke_kpa")
    _run(figures, (TANK_LEAST, STROKES_HELD, REFILL, SUSTAINED, RATE_MOST, MEAN_FLOW))
    figures |= _spare_air(figures)
    _run(figures, (RESTS, RUNS, LASTS))
    flow = _fill(line, figures)
    tank = starts.central if starts else None
    return Supply(
        line,
        figures,
        _limits(line, figures, rated, needed),
        line.drops(tank, 0.0) if tank is not None else (),
        line.drops(tank, flow) if tank is not None and flow else (),
        flow,
        _missing(shop, tool),
    )


def _stand(figures: dict[str, Figure], line: Line, name: str, tank: str) -> None:
    """Put the pressure at the tool for a tank pressure among the figures."""
    still = line.still_kpa(figures[tank])
    figures[name] = replace(still, name=name, title=STANDING[name])


def first_pneumatic(shop: Shop) -> Squeezer | None:
    """The shop's first pneumatic squeezer."""
    return next((one for one in shop.squeezers if one.kind == PNEUMATIC), None)


def _tank_figures(compressor: Compressor | None) -> dict[str, Figure]:
    """What the compressor's plate and gauge say, as far as the shop file has it."""
    figures = {"atmosphere_kpa": _atmosphere()}
    if compressor is None:
        return figures
    for name, value, unit in (
        ("delivery_m3_s", compressor.free_air_m3_s, "m3/s"),
        ("tank_m3", compressor.tank_m3, "m3"),
        ("starts_kpa", compressor.starts_kpa, "kPa"),
        ("stops_kpa", compressor.stops_kpa, "kPa"),
    ):
        if value is not None:
            figures[name] = given(name, value, unit)
    if {"tank_m3", "starts_kpa", "stops_kpa"} <= figures.keys():
        figures["usable_air_m3"] = USABLE_AIR.figure(
            tank_m3=figures["tank_m3"],
            from_kpa=figures["stops_kpa"],
            to_kpa=figures["starts_kpa"],
            atmosphere_kpa=figures["atmosphere_kpa"],
        )
    return figures


def _atmosphere() -> Figure:
    """The pressure of the air outside [kPa]."""
    return looked_up("atmosphere_kpa", air_figure("atmosphere"), "kPa")


def _ram_figures(
    tool: Squeezer | None, standing: Figure | None, pace: float | None
) -> dict[str, Figure]:
    """Ram, pace and hold, and the air of one stroke at the pressure that stands."""
    figures = {
        "bore_mm": _own(tool.bore_mm if tool else None, "bore_mm", "ram bore", "mm"),
        "stroke_mm": _own(
            tool.cylinder_stroke_mm if tool else None, "stroke_mm", "ram stroke", "mm"
        ),
        "pace_a_minute": _own(pace, "pace_a_minute", "strokes a minute", "1/min"),
        "hold_s": looked_up("hold_s", air_figure("hold"), "s"),
    }
    if standing is not None:
        figures["stroke_air_m3"] = STROKE_AIR.figure(
            bore_mm=figures["bore_mm"],
            stroke_mm=figures["stroke_mm"],
            pressure_kpa=standing,
            atmosphere_kpa=_atmosphere(),
        )
    return figures


def _own(value: float | None, name: str, quantity: str, unit: str) -> Figure:
    """What the shop file says, else the table's range."""
    if value is not None:
        return given(name, value, unit)
    return looked_up(name, air_figure(quantity), unit)


def _run(figures: dict[str, Figure], laws: tuple[Law, ...]) -> None:
    """Run each law whose inputs are all known."""
    for law in laws:
        if set(law.inputs) <= figures.keys():
            inputs = {name: figures[name] for name in law.inputs}
            figures[law.name] = law.figure(**inputs)


def _dead_bands(name: str, regulators: tuple[Stretch, ...]) -> Figure:
    """The dead bands of some regulators together [kPa]."""
    bands = {
        f"dead_band_{k}_kpa": one.figures["dead_band_kpa"]
        for k, one in enumerate(regulators, start=1)
    }
    title = "Dead bands of the regulators together"
    law = Law(name, title, " + ".join(bands) or "0", "kPa", OWN)
    return law.figure(**bands)


def _spare_air(figures: Mapping[str, Figure]) -> dict[str, Figure]:
    """Air between cut-in and the least tank pressure; none where it is above."""
    needed = {"tank_m3", "starts_kpa", "tank_least_kpa", "atmosphere_kpa"}
    if not needed <= figures.keys():
        return {}
    law = Law(
        "spare_air_m3",
        "Air the tank still gives while the compressor runs and falls behind",
        "max(0, tank_m3 * (starts_kpa - tank_least_kpa) / atmosphere_kpa)",
        "m3",
        OWN,
    )
    return {law.name: law.figure(**{name: figures[name] for name in law.inputs})}


def _fill(line: Line, figures: dict[str, Figure]) -> float:
    """Put fill time and pressure after the hold among the figures.

    Gives the mean flow while the ram fills, usual case [m3/s]; nought where it is
    not known.
    """
    standing = figures.get("standing_cycling_kpa")
    if standing is None or standing.value.low <= 0:
        return 0.0
    tank_kpa = figures["tank_after_stroke_kpa"].central
    share = air_figure("filled").value.central
    hold = figures["hold_s"].central
    times, held, flow = [], [], 0.0
    for case in range(len(CASES)):
        volume = _ram_m3(figures, case)
        full = line.outlet_kpa(tank_kpa, 0.0, case)
        pressures, at_s = fill_times_s(
            partial(line.flow_m3_s, tank_kpa, case=case),
            volume,
            full,
        )
        times.append(float(np.interp(share * full, pressures, at_s)))
        held.append(float(np.interp(hold, at_s, pressures)))
        if case == USUAL:
            flow = volume * share * full / ATMOSPHERE_KPA / times[-1]
    known = ("tank_after_stroke_kpa", "bore_mm", "stroke_mm")
    inputs = {name: figures[name] for name in known}
    text = "sum of volume * pressure step / atmosphere / flow through the line"
    figures["fill_s"] = Figure(
        "fill_s",
        Spread(*sorted(times)),
        "s",
        PIPE_SOURCE,
        "Time until the ram stands at 95 % of its pressure",
        text,
        "",
        inputs,
    )
    figures["after_hold_kpa"] = Figure(
        "after_hold_kpa",
        Spread(*sorted(held)),
        "kPa",
        PIPE_SOURCE,
        "Pressure in the ram after the hold, in a stroke begun at the cut-in",
        text,
        "",
        inputs | {"hold_s": figures["hold_s"]},
    )
    return flow


def _ram_m3(figures: Mapping[str, Figure], case: int) -> float:
    """Volume of the ram in a case; a large one is the hard case [m3]."""
    bore, stroke = figures["bore_mm"].value, figures["stroke_mm"].value
    size = ((one.low, one.central, one.high)[case] for one in (bore, stroke))
    across, along = size
    return math.pi / 4 * across**2 * along / MM3_PER_M3


def _limits(
    line: Line,
    figures: Mapping[str, Figure],
    rated_kpa: float | None,
    needed_kpa: float | None,
) -> tuple[Limit, ...]:
    """Everything that bounds the pressure at the tool."""
    found: list[tuple[str, Figure, int | None]] = []
    if rated_kpa is not None:
        found.append(("rating", given("rating_kpa", rated_kpa, "kPa"), None))
    for place, one in enumerate(line.stretches):
        if one.kind == REGULATOR:
            later = tuple(x for x in line.stretches[place + 1 :] if x.kind == REGULATOR)
            gives = SETTING_GIVES.figure(
                set_kpa=one.figures["set_kpa"],
                later_bands_kpa=_dead_bands("later_bands_kpa", later),
            )
            found.append(("setting", gives, place))
    for name, law in (("cut-in", CUT_IN_GIVES), ("stroke", STROKE_GIVES)):
        if law.name in figures:
            found.append((name, figures[law.name], None))
    return tuple(
        Limit(
            name,
            figure,
            place,
            None if needed_kpa is None else needed_kpa <= figure.value.low + SAME_KPA,
        )
        for name, figure, place in found
    )


def _missing(shop: Shop, tool: Squeezer | None) -> tuple[str, ...]:
    """What to read off a plate or gauge, in the order of the line."""
    compressor = shop.compressor or Compressor()
    wanted = {
        "delivery": compressor.free_air_m3_s,
        "tank": compressor.tank_m3,
        "cut-in": compressor.starts_kpa,
        "cut-out": compressor.stops_kpa,
        "air line": shop.air_line or None,
        "ram bore": tool.bore_mm if tool else None,
        "ram stroke": tool.cylinder_stroke_mm if tool else None,
    }
    return tuple(name for name, value in wanted.items() if value is None)
