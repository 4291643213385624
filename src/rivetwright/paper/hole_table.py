"""The hole table: a line for each set of holes of a row that share every figure."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.worked import working
from rivetwright.model.severity import Severity
from rivetwright.paper.words import NARROW, breakable, number_ranges, say, section
from rivetwright.standards.blind import KitBlindCode
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import System, say_value

# Left to right; the words over them stand in the catalogue.
COLUMNS = (
    "row",
    "holes",
    "callout",
    "stack",
    "grip",
    "wanted",
    "legal",
    "head",
    "drill",
    "edge",
    "pitch",
    "step",
    "state",
    "findings",
)
NOT_KNOWN = "-"


@dataclass(frozen=True)
class Cell:
    """What stands in a cell; `status` is what it rests on, in one letter."""

    text: str
    status: str = ""
    strong: bool = False

    def as_json(self) -> dict[str, str | bool]:
        """As the template reads it."""
        return {"text": self.text, "status": self.status, "strong": self.strong}


@dataclass
class HoleTable:
    """The lines of the hole table of a plan."""

    worked_plan: WorkedPlan
    _letters: dict[tuple[str, int], str] = field(default_factory=dict)

    @cached_property
    def system(self) -> System:
        """The plan's own unit."""
        return "mm" if self.worked_plan.worked.plan.unit == "mm" else "in"

    @cached_property
    def codes(self) -> dict[int, list[tuple[Severity, str]]]:
        """Severity and code of the findings at each hole, the gravest first."""
        found: dict[int, list[tuple[Severity, str]]] = defaultdict(list)
        for finding in self.worked_plan.findings:
            for hole in finding.holes:
                found[hole].append((finding.severity, finding.code))
        return found

    def lines(self) -> Iterator[tuple[bool, list[Cell]]]:
        """Lines row by row, and whether a line is the first of its row."""
        columns = self.worked_plan.worked.holes
        for k, row in enumerate(columns.plan.rows):
            same: dict[tuple[object, ...], list[int]] = defaultdict(list)
            for hole in range(int(columns.row_start[k]), int(columns.row_start[k + 1])):
                same[self._alike(hole)].append(hole)
            for n, holes in enumerate(same.values()):
                yield (
                    n == 0,
                    [
                        Cell(breakable(row.name, NARROW), strong=True),
                        *self._cells(holes),
                    ],
                )

    def _alike(self, hole: int) -> tuple[object, ...]:
        """What holes of one line have in common; their places may differ."""
        worked = self.worked_plan.worked
        found = tuple(code for _, code in self.codes.get(hole, []))
        kind, step = int(worked.stacks.class_of[hole]), int(worked.holes.step[hole])
        return kind, step, worked.holes.state(hole), found

    def _cells(self, holes: list[int]) -> Iterator[Cell]:
        """Everything right of the row's name, for holes that are alike."""
        worked, hole = self.worked_plan.worked, holes[0]
        yield Cell(number_ranges(worked.holes, holes))
        yield from self._class_cells(hole)
        yield self._edge(holes)
        yield self._span("pitch_ratio", holes)
        step = int(worked.holes.step[hole])
        name = worked.plan.steps[step].name if step >= 0 else NOT_KNOWN
        yield Cell(breakable(name, NARROW))
        yield Cell(catalogue().word("state", worked.holes.state(hole)))
        found = self.codes.get(hole, [])
        stops = any(severity is Severity.STOP for severity, _ in found)
        yield Cell(" ".join(code for _, code in found), strong=stops)

    def _class_cells(self, hole: int) -> Iterator[Cell]:
        """The cells that holes of one class share."""
        worked = self.worked_plan.worked
        yield Cell(str(worked.holes.callout(hole)))
        yield Cell(str(worked.at("used_stack", hole)) or NOT_KNOWN)
        yield self._figure("grip_mm", hole)
        if worked.at("is_solid", hole):
            yield self._figure("wanted_length_16ths", hole)
            legal = self._figure("legal_length_codes", hole)
            yield replace(legal, text=", ".join(legal.text.split()))
        else:
            yield self._figure("wanted_blind_code", hole)
            yield Cell(NOT_KNOWN)
        yield self._head(hole)
        yield self._drill(hole)

    def _figure(self, name: str, hole: int) -> Cell:
        """One figure in the project's unit, with the letter of its status."""
        text = self._said(name, hole)
        return Cell(text, self._letter(name, hole) if text != NOT_KNOWN else "")

    def _said(self, name: str, hole: int) -> str:
        """One figure in words, without its unit, which the table names once."""
        value = self.worked_plan.worked.at(name, hole)
        asked = value if isinstance(value, str) else float(value)
        return str(say_value(name, asked, self.system)).removesuffix(f" {self.system}")

    def _letter(self, name: str, hole: int) -> str:
        """What a figure rests on at its weakest, worked out once for equal holes."""
        kind = int(self.worked_plan.worked.stacks.class_of[hole])
        if (name, kind) not in self._letters:
            status = working(self.worked_plan.worked, name, hole).status
            self._letters[name, kind] = section("status")[str(status)]
        return self._letters[name, kind]

    def _head(self, hole: int) -> Cell:
        """Expected shop head, width by height."""
        width = self._figure("head_width_mm", hole)
        height = self._said("head_height_aim_mm", hole)
        if NOT_KNOWN in (width.text, height):
            return Cell(NOT_KNOWN)
        return Cell(f"{width.text} × {height}", width.status)

    def _drill(self, hole: int) -> Cell:
        """The drill by its name; by its size where it has none."""
        drill = self._figure("drill_name", hole)
        if drill.text == NOT_KNOWN:
            return self._figure("hole_diameter_mm", hole)
        return drill

    def blind_holes(self) -> str:
        """How large holes of blind rivets may be, callout by callout; "" without any.

        Their chart gives a range, and the middle of it is no drill's own size.
        """
        worked = self.worked_plan.worked
        ranges: dict[str, str] = {}
        for hole, kind in enumerate(worked.stacks.class_of.tolist()):
            callout = worked.stacks.classes[kind].callout
            if isinstance(callout, KitBlindCode) and str(callout) not in ranges:
                ranges[str(callout)] = self._blind_hole(str(callout), hole)
        words = ", ".join(said for said in ranges.values() if said)
        return say("table.blind_holes", ranges=words) if words else ""

    def _blind_hole(self, callout: str, hole: int) -> str:
        """A blind callout with the range of its hole; "" where that is not known."""
        low = self._said("drill_low_mm", hole)
        high = self._said("drill_high_mm", hole)
        if NOT_KNOWN in (low, high):
            return ""
        return say("table.blind_hole", callout=callout, low=low, high=high)

    def _edge(self, holes: list[int]) -> Cell:
        """Edge distance in diameters, and the part on which it is least."""
        worked = self.worked_plan.worked
        span = self._span("edge_ratio", holes)
        if span.text == NOT_KNOWN:
            return span
        least = min(holes, key=lambda hole: _or_far(worked.at("edge_ratio", hole)))
        sheet = int(worked["edge_sheet"][least])
        layer = int(worked.stacks.layer[least, sheet])
        part = worked.stacks.layers[layer].layer.part
        return Cell(say("table.on_part", figure=span.text, part=part), span.status)

    def _span(self, name: str, holes: list[int]) -> Cell:
        """The least and the most of a figure over some holes."""
        worked = self.worked_plan.worked
        known = [hole for hole in holes if not np.isnan(worked.at(name, hole))]
        if not known:
            return Cell(NOT_KNOWN)
        by_size = sorted(known, key=lambda hole: float(worked.at(name, hole)))
        low, high = (self._said(name, hole) for hole in (by_size[0], by_size[-1]))
        letter = self._letter(name, known[0])
        if low == high:
            return Cell(low, letter)
        return Cell(say("table.from_to", low=low.removesuffix(" D"), high=high), letter)


def _or_far(figure: float) -> float:
    """A figure, or more than any where it is not known."""
    return math.inf if math.isnan(figure) else float(figure)
