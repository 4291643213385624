"""The hole table: a line for each set of holes of a row that share every figure."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.worked import working
from rivetwright.model.severity import Severity
from rivetwright.paper.words import number_ranges, section
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
    _by_class: dict[int, tuple[Cell, ...]] = field(default_factory=dict)
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
            same: dict[tuple[Cell, ...], list[int]] = defaultdict(list)
            for hole in range(int(columns.row_start[k]), int(columns.row_start[k + 1])):
                same[self._cells(hole)].append(hole)
            for n, (cells, holes) in enumerate(same.items()):
                name = Cell(row.name, strong=True)
                numbers = Cell(number_ranges(columns, holes))
                yield n == 0, [name, numbers, *cells]

    def _cells(self, hole: int) -> tuple[Cell, ...]:
        """Everything right of the hole's number."""
        worked = self.worked_plan.worked
        kind = int(worked.stacks.class_of[hole])
        if kind not in self._by_class:
            self._by_class[kind] = tuple(self._class_cells(hole))
        step = int(worked.holes.step[hole])
        found = self.codes.get(hole, [])
        stops = any(severity is Severity.STOP for severity, _ in found)
        return (
            *self._by_class[kind],
            self._edge(hole),
            self._figure("pitch_ratio", hole),
            Cell(worked.plan.steps[step].name if step >= 0 else NOT_KNOWN),
            Cell(catalogue().word("state", worked.holes.state(hole))),
            Cell(" ".join(code for _, code in found), strong=stops),
        )

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
        """Drill and its size."""
        drill = self._figure("drill_name", hole)
        size = self._said("hole_diameter_mm", hole)
        if drill.text == NOT_KNOWN:
            return Cell(size, self._letter("hole_diameter_mm", hole))
        return Cell(f"{drill.text} ({size})", drill.status)

    def _edge(self, hole: int) -> Cell:
        """Edge distance in diameters and the part it is measured on."""
        worked = self.worked_plan.worked
        ratio = self._figure("edge_ratio", hole)
        sheet = int(worked["edge_sheet"][hole])
        if ratio.text == NOT_KNOWN or sheet < 0:
            return Cell(NOT_KNOWN)
        part = worked.stacks.layers[int(worked.stacks.layer[hole, sheet])].layer.part
        return Cell(f"{ratio.text} on {part}", ratio.status)
