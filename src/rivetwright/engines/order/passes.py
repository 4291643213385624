"""How a row is best begun: rivets first, or a holder out of the way first.

A visit to a row goes in passes: rivets, holders, and again. Several ways to begin are
followed through to the last rivet on this row alone, and the cheapest is taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from rivetwright.engines.order.runs import Choice, RowRuns, ranks_of

_NEVER_S = float("inf")
_NOTHING = Choice(0, 0, 0)
_SPARE_MOST = 6  # more than any one pass of a row puts in
_PASSES_MOST = 60


class _State(NamedTuple):
    """A row on the bench, as bits by rank."""

    is_set: int
    held: int
    spare: int


class RowPasses:
    """The best first pass of each row in each state, worked out once.

    Args:
        runs: ways along the rows.
    """

    def __init__(self, runs: RowRuns) -> None:
        self.runs = runs
        self.costs = runs.rules.tables.stage.costs
        self.again_s = 2 * self.costs.swap_s + 1.0
        self.in_s = self.costs.holder_in_s + self.costs.holder_out_s + 1.0
        self._best: dict[tuple[int, int, int, int, int], Choice] = {}

    def best(self, row: int, wanted: int, is_set: int, held: int, spare: int) -> Choice:
        """The first pass that leads to the cheapest end of a visit to a row.

        Args:
            row: the row.
            wanted: bits of the holes to set in this visit.
            is_set: bits of those that are set.
            held: bits of those with a holder.
            spare: sheet holders in the box.
        """
        wanted &= ~is_set
        state = _State(is_set, held, min(spare, _SPARE_MOST))
        if self.runs.from_middle or self.runs.ends_first:
            one = self._as_asked(row, wanted, state)
            if one != _NOTHING:
                return one
        key = (row, wanted, *state)
        known = self._best.get(key)
        if known is None:
            known = self._best[key] = self._cheapest(row, wanted, state)
        return known

    def _as_asked(self, row: int, wanted: int, state: _State) -> Choice:
        """Every open hole, then every holder out: the way decides, not the cost."""
        opened = wanted & ~state.held
        riveted = state._replace(is_set=state.is_set | opened)
        # Of two side by side at an end the outermost goes first: rule C lets it be set.
        middle = (len(self.runs.rules.rows[row]) - 1) / 2
        held = sorted(
            ranks_of(wanted & state.held), key=lambda k: (-abs(k - middle), k)
        )
        return Choice(opened, self._free(row, held, riveted), 0)

    def _cheapest(self, row: int, wanted: int, state: _State) -> Choice:
        best = self._plain(row, wanted, state)
        if not best.outs and not best.rivets:
            return best
        best_s = self._through_s(row, wanted, state, best)
        free = Choice(0, self._free(row, ranks_of(wanted & state.held), state), 0)
        if free.outs:
            cost_s = self._through_s(row, wanted, state, free)
            if cost_s < best_s:
                best_s, best = cost_s, free
        taken = 0
        for ends in _ends_of_runs(wanted):
            kept = taken
            for part in ends:
                if part & ~state.held:
                    continue
                one = self._ask(row, taken | part, state, _NEVER_S, self.in_s)
                if not one.outs or one.ins.bit_count() > state.spare:
                    continue
                cost_s = self._through_s(row, wanted, state, one)
                if cost_s < best_s:
                    best_s, best, kept = cost_s, one, taken | part
            taken = kept
        return best

    def _free(self, row: int, held: Sequence[int], state: _State) -> int:
        """Holders that may come out as it is, taken one after the other."""
        out = 0
        for rank in held:
            bit = 1 << rank
            one = self.runs.choice(
                row, bit, state.is_set, state.held & ~out, (_NEVER_S, _NEVER_S)
            )
            if one.outs == bit:
                out |= bit
        return out

    def _ask(
        self, row: int, wanted: int, state: _State, again_s: float, in_s: float
    ) -> Choice:
        return self.runs.choice(row, wanted, state.is_set, state.held, (again_s, in_s))

    def _plain(self, row: int, wanted: int, state: _State) -> Choice:
        """The cheapest choice that moves on, with the holders that are to spare."""
        for costs_s in (
            (self.again_s, self.in_s),
            (_NEVER_S, self.in_s),
            (self.again_s, _NEVER_S),
        ):
            one = self._ask(row, wanted, state, *costs_s)
            if one.ins.bit_count() <= state.spare and (one.outs or one.rivets):
                return one
        if wanted & ~state.held:
            return Choice(wanted & ~state.held, 0, 0)
        for rank in ranks_of(wanted):
            one = self._ask(row, 1 << rank, state, _NEVER_S, self.in_s)
            if one.outs and one.ins.bit_count() <= state.spare:
                return one
        return _NOTHING

    def _through_s(self, row: int, wanted: int, state: _State, one: Choice) -> float:
        """Cost of a beginning, followed through to the last rivet of the row."""
        cost_s, hand = 0.0, ""
        for _ in range(_PASSES_MOST):
            if one.rivets:
                run = self.runs.rivets(row, one.rivets, state.is_set, False)
                cost_s += run.walk_s + self.costs.creep_penalty_s * run.breaches
                cost_s += self.costs.swap_s * (hand == "pliers")
                hand = "rivets"
            if one.outs or one.ins:
                cost_s += self.in_s * one.ins.bit_count()
                cost_s += self.costs.swap_s * (hand == "rivets")
                cost_s += self._span_s(row, one.outs | one.ins)
                hand = "pliers"
            state = _State(
                state.is_set | one.rivets,
                state.held & ~one.outs | one.ins,
                state.spare + one.outs.bit_count() - one.ins.bit_count(),
            )
            wanted &= ~state.is_set
            if not wanted:
                return cost_s
            held = wanted & state.held
            one = self._plain(row, wanted, state) if held else Choice(wanted, 0, 0)
            if one == _NOTHING:
                return _NEVER_S
        return _NEVER_S

    def _span_s(self, row: int, bits: int) -> float:
        """A way along the row from the first to the last of some holes."""
        holes, ranks = self.runs.rules.rows[row], ranks_of(bits)
        return self.runs.rules.walk_s(holes[ranks[0]], holes[ranks[-1]])


def _ends_of_runs(wanted: int) -> Iterator[tuple[int, ...]]:
    """Of each run of places side by side: its first, its last, both; as bits."""
    ranks = ranks_of(wanted)
    first = 0
    for k, rank in enumerate(ranks):
        if k + 1 == len(ranks) or ranks[k + 1] != rank + 1:
            low, high = 1 << ranks[first], 1 << rank
            yield (low, high, low | high) if low != high else (low,)
            first = k + 1
