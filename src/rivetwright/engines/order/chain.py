"""Which holes of a row to set first, so that its sheet holders can come out.

For one visit to a row: rivets first into as few open holes as keep the row held
together without the holders, spaced as rule C wants them; then every holder comes out
in one go; then the rest. Where the open holes of the visit are not enough, a holder
stays for a later pass, or another is put in beside it, whichever costs less. The
cheapest choice is a shortest way along the row.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from rivetwright.engines.order.rows import RowRules

_SPARSE_S = 0.05  # one rivet more in the first pass: hardly anything
_TWICE_S = 1.0  # one way more along a part of the row
_INF = float("inf")


class Chosen(NamedTuple):
    """What the first pass sets, and which holders then move."""

    rivets: list[int]
    outs: list[int]
    ins: list[int]


class _Label(NamedTuple):
    """The cheapest way to a fast place, and the last rivet before it."""

    cost: float
    rank: int
    riveted: int  # rank of the last set hole, -1: none
    before: _Label | None


@dataclass(frozen=True)
class _Place:
    """What a place of the row may be once the holders are out."""

    cost: float  # of being fast
    must: bool  # it is fast anyway
    is_rivet: bool


class Chain:
    """One row at one visit: which of its holes are wanted, held, set.

    Args:
        rules: the rows.
        row: the row.
        wanted: its holes that this visit sets, in order.
        is_set: per hole of the stage.
        held: per hole of the stage.
        again_s: what a further pass for one holder costs.
        in_s: what putting a holder in costs; infinite: none to spare.
    """

    def __init__(
        self,
        rules: RowRules,
        row: int,
        wanted: list[int],
        is_set: list[bool],
        held: list[bool],
        again_s: float,
        in_s: float,
    ) -> None:
        self.rules = rules
        self.row = row
        self.holes = rules.rows[row]
        self.wanted = set(wanted)
        self.is_set = is_set
        self.held = held
        self.again_s = again_s
        self.in_s = in_s
        self.penalty_s = rules.tables.stage.costs.creep_penalty_s

    def choose(self) -> Chosen:
        """The cheapest choice.

        Returns:
            Rivets of the first pass, holders out, holders in; nothing at all where no
            holder can come out.
        """
        held = [h for h in self.holes if h in self.wanted and self.held[h]]
        if self.rules.is_clamp_free[self.row]:
            return Chosen([], held, [])
        ends = self._ways()
        if not ends:
            return Chosen([], [], [])
        fast = set()
        label = ends[0].before
        while label is not None and label.rank >= 0:
            fast.add(self.holes[label.rank])
            label = label.before
        rivets = [h for h in self.holes if h in fast & self.wanted and not self.held[h]]
        outs = [h for h in held if h not in fast]
        ins = [
            h
            for h in self.holes
            if h in fast and not (h in self.wanted or self.held[h] or self.is_set[h])
        ]
        return Chosen(rivets, outs, ins)

    def _place(self, hole: int) -> _Place | None:
        if self.is_set[hole]:
            return _Place(0.0, True, True)
        if hole in self.wanted:
            if self.held[hole]:
                return _Place(self.again_s, False, False)
            return _Place(_SPARSE_S, False, True)
        if self.held[hole]:
            return _Place(0.0, True, False)
        return _Place(self.in_s, False, False) if self.in_s < _INF else None

    def _ways(self) -> list[_Label]:
        """Cheapest ways from one end of the row to the other, best first."""
        count = len(self.holes)
        places = [self._place(hole) for hole in self.holes]
        self.sums = [0]
        for hole in self.holes:
            self.sums.append(self.sums[-1] + (hole in self.wanted))
        self.next_set = self._next_set()
        at: list[dict[int, _Label]] = [{} for _ in range(count + 1)]
        start = {-1: _Label(0.0, -1, -1, None)}
        for left in range(-1, count):
            labels = start if left < 0 else at[left]
            if not labels:
                continue
            for right in self._reached(left, places):
                place = places[right] if right < count else _Place(0.0, True, False)
                if place is not None and self.rules.is_gap_held(self.row, left, right):
                    self._extend(labels, right, place, at[right])
        return sorted(at[count].values(), key=lambda label: label.cost)

    def _reached(self, left: int, places: list[_Place | None]) -> Iterator[int]:
        """Ranks that may be the next fast place after one; the length: the end."""
        count, is_held = len(self.holes), True
        for right in range(left + 1, count):
            place = places[right]
            if place is not None:
                if is_held:
                    yield right
                if place.must:
                    return
            if left >= 0 and right > left + 1:
                is_held = self.rules.is_gap_held(self.row, left, right)
        yield count

    def _next_set(self) -> list[int]:
        """Rank of the next set hole from each place on; the row's length: none."""
        count = len(self.holes)
        following = [count] * (count + 1)
        for rank in range(count - 1, -1, -1):
            is_set = self.is_set[self.holes[rank]]
            following[rank] = rank if is_set else following[rank + 1]
        return following

    def _extend(
        self,
        labels: dict[int, _Label],
        right: int,
        place: _Place,
        into: dict[int, _Label],
    ) -> None:
        for riveted, label in labels.items():
            cost = label.cost + place.cost
            now = riveted
            if place.is_rivet:
                cost += self._first_s(riveted, right) + self._rest_s(riveted, right)
                now = right
            elif right == len(self.holes):
                cost += self._rest_s(riveted, right)
            known = into.get(now)
            if known is None or cost < known.cost:
                into[now] = _Label(cost, right, now, label)

    def _first_s(self, riveted: int, rank: int) -> float:
        """What rule C has against setting a place in the first pass."""
        rules, hole = self.rules, self.holes[rank]
        if self.is_set[hole] or rules.is_creep_free[self.row]:
            return 0.0
        if rules.are_ends_free and hole in (
            rules.first[self.row],
            rules.last[self.row],
        ):
            return 0.0
        left = self.holes[riveted] if riveted >= 0 else -1
        following = self.next_set[rank + 1]
        right = self.holes[following] if following < len(self.holes) else -1
        return 0.0 if rules.may_set_between(hole, left, right) else _TWICE_S

    def _rest_s(self, riveted: int, right: int) -> float:
        """What rule C has against setting the holes between, afterwards."""
        rules = self.rules
        count = self.sums[min(right, len(self.holes))] - self.sums[riveted + 1]
        if not count or rules.is_creep_free[self.row]:
            return 0.0
        left = self.holes[riveted] if riveted >= 0 else -1
        after = self.holes[right] if right < len(self.holes) else -1
        if rules.is_bracketed(left, after):
            return 0.0
        inside = self.holes[riveted + 1 : right]
        wanted = [h for h in inside if h in self.wanted]
        s_mm = rules.s_mm
        if left >= 0 and after >= 0:
            middle_mm = (s_mm[left] + s_mm[after]) / 2
            near = [h for h in wanted if s_mm[h] < middle_mm]
            return self._side_s(left, near) + self._side_s(after, wanted[len(near) :])
        return self._side_s(max(left, after), wanted)

    def _side_s(self, riveted: int, wanted: list[int]) -> float:
        """Rule C for holes with one set rivet beside them and none beyond."""
        if not wanted or riveted < 0:
            return 0.0
        rules = self.rules
        ends = (rules.first[self.row], rules.last[self.row])
        far_mm = max(abs(rules.s_mm[h] - rules.s_mm[riveted]) for h in wanted)
        is_end = rules.are_ends_free and any(h in ends for h in wanted)
        if is_end or far_mm >= rules.skip_mm:
            return _TWICE_S
        return self.penalty_s * len(wanted)
