"""What was done to the holes of a step, row by row and sheet by sheet."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from rivetwright.bench.now import hole_now
from rivetwright.bench.open_now import OPEN, Waits
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.plan import COUNTERSINK, DIMPLE, Sheet
from rivetwright.record.kinds import (
    COUNTERSUNK,
    DEBURRED,
    DIMPLED,
    DRILLED,
    OPERATIONS,
    PRIMED,
)

ORDER = {name: k for k, name in enumerate(OPERATIONS)}
NEEDS = {DIMPLE: DIMPLED, COUNTERSINK: COUNTERSUNK}


@dataclass(frozen=True)
class SheetWork:
    """One operation on one sheet of one row: how many holes have it.

    `part` is empty where the operation is on the whole stack.
    """

    row: str
    part: str
    operation: str
    hole_ids: tuple[str, ...]
    done_count: int
    hole_count: int

    @property
    def is_done(self) -> bool:
        """Whether every hole has it."""
        return self.done_count == self.hole_count


@dataclass(frozen=True)
class RowWork:
    """Every operation on one row."""

    row: str
    works: tuple[SheetWork, ...]

    @property
    def is_done(self) -> bool:
        """Whether nothing is left to do in it."""
        return all(work.is_done for work in self.works)


def by_row(works: Iterable[SheetWork]) -> tuple[RowWork, ...]:
    """Operations row by row, in the order in which a person counts: A2 before A10."""
    rows: dict[str, list[SheetWork]] = {}
    for work in works:
        rows.setdefault(work.row, []).append(work)
    return tuple(RowWork(row, tuple(rows[row])) for row in sorted(rows, key=natural))


def natural(name: str) -> list[tuple[int, str]]:
    """A name to sort by, its figures as numbers."""
    return [
        (int(part), "") if part.isdecimal() else (-1, part)
        for part in re.split(r"(\d+)", name)
        if part
    ]


def operations_of(
    worked_plan: WorkedPlan, waits: Waits, holes: list[int]
) -> tuple[SheetWork, ...]:
    """Operations that the drawing asks of the holes of a step, row by row in order."""
    asked: dict[tuple[int, str, str], list[int]] = {}
    parts: dict[int, set[str]] = {}
    for at in holes:
        stack = sheets_now(worked_plan, waits, at)
        parts[at] = {sheet.part for sheet in stack}
        for part, operation in asked_of(stack):
            key = (int(waits.ids.holes.row[at]), part, operation)
            asked.setdefault(key, []).append(at)
    rows = {key[0]: k for k, key in enumerate(asked)}
    keys = sorted(asked, key=lambda key: (rows[key[0]], ORDER[key[2]]))
    return tuple(_work(waits, key, asked[key], parts) for key in keys)


def next_work(works: Iterable[SheetWork], operation: str) -> SheetWork | None:
    """The next sheet to deburr, to dimple ...; None where all is done."""
    return next((w for w in works if w.operation == operation and not w.is_done), None)


def sheets_now(worked_plan: WorkedPlan, waits: Waits, at: int) -> tuple[Sheet, ...]:
    """Sheets that a hole goes through at a step: without what comes later."""
    row = waits.ids.holes.row_of(at)
    why = waits.of(at)
    if why is not None and why.kind == OPEN and row.stack:
        return row.stack
    stacks = worked_plan.worked.stacks
    return stacks.classes[int(stacks.class_of[at])].sheets


def asked_of(stack: tuple[Sheet, ...]) -> list[tuple[str, str]]:
    """Part and operation for every operation that a stack asks for, in order."""
    prepared = [
        (sheet.part, NEEDS[sheet.preparation])
        for sheet in stack
        if sheet.preparation in NEEDS
    ]
    deburred = [(sheet.part, DEBURRED) for sheet in stack] or [("", DEBURRED)]
    return [("", DRILLED), *deburred, *prepared, ("", PRIMED)]


def _work(
    waits: Waits,
    key: tuple[int, str, str],
    holes: list[int],
    parts: dict[int, set[str]],
) -> SheetWork:
    """How far one operation is; on the whole stack it is done when on every sheet."""
    row, part, operation = key
    done = 0
    for at in holes:
        said = hole_now(waits.ids, waits.state, at).worked.get(operation, {})
        wanted = {part} if part else parts[at]
        done += "" in said or bool(wanted and wanted <= said.keys())
    return SheetWork(
        waits.ids.holes.plan.rows[row].name,
        part,
        operation,
        waits.ids.ranges(holes),
        done,
        len(holes),
    )
