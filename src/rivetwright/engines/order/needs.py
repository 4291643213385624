"""What rule B makes certain, whatever the plan: passes along a row, holders put in.

Two facts carry the proven bound, and both follow from rule B alone; the proofs stand
in `design/order_bound.md`.

Window: holes of one class in one row that rule B would not let be open all at once,
though everything else in the row were fast. Before the first rivet in a window there
is a holder in it; it comes out after that rivet and before its own. So a window is
worked on with rivets, then pliers, then rivets.

Put in: a hole with a holder whose rivet can only be set when some other class was
set before, or else when a holder was put into one of certain holes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from rivetwright.engines.order.blocks import Classes
from rivetwright.engines.order.steps import TOLERANCE_MM
from rivetwright.model.stage import BARE


@dataclass(frozen=True)
class Window:
    """Holes of a class, neighbours in a row, that cannot all be open at once."""

    number: int
    holes: tuple[int, ...]


@dataclass(frozen=True)
class PutIn:
    """A hole that may need a holder beside it before its own comes out.

    Args:
        hole: the hole, with a holder in it.
        ways: sets of classes; where all of one are set no later than the hole's own
            class, nothing has to be put in.
        places: where a holder would have to be put otherwise.
    """

    hole: int
    ways: tuple[frozenset[int], ...]
    places: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Needs:
    """Everything that rule B makes certain about a stage."""

    classes: Classes

    @cached_property
    def windows(self) -> tuple[Window, ...]:
        """Windows of every class in every row, each as short as can be."""
        rows = enumerate(self.classes.tables.rows)
        return tuple(
            window
            for row, holes in rows
            if not self.classes.tables.is_clamp_free[row]
            for window in self._windows_of(holes)
        )

    @cached_property
    def needy(self) -> frozenset[int]:
        """Classes that have a window."""
        return frozenset(window.number for window in self.windows)

    @cached_property
    def put_ins(self) -> tuple[PutIn, ...]:
        """Every hole that may need a holder beside it."""
        tables = self.classes.tables
        found: dict[tuple[object, ...], PutIn] = {}
        for row, holes in enumerate(tables.rows):
            if tables.is_clamp_free[row]:
                continue
            for place, hole in enumerate(holes):
                if tables.stage.holder[hole] and tables.wanted[hole]:
                    one = self._put_in(holes, place)
                    if one is not None:
                        own = int(self.classes.class_of[hole])
                        found.setdefault((own, one.ways, one.places), one)
        return tuple(found.values())

    # --- windows ------------------------------------------------------------------

    def _windows_of(self, row: Sequence[int]) -> Iterator[Window]:
        by_class: dict[int, list[int]] = {}
        for hole in row:
            number = int(self.classes.class_of[hole])
            if number != BARE:
                by_class.setdefault(number, []).append(hole)
        for number, holes in by_class.items():
            for first in range(len(holes)):
                window = self._shortest(row, holes, first)
                if window:
                    yield Window(number, window)

    def _shortest(
        self, row: Sequence[int], holes: Sequence[int], first: int
    ) -> tuple[int, ...]:
        """The fewest holes of a class, counted on from one, that cannot be open.

        Holes of another class in between are fast, so a run ends there.
        """
        rank = self.classes.tables.rank
        opened: list[int] = []
        for hole in holes[first:]:
            if opened and rank[hole] != rank[opened[-1]] + 1:
                return ()
            opened.append(hole)
            if not self.may_be_open(row, rank[opened[0]], rank[opened[-1]]):
                return tuple(opened)
        return ()

    def may_be_open(self, row: Sequence[int], first: int, last: int) -> bool:
        """Whether rule B lets these places of a row be open, all else being fast."""
        left = row[first - 1] if first > 0 else None
        right = row[last + 1] if last + 1 < len(row) else None
        return self._is_gap_held(left, right, row[first : last + 1])

    def _is_gap_held(
        self, left: int | None, right: int | None, inside: Sequence[int]
    ) -> bool:
        """Rule B for the open holes between two that are fast; None: the row's end."""
        stage = self.classes.tables.stage
        opened = [h for h in inside if not stage.is_deferred[h]]
        if not opened:
            return True
        if left is None and right is None:
            return False
        s_mm, clamp = stage.s_mm, stage.clamp
        # At an end of the row the outermost hole's own distance decides.
        if left is None:
            return bool(s_mm[right] - s_mm[opened[0]] <= clamp.end_mm + TOLERANCE_MM)
        if right is None:
            return bool(s_mm[opened[-1]] - s_mm[left] <= clamp.end_mm + TOLERANCE_MM)
        reach_mm = clamp.reach_mm + TOLERANCE_MM
        return bool(
            s_mm[opened[-1]] - s_mm[left] <= reach_mm
            and s_mm[right] - s_mm[opened[0]] <= reach_mm
        )

    # --- holders put in -----------------------------------------------------------

    def _put_in(self, row: Sequence[int], place: int) -> PutIn | None:
        """What setting one held hole asks of its neighbours; None: nothing."""
        own = int(self.classes.class_of[row[place]])
        ways: set[frozenset[int]] = set()
        places: set[int] = set()
        for pair in self._gaps_round(row, place):
            missing = [q for q in pair if not self._is_fast_anyway(q, own)]
            if not missing:
                return None
            places.update(missing)
            asked = [int(self.classes.class_of[q]) for q in missing]
            if BARE not in asked:
                ways.add(frozenset(asked))
        least = [w for w in ways if not any(other < w for other in ways)]
        return PutIn(
            row[place],
            tuple(sorted(least, key=sorted)),
            tuple(sorted(places)),
        )

    def _is_fast_anyway(self, hole: int, own: int) -> bool:
        """Whether a hole may be fast at that moment and no holder put into it."""
        stage = self.classes.tables.stage
        return bool(
            stage.holder[hole]
            or stage.is_set[hole]
            or self.classes.class_of[hole] == own
        )

    def _gaps_round(self, row: Sequence[int], place: int) -> Iterator[tuple[int, ...]]:
        """Every pair of neighbours between which rule B lets a hole be open."""
        lefts: list[int | None] = [*range(place - 1, -1, -1), None]
        for left in lefts:
            pairs = tuple(self._gaps_from(row, place, left))
            yield from pairs
            # A gap that reaches further is held no better; but at the row's end
            # another distance decides.
            if not pairs and left is not None:
                yield from self._gaps_from(row, place, None)
                return

    def _gaps_from(
        self, row: Sequence[int], place: int, left: int | None
    ) -> Iterator[tuple[int, ...]]:
        begin = 0 if left is None else left + 1
        first = None if left is None else row[left]
        for right in range(place + 1, len(row)):
            if not self._is_gap_held(first, row[right], row[begin:right]):
                break
            yield (row[right],) if first is None else (first, row[right])
        if first is not None and self._is_gap_held(first, None, row[begin:]):
            yield (first,)
