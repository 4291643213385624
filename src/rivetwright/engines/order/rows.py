"""Rules B and C along one row, in plain numbers for the search.

Both rules couple only holes of one row. Every question here is about one row and asks
which of its holes are fast (rivet or holder) or set; the answers are looked up hole by
hole, so that a change costs only a look at its neighbours.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from rivetwright.engines.order.stage import Tables
from rivetwright.engines.order.steps import TOLERANCE_MM


@dataclass(eq=False)
class RowRules:
    """The rows of a stage and their limits, as plain lists.

    Args:
        tables: the stage.
        are_ends_free: whether the outermost hole of a row may be set at any time;
            False for work from the middle outward.
    """

    tables: Tables
    are_ends_free: bool = True
    rows: list[list[int]] = field(init=False)
    rank: list[int] = field(init=False)
    row_of: list[int] = field(init=False)
    s_mm: list[float] = field(init=False)
    x_mm: list[float] = field(init=False)
    y_mm: list[float] = field(init=False)
    face: list[int] = field(init=False)
    stays_open: list[bool] = field(init=False)

    def __post_init__(self) -> None:
        """Copy the columns, and note the limits with their tolerance."""
        stage = self.tables.stage
        self.rows = [list(row) for row in self.tables.rows]
        self.rank = self.tables.rank.tolist()
        self.row_of = stage.row.tolist()
        self.s_mm = stage.s_mm.tolist()
        self.x_mm, self.y_mm = stage.x_mm.tolist(), stage.y_mm.tolist()
        self.face = stage.face.tolist()
        self.stays_open = stage.is_deferred.tolist()
        self.reach_mm = stage.clamp.reach_mm + TOLERANCE_MM
        self.end_mm = stage.clamp.end_mm + TOLERANCE_MM
        self.skip_mm = stage.creep.skip_mm - TOLERANCE_MM
        self.bracket_mm = stage.creep.bracket_mm + TOLERANCE_MM
        self.is_clamp_free = list(self.tables.is_clamp_free)
        self.is_creep_free = list(self.tables.is_creep_free)
        active = self.tables.active_rows
        self.first = [row[0] if row else -1 for row in active]
        self.last = [row[-1] if row else -1 for row in active]
        self.speed_mm_s = stage.costs.speed_mm_s

    def walk_s(self, a: int, b: int) -> float:
        """Time to walk from one hole to another.

        Args:
            a: the hole one comes from.
            b: the hole one goes to.

        Returns:
            The time [s].
        """
        dx, dy = self.x_mm[a] - self.x_mm[b], self.y_mm[a] - self.y_mm[b]
        return float((dx * dx + dy * dy) ** 0.5) / self.speed_mm_s

    # --- rule B -------------------------------------------------------------------

    def is_gap_held(self, row: int, left: int, right: int) -> bool:
        """Whether rule B lets everything between two ranks of a row be open.

        Args:
            row: the row.
            left: rank of what is fast before; -1: nothing.
            right: rank of what is fast after; the row's length: nothing.
        """
        holes, s_mm = self.rows[row], self.s_mm
        if right >= len(holes):
            if left < 0:
                return False
            return s_mm[self.last[row]] - s_mm[holes[left]] <= self.end_mm
        if left < 0:
            return s_mm[holes[right]] - s_mm[self.first[row]] <= self.end_mm
        stays_open = self.stays_open
        first, last = left + 1, right - 1
        while first <= last and stays_open[holes[first]]:
            first += 1
        while last > first and stays_open[holes[last]]:
            last -= 1
        if first > last:
            return True
        return (
            s_mm[holes[last]] - s_mm[holes[left]] <= self.reach_mm
            and s_mm[holes[right]] - s_mm[holes[first]] <= self.reach_mm
        )

    def is_held_without(self, hole: int, is_fast: Sequence[bool]) -> bool:
        """Whether a hole may be open, everything else being as given."""
        row = self.row_of[hole]
        if self.is_clamp_free[row]:
            return True
        holes, rank = self.rows[row], self.rank[hole]
        left = rank - 1
        while left >= 0 and not is_fast[holes[left]]:
            left -= 1
        right, count = rank + 1, len(holes)
        while right < count and not is_fast[holes[right]]:
            right += 1
        return self.is_gap_held(row, left, right)

    def loose_gap(self, row: int, is_fast: Sequence[bool]) -> tuple[int, int] | None:
        """The first two ranks with too much open between them; None: held."""
        if self.is_clamp_free[row]:
            return None
        holes = self.rows[row]
        left = -1
        for right in range(len(holes) + 1):
            if right == len(holes) or is_fast[holes[right]]:
                if not self.is_gap_held(row, left, right):
                    return left, right
                left = right
        return None

    # --- rule C -------------------------------------------------------------------

    def may_set(self, hole: int, is_set: Sequence[bool]) -> bool:
        """Whether rule C lets a rivet be set now."""
        row = self.row_of[hole]
        if self.is_creep_free[row]:
            return True
        if self.are_ends_free and hole in (self.first[row], self.last[row]):
            return True
        left, right = self.neighbours(hole, is_set)
        return self.may_set_between(hole, left, right)

    def neighbours(self, hole: int, is_set: Sequence[bool]) -> tuple[int, int]:
        """Nearest set rivets on both sides along the row; -1: none."""
        holes, rank = self.rows[self.row_of[hole]], self.rank[hole]
        left = rank - 1
        while left >= 0 and not is_set[holes[left]]:
            left -= 1
        right, count = rank + 1, len(holes)
        while right < count and not is_set[holes[right]]:
            right += 1
        return (
            holes[left] if left >= 0 else -1,
            holes[right] if right < count else -1,
        )

    def is_bracketed(self, left: int, right: int) -> bool:
        """Whether two set rivets are near enough to set anything between them."""
        if left < 0 or right < 0:
            return False
        return self.s_mm[right] - self.s_mm[left] <= self.bracket_mm

    def may_set_between(self, hole: int, left: int, right: int) -> bool:
        """Rule C for a hole that is not outermost, with its nearest set rivets."""
        s_mm = self.s_mm[hole]
        is_far = (left < 0 or s_mm - self.s_mm[left] >= self.skip_mm) and (
            right < 0 or self.s_mm[right] - s_mm >= self.skip_mm
        )
        return is_far or self.is_bracketed(left, right)

    def by_row(self, holes: Iterable[int]) -> dict[int, list[int]]:
        """Holes sorted into their rows, each in the order along it."""
        rows: dict[int, list[int]] = {}
        for hole in holes:
            rows.setdefault(self.row_of[hole], []).append(hole)
        for inside in rows.values():
            inside.sort(key=self.rank.__getitem__)
        return rows
