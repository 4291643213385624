"""Holes as read-only columns: rows of a plan expanded once.

Parts and rows are frozen values; a hole is an index into these arrays. Names,
sheets and callouts are looked up lazily, so that a million holes fit.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rivetwright.errors import NotFound, nearest_hint
from rivetwright.model.plan import SKETCHED, Callout, HoleRange, Plan, Row

_RANGE = re.compile(r"^(?P<row>[^:\s]+):(?P<first>\d+)(?:-(?P<last>\d+))?$")


def parse_hole_range(text: str) -> HoleRange:
    """Read `A12:18` or `A12:18-20`.

    Raises:
        NotFound: the text has another form.
    """
    match = _RANGE.match(text.strip())
    if match is None:
        raise NotFound(
            asked="read a hole name",
            found=repr(text),
            allowed="row:number or row:first-last, such as A12:18 or A12:18-20",
            do="write the row, a colon, and the number along the row",
        )
    first = int(match["first"])
    return HoleRange(match["row"], first, int(match["last"] or first))


def read_only(array: NDArray[Any]) -> NDArray[Any]:
    """Mark an array read-only and give it back."""
    array.setflags(write=False)
    return array


@dataclass(frozen=True)
class Holes:
    """Columns over all holes of one plan, shape (holes,) each.

    `row`, `face`, `step`, `open_holes`, `hold` are indices into the plan
    (-1: none). `step` is the step in which the hole is set, which for an open
    hole is the later one. Places in mm, NaN where the drawing gives none.
    """

    plan: Plan
    row: NDArray[np.int32]
    number: NDArray[np.int32]
    x_mm: NDArray[np.float64]
    y_mm: NDArray[np.float64]
    face: NDArray[np.int32]
    step: NDArray[np.int32]
    open_holes: NDArray[np.int32]
    hold: NDArray[np.int32]
    is_set: NDArray[np.bool_]
    is_drilled: NDArray[np.bool_]
    row_start: NDArray[np.int64]

    def __len__(self) -> int:
        """Number of holes."""
        return len(self.row)

    def name(self, hole: int) -> str:
        """The hole's name, `row:number`."""
        return f"{self.plan.rows[self.row[hole]].name}:{self.number[hole]}"

    def id(self, hole: int) -> str:
        """The hole's permanent id: the row's id and the number in the pattern."""
        return f"{self.plan.rows[self.row[hole]].id}:{self.number[hole]}"

    def row_of(self, hole: int) -> Row:
        """The row the hole belongs to."""
        return self.plan.rows[int(self.row[hole])]

    def callout(self, hole: int) -> Callout:
        """What is set there: the row's callout, or what an open hole gets later."""
        opened = int(self.open_holes[hole])
        if opened >= 0:
            later = self.plan.open_holes[opened].callout
            if later is not None:
                return later
        return self.row_of(hole).callout

    def state(self, hole: int) -> str:
        """One word: set, hold, open, drilled or planned."""
        if self.is_set[hole]:
            return "set"
        if self.hold[hole] >= 0:
            return "hold"
        if self.open_holes[hole] >= 0:
            return "open"
        return "drilled" if self.is_drilled[hole] else "planned"

    @cached_property
    def is_sketched(self) -> NDArray[np.bool_]:
        """Whether the place is only sketched, shape (holes,)."""
        by_row = np.array([r.places == SKETCHED for r in self.plan.rows], dtype=bool)
        return by_row[self.row] if len(by_row) else np.zeros(0, dtype=bool)

    @cached_property
    def place_tolerance_mm(self) -> NDArray[np.float64]:
        """How far the true place may lie from the stated one, shape (holes,) [mm]."""
        by_row = np.array([r.place_tolerance_mm for r in self.plan.rows], dtype=float)
        return by_row[self.row] if len(by_row) else np.zeros(0)

    @cached_property
    def row_index(self) -> dict[str, int]:
        """Row name to index in the plan."""
        return {row.name: k for k, row in enumerate(self.plan.rows)}

    def indices(self, holes: HoleRange) -> range:
        """Hole indices of a range.

        Raises:
            NotFound: the plan has no such row or the row no such hole.
        """
        k = self.row_index.get(holes.row)
        if k is None:
            raise NotFound(
                asked=f"find holes {holes}",
                found=f"no row {holes.row}",
                allowed="a row of this plan" + nearest_hint(holes.row, self.row_index),
                do="name a row as the plan writes it",
            )
        start, stop = int(self.row_start[k]), int(self.row_start[k + 1])
        numbers = self.number[start:stop]
        low, high = np.searchsorted(numbers, (holes.first, holes.last + 1))
        ends = (holes.first, holes.last)
        if low == high or (numbers[low], numbers[high - 1]) != ends:
            raise NotFound(
                asked=f"find holes {holes}",
                found=f"row {holes.row} with {stop - start} holes",
                allowed=f"numbers {numbers[0]} to {numbers[-1]} that the row has",
                do="check the number along the row",
            )
        return range(start + int(low), start + int(high))

    def index(self, name: str) -> int:
        """Index of one hole by its name.

        Raises:
            NotFound: the plan has no such hole.
        """
        return self.indices(parse_hole_range(name))[0]


