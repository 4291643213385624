"""The shop's air line, piece by piece: what pressure comes through, still and flowing.

Standing still only the regulators matter: each gives its setting, or what comes in
less its dead band. Flowing air loses pressure in every piece. Where the shop file
leaves a figure out, a range out of air.csv stands in for it, so answers are ranges:
an easy, a usual and a hard case.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from rivetwright.engines.air import (
    OWN,
    PIPE_FORMULA,
    PIPE_SOURCE,
    VALVE_FLOW,
    flow_between_m3_s,
    pipe_loss_kpa,
    valve_loss_kpa,
)
from rivetwright.engines.figure import OWNER, Figure, Law, given, looked_up
from rivetwright.model.shop import AirPiece
from rivetwright.standards.air import air_figure
from rivetwright.standards.source import Status, weakest
from rivetwright.standards.spread import Spread

REGULATOR, HOSE, PIPE, COUPLER, PEDAL = "regulator", "hose", "pipe", "coupler", "pedal"
CASES = ("easy", "usual", "hard")
EASY, USUAL, HARD = range(3)
FLOW_MOST_M3_S = 1.0

REGULATED = Law(
    "regulated_kpa",
    "A regulator gives its setting, or what comes in less its dead band",
    "max(0, min(set_kpa, inlet_kpa - dead_band_kpa))",
    "kPa",
    OWN,
)


@dataclass(frozen=True)
class Stretch:
    """One piece of the line with the figures that decide what it takes."""

    piece: AirPiece
    figures: Mapping[str, Figure]

    @property
    def kind(self) -> str:
        """Regulator, hose, pipe, coupler or pedal."""
        return self.piece.kind

    @property
    def status(self) -> Status:
        """The weakest status of its figures."""
        known = [one.status for one in self.figures.values()]
        return weakest(OWNER.status, *known)

    def figure(self, name: str, case: int) -> float:
        """A figure of the piece in one of the cases [the figure's unit]."""
        value = self.figures[name].value
        good, bad = value.low, value.high
        if name == "flow_coefficient":
            good, bad = bad, good
        return (good, value.central, bad)[case]

    def outlet_kpa(self, inlet_kpa: float, flow_m3_s: float, case: int) -> float:
        """Gauge pressure after it [kPa]; NaN where it cannot carry the flow."""
        if math.isnan(inlet_kpa):
            return math.nan
        if self.kind in (HOSE, PIPE):
            return inlet_kpa - pipe_loss_kpa(
                flow_m3_s,
                inlet_kpa,
                bore_mm=self.figure("bore_mm", case),
                length_mm=self.figure("length_mm", case),
                roughness_mm=self.figure("roughness_mm", case),
                factor=self.figure("loss_factor", case),
            )
        through = inlet_kpa
        for _ in range(self.piece.count):
            through -= valve_loss_kpa(
                flow_m3_s, through, self.figure("flow_coefficient", case)
            )
        if self.kind == REGULATOR and not math.isnan(through):
            return min(self.still_kpa(inlet_kpa, case), through)
        return through

    def still_kpa(self, inlet_kpa: float, case: int) -> float:
        """Gauge pressure after it while no air flows [kPa]."""
        if self.kind != REGULATOR:
            return inlet_kpa
        return REGULATED(
            set_kpa=self.figure("set_kpa", case),
            inlet_kpa=inlet_kpa,
            dead_band_kpa=self.figure("dead_band_kpa", case),
        )


@dataclass(frozen=True)
class Drop:
    """What one piece does at a flow: pressure before, after and lost, as ranges.

    `carries` says for each case whether the line carries the flow so far. A range
    covers the cases that do; it is NaN where the usual case does not.
    """

    stretch: Stretch
    place: int
    before_kpa: Spread
    after_kpa: Spread
    loss_kpa: Spread
    carries: tuple[bool, ...]
    formula: str


@dataclass(frozen=True)
class Line:
    """The whole line from the tank to the tool."""

    stretches: tuple[Stretch, ...]

    def outlet_kpa(self, tank_kpa: float, flow_m3_s: float, case: int) -> float:
        """Pressure at the tool at a flow [kPa]; NaN where the line cannot carry it."""
        pressure = tank_kpa
        for one in self.stretches:
            pressure = one.outlet_kpa(pressure, flow_m3_s, case)
        return pressure

    def flow_m3_s(self, tank_kpa: float, tool_kpa: float, case: int) -> float:
        """Flow that the line gives while the tool holds a pressure [m3/s]."""
        return flow_between_m3_s(
            lambda flow: self.outlet_kpa(tank_kpa, flow, case),
            tool_kpa,
            FLOW_MOST_M3_S,
        )

    def still_kpa(self, tank_kpa: Figure) -> Figure:
        """Pressure at the tool standing still, with its working [kPa]."""
        pressure = tank_kpa
        for one in self.regulators:
            pressure = REGULATED.figure(
                set_kpa=one.figures["set_kpa"],
                inlet_kpa=pressure,
                dead_band_kpa=one.figures["dead_band_kpa"],
            )
        return pressure

    @cached_property
    def regulators(self) -> tuple[Stretch, ...]:
        """Its regulators, the tank's first."""
        return tuple(one for one in self.stretches if one.kind == REGULATOR)

    def drops(self, tank_kpa: float, flow_m3_s: float) -> tuple[Drop, ...]:
        """Where the pressure goes at a flow, piece by piece [kPa, m3/s]."""
        before = [tank_kpa] * len(CASES)
        made = []
        for place, one in enumerate(self.stretches):
            after = [
                one.outlet_kpa(pressure, flow_m3_s, case)
                for case, pressure in enumerate(before)
            ]
            lost = [a - b for a, b in zip(before, after, strict=True)]
            made.append(
                Drop(
                    one,
                    place,
                    _spread(before),
                    _spread(after),
                    _spread(lost),
                    tuple(not math.isnan(pressure) for pressure in after),
                    _formula(one.kind),
                )
            )
            before = after
        return tuple(made)


def line_of(pieces: tuple[AirPiece, ...]) -> Line:
    """The line of a shop, with a range for every figure that the shop leaves out."""
    return Line(tuple(Stretch(piece, _figures(piece)) for piece in pieces))


def _figures(piece: AirPiece) -> dict[str, Figure]:
    """The figures of one piece: the shop's own, else out of the table."""
    if piece.kind in (HOSE, PIPE):
        assert piece.bore_mm is not None
        assert piece.length_mm is not None
        factor = (
            looked_up("loss_factor", air_figure("hose loss against smooth"), "-")
            if piece.kind == HOSE
            else given("loss_factor", 1.0, "-", PIPE_SOURCE)
        )
        rough = air_figure(f"{piece.kind} roughness")
        return {
            "bore_mm": given("bore_mm", piece.bore_mm, "mm"),
            "length_mm": given("length_mm", piece.length_mm, "mm"),
            "roughness_mm": looked_up("roughness_mm", rough, "mm"),
            "loss_factor": factor,
        }
    figures = {
        "flow_coefficient": _own_or_usual(
            "flow_coefficient", piece.flow_coefficient, f"{piece.kind} Cv", "Cv"
        )
    }
    if piece.kind == REGULATOR:
        assert piece.set_kpa is not None
        figures["set_kpa"] = given("set_kpa", piece.set_kpa, "kPa")
        figures["dead_band_kpa"] = _own_or_usual(
            "dead_band_kpa", piece.dead_band_kpa, "regulator dead band", "kPa"
        )
    return figures


def _own_or_usual(name: str, own: float | None, quantity: str, unit: str) -> Figure:
    """What the shop file says, else the table's range."""
    if own is not None:
        return given(name, own, unit)
    return looked_up(name, air_figure(quantity), unit)


def _formula(kind: str) -> str:
    """The formula behind what a kind of piece takes."""
    if kind in (HOSE, PIPE):
        return PIPE_FORMULA
    valve = f"{VALVE_FLOW.name} = {VALVE_FLOW.expression}"
    return f"{REGULATED.expression}; {valve}" if kind == REGULATOR else valve


def _spread(cases: list[float]) -> Spread:
    """The range over the cases that carry the flow; NaN where the usual one cannot."""
    usual = cases[USUAL]
    if math.isnan(usual):
        return Spread(math.nan, math.nan, math.nan)
    known = [one for one in cases if not math.isnan(one)]
    return Spread(min(known), usual, max(known))
