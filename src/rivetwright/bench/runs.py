"""What to set next at a step: set-ups, and in each the runs of one row.

A run is a stretch of holes of one row that can be set now, counted from a named end,
so that a person finds it on metal that carries no numbers. It never holds a hole
that must wait, and says where to stop. The order here is that of the drawing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from rivetwright.bench.now import hole_now
from rivetwright.bench.open_now import Waiting, Waits
from rivetwright.engines.order.said import Card, Pattern, Press
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.columns import Holes
from rivetwright.model.plan import Row


@dataclass(frozen=True)
class StopHere:
    """The hole at which a run must stop, and why."""

    name: str
    counted: int
    why: Waiting


@dataclass(frozen=True)
class Run:
    """A stretch of one row, `first` to `last` counted from a named end.

    `row_count` is the number of holes in the row. A run of a worked-out order says its
    holes by their `patterns`; `press` is what the order says of it, `before` what is
    done before its first rivet.
    """

    key: str
    setup: str
    row: str
    face: str
    callout: str
    hole_ids: tuple[str, ...]
    names: tuple[str, ...]
    count: int
    from_end: str
    first: int
    last: int
    row_count: int
    holders: int
    stop_after: StopHere | None
    patterns: tuple[Pattern, ...] = ()
    leaves: tuple[int, ...] = ()
    press: Press | None = None
    before: tuple[Press, ...] = ()
    card: Card | None = None

    @property
    def is_whole_row(self) -> bool:
        """Whether it is every hole of the row."""
        return self.count == self.row_count


@dataclass(frozen=True)
class Setup:
    """Runs that need the same rivet, stack and tool."""

    key: str
    callout: str
    tools: tuple[str, ...]
    stack: str
    hole_count: int
    done_count: int
    runs: tuple[Run, ...]


@dataclass(frozen=True)
class _Kind:
    """What holes of one set-up share."""

    callout: str
    stack: str
    tools: tuple[str, ...]

    @property
    def key(self) -> str:
        return "|".join((self.callout, self.stack, ",".join(self.tools)))


def holes_of_step(waits: Waits) -> list[int]:
    """Holes that a step is about: of its rows, and open ones that it takes."""
    columns = waits.ids.holes
    plan = columns.plan
    by_row = np.array([row.step == waits.step for row in plan.rows], dtype=bool)
    later = [k for k, one in enumerate(plan.open_holes) if one.step == waits.step]
    is_of_step = by_row[columns.row] | np.isin(columns.open_holes, later)
    found: list[int] = np.flatnonzero(is_of_step).tolist()
    return found


def setups_of(worked_plan: WorkedPlan, waits: Waits) -> tuple[Setup, ...]:
    """The set-ups of a step, in the order of the drawing, with what is left in each."""
    stacks = worked_plan.worked.of_holes("used_stack")
    columns = waits.ids.holes
    kinds: dict[_Kind, list[int]] = {}
    for at in holes_of_step(waits):
        row = columns.row_of(at)
        tools = row.access.tools if row.access else ()
        kind = _Kind(str(columns.callout(at)), str(stacks[at]), tools)
        kinds.setdefault(kind, []).append(at)
    return tuple(_setup(waits, kind, holes) for kind, holes in kinds.items())


def _setup(waits: Waits, kind: _Kind, holes: list[int]) -> Setup:
    """One set-up; holes that must wait count neither as left nor as done."""
    done = {at for at in holes if waits.is_done(at)}
    free = {at for at in holes if at not in done and waits.of(at) is None}
    by_row: dict[int, list[int]] = {}
    for at in holes:
        by_row.setdefault(int(waits.ids.holes.row[at]), []).append(at)
    runs = tuple(run for row in by_row for run in _runs_of_row(waits, kind, row, free))
    return Setup(
        kind.key,
        kind.callout,
        kind.tools,
        kind.stack,
        len(free | done),
        len(done),
        runs,
    )


def _runs_of_row(waits: Waits, kind: _Kind, row: int, free: set[int]) -> Iterator[Run]:
    """Stretches of free holes of a row, in the order counted."""
    columns = waits.ids.holes
    every = range(int(columns.row_start[row]), int(columns.row_start[row + 1]))
    stretch: list[int] = []
    for at in [*every, -1]:
        if at in free:
            stretch.append(at)
        elif stretch:
            yield _run(waits, kind, every, stretch)
            stretch = []


def _run(waits: Waits, kind: _Kind, every: range, stretch: list[int]) -> Run:
    columns = waits.ids.holes
    row = columns.row_of(stretch[0])
    after = stretch[-1] + 1
    why = waits.of(after) if after in every else None
    stop = None
    if why is not None and not waits.is_done(after):
        stop = StopHere(columns.name(after), after - every.start + 1, why)
    seen = [hole_now(waits.ids, waits.state, at) for at in stretch]
    return Run(
        key=waits.ids.ranges(stretch)[0],
        setup=kind.key,
        row=row.name,
        face=row.face,
        callout=kind.callout,
        hole_ids=waits.ids.ranges(stretch),
        names=tuple(columns.name(at) for at in stretch),
        count=len(stretch),
        from_end=named_end(columns, row, every),
        first=stretch[0] - every.start + 1,
        last=stretch[-1] - every.start + 1,
        row_count=len(every),
        holders=sum(bool(hole.holder) for hole in seen),
        stop_after=stop,
    )


def named_end(columns: Holes, row: Row, every: range) -> str:
    """The end of the face that a row begins at, as the drawing names it.

    Empty where the row has no places, or one hole, or turns back on itself.
    """
    faces = {face.name: face for face in columns.plan.faces}
    if row.face not in faces or len(every) < 2:
        return ""
    part = slice(every.start, every.stop)
    along = {"u": np.diff(columns.x_mm[part]), "v": np.diff(columns.y_mm[part])}
    axis = "u" if abs(along["u"].sum()) >= abs(along["v"].sum()) else "v"
    if (along[axis] > 0).all():
        return faces[row.face].edge_names[f"{axis}0"]
    if (along[axis] < 0).all():
        return faces[row.face].edge_names[f"{axis}1"]
    return ""