def _row_places(row: Row) -> tuple[NDArray[np.int32], NDArray[np.float64]]:
    """Numbers and places of one row, in order of number."""
    number = np.arange(1, row.pattern.count + 1, dtype=np.int32)
    place = row.pattern.places_mm()
    if row.skip:
        keep = ~np.isin(number, row.skip)
        number, place = number[keep], place[keep]
    if row.extra:
        nowhere = (np.nan, np.nan)
        number = np.append(number, [e.number for e in row.extra]).astype(np.int32)
        place = np.vstack((place, [e.place_mm or nowhere for e in row.extra]))
        order = np.argsort(number, kind="stable")
        number, place = number[order], place[order]
    return number, place


def _mark(
    holes: Holes,
    column: NDArray[Any],
    ranges: Iterable[str | HoleRange],
    value: int,
) -> None:
    """Write a value into a column at the holes of some ranges."""
    for written in ranges:
        asked = parse_hole_range(written) if isinstance(written, str) else written
        found = holes.indices(asked)
        column[found.start : found.stop] = value


def expand(plan: Plan) -> Holes:
    """Expand all rows of a plan into hole columns.

    Raises:
        NotFound: an open-hole, hold or opening entry names a hole that is not there.
    """
    rows = [_row_places(row) for row in plan.rows]
    counts = np.array([len(number) for number, _ in rows], dtype=np.int64)
    count = int(counts.sum())
    index = np.repeat(np.arange(len(rows), dtype=np.int32), counts)
    faces = {face.name: k for k, face in enumerate(plan.faces)}
    steps = {step.name: k for k, step in enumerate(plan.steps)}
    face = np.array([faces.get(r.face, -1) for r in plan.rows], dtype=np.int32)
    step = np.array([steps.get(r.step, -1) for r in plan.rows], dtype=np.int32)
    place = np.vstack([p for _, p in rows]) if rows else np.zeros((0, 2))
    none = np.full(count, -1, dtype=np.int32)
    holes = Holes(
        plan=plan,
        row=index,
        number=np.concatenate([n for n, _ in rows]) if rows else none,
        x_mm=np.ascontiguousarray(place[:, 0]),
        y_mm=np.ascontiguousarray(place[:, 1]),
        face=face[index] if rows else none,
        step=step[index] if rows else none,
        open_holes=none.copy(),
        hold=none.copy(),
        is_set=np.zeros(count, dtype=bool),
        is_drilled=np.zeros(count, dtype=bool),
        row_start=np.concatenate(([0], np.cumsum(counts))),
    )
    for k, opened in enumerate(plan.open_holes):
        _mark(holes, holes.open_holes, opened.holes, k)
        if opened.step:
            _mark(holes, holes.step, opened.holes, steps.get(opened.step, -1))
    for k, hold in enumerate(plan.opening.holds):
        _mark(holes, holes.hold, hold.holes, k)
    _mark(holes, holes.is_drilled, plan.opening.drilled, 1)
    _mark(holes, holes.is_set, plan.opening.set_holes, 1)
    for column in vars(holes).values():
        if isinstance(column, np.ndarray):
            read_only(column)
    return holes


def preceding_steps(plan: Plan) -> NDArray[np.bool_]:
    """Which steps lie before or at which, shape (steps, steps).

    Entry [a, b] is true where step b is a itself or must be done before it, by
    the steps' needs. Steps that need each other in a ring are refused by the
    file reader; a ring here just marks all its members.
    """
    index = {step.name: k for k, step in enumerate(plan.steps)}
    before = np.eye(len(plan.steps), dtype=bool)
    for k, step in enumerate(plan.steps):
        for need in step.needs:
            if need.kind == "step" and need.name in index:
                before[k, index[need.name]] = True
    for k in range(len(plan.steps)):
        before |= np.outer(before[:, k], before[k])
    return before
