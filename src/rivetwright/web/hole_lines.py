"""The hole table of a face: its holes line by line, row by row, filtered."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.severity import Severity
from rivetwright.standards.codes import RivetCode
from rivetwright.web.asked import FILTERS, UNPLACED
from rivetwright.web.figures import Figure, figure_at

FIGURES = ("grip_mm", "wanted_length_16ths", "drill_name", "edge_ratio", "pitch_ratio")
BLIND_FIGURES = (FIGURES[0], "wanted_blind_code", *FIGURES[2:])
SEVERITIES = tuple(Severity)


@dataclass(frozen=True)
class HoleLine:
    """One hole of the table."""

    hole: int
    name: str
    row: str
    step: str
    callout: str
    state: str
    found: tuple[tuple[str, Severity], ...]
    figures: tuple[Figure, ...]
    is_placed: bool

    @property
    def findings(self) -> str:
        """Codes of its findings, as the page's script reads them."""
        return "|".join(code for code, _ in self.found)

    def matches(self, wanted: Mapping[str, str]) -> bool:
        """Whether it passes a filter."""
        return all(
            value in str(getattr(self, name)).split("|")
            for name, value in wanted.items()
        )


@dataclass(frozen=True)
class RowTable:
    """The holes of one row, and what they share."""

    row: str
    callouts: tuple[str, ...]
    stacks: tuple[str, ...]
    steps: tuple[str, ...]
    lines: tuple[HoleLine, ...]

    @property
    def is_placed(self) -> bool:
        """Whether its holes lie on the map."""
        return all(line.is_placed for line in self.lines)


def holes_of_face(worked_plan: WorkedPlan, face: str) -> list[int]:
    """Holes of a face, or of no face at all, in the order of the rows."""
    worked = worked_plan.worked
    names = [one.name for one in worked.plan.faces]
    k = -1 if face == UNPLACED else names.index(face)
    found: list[int] = np.flatnonzero(worked.holes.face == k).tolist()
    return found


def row_tables(worked_plan: WorkedPlan, face: str) -> list[RowTable]:
    """The table of one face."""
    found = _findings(worked_plan)
    by_row: dict[str, list[HoleLine]] = defaultdict(list)
    for hole in holes_of_face(worked_plan, face):
        line = _line(worked_plan, hole, found[hole])
        by_row[line.row].append(line)
    return [_table(worked_plan, row, lines) for row, lines in by_row.items()]


def _findings(worked_plan: WorkedPlan) -> dict[int, list[tuple[str, Severity]]]:
    """Code and severity of the findings at each hole, the gravest first."""
    found: dict[int, list[tuple[str, Severity]]] = defaultdict(list)
    for finding in worked_plan.findings:
        for hole in finding.holes:
            found[hole].append((finding.code, finding.severity))
    return found


def _line(
    worked_plan: WorkedPlan, hole: int, found: list[tuple[str, Severity]]
) -> HoleLine:
    holes, plan = worked_plan.worked.holes, worked_plan.worked.plan
    callout, step = holes.callout(hole), int(holes.step[hole])
    names = FIGURES if isinstance(callout, RivetCode) else BLIND_FIGURES
    return HoleLine(
        hole=hole,
        name=holes.name(hole),
        row=holes.row_of(hole).name,
        step=plan.steps[step].name if step >= 0 else "",
        callout=str(callout),
        state=holes.state(hole),
        found=tuple(found),
        figures=tuple(figure_at(worked_plan, hole, name) for name in names),
        is_placed=not np.isnan(holes.x_mm[hole]) and holes.face[hole] >= 0,
    )


def _table(worked_plan: WorkedPlan, row: str, lines: list[HoleLine]) -> RowTable:
    stacks = dict.fromkeys(
        str(worked_plan.worked.at("used_stack", line.hole)) for line in lines
    )
    return RowTable(
        row=row,
        callouts=tuple(dict.fromkeys(line.callout for line in lines)),
        stacks=tuple(stacks),
        steps=tuple(dict.fromkeys(line.step for line in lines)),
        lines=tuple(lines),
    )


@dataclass(frozen=True)
class Choice:
    """One select of the filter form: its name, what may be chosen, what is."""

    name: str
    values: tuple[str, ...]
    chosen: str


def choices(tables: list[RowTable], wanted: Mapping[str, str]) -> list[Choice]:
    """The filter form of a face: only what its holes have."""
    lines = [line for table in tables for line in table.lines]
    made = []
    for name in FILTERS:
        written = (str(getattr(line, name)).split("|") for line in lines)
        values = dict.fromkeys(value for some in written for value in some if value)
        ordered = sorted(values) if name == "findings" else values
        made.append(Choice(name, tuple(ordered), wanted.get(name, "")))
    return made
