"""One way along a row: in which order its rivets are set, and its holders moved.

Rivets to and fro along the row, each time whatever rule C lets be set, the last holes
of a stretch early where nothing is set beyond them. Answers are kept: the same row in
the same state is asked for again and again while orders of blocks are tried.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from rivetwright.engines.order.chain import Chain, Chosen
from rivetwright.engines.order.rows import RowRules


class Run(NamedTuple):
    """Holes in the order they are worked on; walking between them, breaches of C."""

    holes: tuple[int, ...]
    walk_s: float
    breaches: int


class Choice(NamedTuple):
    """Rivets of the first pass, holders out, holders in; as bits by rank."""

    rivets: int
    outs: int
    ins: int


def ranks_of(bits: int) -> list[int]:
    """The places that a number's bits stand for, in order."""
    ranks = []
    while bits:
        low = bits & -bits
        ranks.append(low.bit_length() - 1)
        bits ^= low
    return ranks


class RowRuns:
    """Everything that is asked about one row in one state, worked out once.

    States are bits by rank along the row: which holes are set, which held.

    Args:
        rules: the rows.
        from_middle: rows are begun in the middle and worked outward.
        ends_first: the ends are set before anything else.
    """

    def __init__(
        self, rules: RowRules, *, from_middle: bool = False, ends_first: bool = False
    ) -> None:
        self.rules = rules
        self.from_middle, self.ends_first = from_middle, ends_first
        self.set_now = [False] * len(rules.rank)
        self.held_now = [False] * len(rules.rank)
        self._runs: dict[tuple[int, int, int, bool], Run] = {}
        self._choices: dict[tuple[int, int, int, int, float, float], Choice] = {}

    # --- which holes --------------------------------------------------------------

    def choice(
        self,
        row: int,
        wanted: int,
        is_set: int,
        held: int,
        costs_s: tuple[float, float],
    ) -> Choice:
        """What the first pass sets and which holders move then.

        Args:
            row: the row.
            wanted: bits of the holes to set in this visit.
            is_set: bits of those that are set.
            held: bits of those with a holder.
            costs_s: of a further pass for one holder, and of a holder put in [s].
        """
        key = (row, wanted, is_set, held, *costs_s)
        known = self._choices.get(key)
        if known is None:
            holes = self.rules.rows[row]
            self._lay(row, is_set, held)
            inside = [holes[k] for k in ranks_of(wanted)]
            chain = Chain(
                self.rules, row, inside, self.set_now, self.held_now, *costs_s
            )
            known = self._choices[key] = self._bits(chain.choose())
        return known

    def _bits(self, chosen: Chosen) -> Choice:
        rank = self.rules.rank
        return Choice(*(sum(1 << rank[h] for h in part) for part in chosen))

    def _lay(self, row: int, is_set: int, held: int) -> None:
        for rank, hole in enumerate(self.rules.rows[row]):
            self.set_now[hole] = bool(is_set >> rank & 1)
            self.held_now[hole] = bool(held >> rank & 1)

    # --- in which order -----------------------------------------------------------

    def rivets(self, row: int, bits: int, is_set: int, is_back: bool) -> Run:
        """The order in which some holes of a row are set.

        Args:
            row: the row.
            bits: the holes.
            is_set: those of the row that are set already.
            is_back: begun at the far end.
        """
        key = (row, bits, is_set, is_back)
        known = self._runs.get(key)
        if known is None:
            self._lay(row, is_set, 0)
            holes = [self.rules.rows[row][k] for k in ranks_of(bits)]
            if is_back:
                holes.reverse()
            known = self._runs[key] = self._along(holes)
        return known

    def _along(self, holes: list[int]) -> Run:
        order: list[int] = []
        breaches = 0
        left = self._first_way(holes)
        early = self._early(left)
        while left:
            taken = [h for h in left if self._set_if_wise(h, early)]
            if not taken:
                hole = self._least_harm(left)
                breaches += not self.rules.may_set(hole, self.set_now)
                self.set_now[hole] = True
                early.discard(hole)
                taken = [hole]
            order += taken
            gone = set(taken)
            left = [h for h in reversed(left) if h not in gone]
        walk_s = sum(self.rules.walk_s(a, b) for a, b in pairwise(order))
        return Run(tuple(order), walk_s, breaches)

    def _first_way(self, holes: list[int]) -> list[int]:
        if self.from_middle and len(holes) > 2:
            middle = len(holes) // 2
            return [*holes[middle:], *reversed(holes[:middle])]
        if self.ends_first and len(holes) > 2:
            return [holes[0], holes[-1], *holes[1:-1]]
        return holes

    def _is_free_end(self, hole: int) -> bool:
        rules, row = self.rules, self.rules.row_of[hole]
        return rules.are_ends_free and hole in (rules.first[row], rules.last[row])

    def _early(self, holes: list[int]) -> set[int]:
        """Holes that nothing will bracket once all the others are set."""
        rules = self.rules
        if not holes or rules.is_creep_free[rules.row_of[holes[0]]]:
            return set()
        wanted = set(holes)
        row = rules.rows[rules.row_of[holes[0]]]
        fast = [h for h in row if self.set_now[h] or h in wanted]
        early = set()
        for before, hole, after in zip(
            [-1, *fast[:-1]], fast, [*fast[1:], -1], strict=True
        ):
            if (
                hole in wanted
                and not self._is_free_end(hole)
                and not rules.is_bracketed(before, after)
            ):
                early.add(hole)
        return early

    def _set_if_wise(self, hole: int, early: set[int]) -> bool:
        """Set it where rule C lets it and it takes no later hole's chance."""
        rules = self.rules
        if not rules.may_set(hole, self.set_now):
            return False
        if early and hole not in early:
            near = rules.neighbours(hole, self.set_now)
            s_mm = rules.s_mm
            if not rules.is_bracketed(*near) and any(
                abs(s_mm[hole] - s_mm[h]) < rules.skip_mm for h in early
            ):
                return False
        early.discard(hole)
        self.set_now[hole] = True
        return True

    def _least_harm(self, holes: list[int]) -> int:
        """Against rule C anyway: the hole farthest from what is set."""
        s_mm = self.rules.s_mm

        def way_mm(hole: int) -> float:
            near = self.rules.neighbours(hole, self.set_now)
            return min((abs(s_mm[h] - s_mm[hole]) for h in near if h >= 0), default=0.0)

        return max(holes, key=way_mm)
