"""What was done to the holes of a step, row by row and sheet by sheet."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.now import hole_now
from rivetwright.bench.open_now import Waits
from rivetwright.model.plan import COUNTERSINK, DIMPLE, Sheet
from rivetwright.record.kinds import COUNTERSUNK, DEBURRED, DIMPLED, DRILLED, PRIMED

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


def operations_of(waits: Waits, holes: list[int]) -> tuple[SheetWork, ...]:
    """Operations that the drawing asks of the holes of a step, in working order."""
    columns = waits.ids.holes
    by_row: dict[int, list[int]] = {}
    for at in holes:
        by_row.setdefault(int(columns.row[at]), []).append(at)
    found = []
    for row, some in by_row.items():
        for part, operation in asked_of(columns.plan.rows[row].stack):
            found.append(_work(waits, some, part, operation))
    return tuple(found)


def asked_of(stack: tuple[Sheet, ...]) -> list[tuple[str, str]]:
    """Part and operation for every operation that a stack asks for, in order."""
    prepared = [
        (sheet.part, NEEDS[sheet.preparation])
        for sheet in stack
        if sheet.preparation in NEEDS
    ]
    deburred = [(sheet.part, DEBURRED) for sheet in stack] or [("", DEBURRED)]
    return [("", DRILLED), *deburred, *prepared, ("", PRIMED)]


def _work(waits: Waits, holes: list[int], part: str, operation: str) -> SheetWork:
    columns = waits.ids.holes
    done = 0
    for at in holes:
        parts = hole_now(waits.ids, waits.state, at).worked.get(operation, {})
        done += bool("" in parts or (part and part in parts))
    return SheetWork(
        columns.row_of(holes[0]).name,
        part,
        operation,
        waits.ids.ranges(holes),
        done,
        len(holes),
    )
