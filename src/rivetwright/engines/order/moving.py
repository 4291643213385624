"""Moves of steps along a plan, taken only where rules A and B still hold.

A chain of steps is taken out and put in behind another step. What the move may have
spoilt is looked at, nothing else: rivets near enough to count under rule C and holders
near enough to count under rule B, between the old moment and the new one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rivetwright.engines.order.timeline import Timeline
from rivetwright.model.stage import Kind

_ROOM = 1e-7  # moments nearer than this are counted anew


@dataclass
class Moved:
    """A move that was made, with what takes it back."""

    first: int
    last: int
    prior: int  # the step it stood behind
    is_turned: bool
    stretches: list[int]
    keys: list[float]
    chain: list[int]
    breached: list[int]  # holes whose breach changed
    cost_s: float


class Moving:
    """A plan with moves made and taken back.

    Args:
        line: the plan.
    """

    def __init__(self, line: Timeline) -> None:
        self.line = line
        self.rules = line.rules
        self.penalty_s = line.costs.creep_penalty_s
        self.breaches = sum(line.breached)
        rules = line.rules
        self.far_mm = max(rules.bracket_mm, rules.skip_mm)
        self.near_mm = max(rules.reach_mm, rules.end_mm)

    def chain(self, first: int, count: int) -> list[int]:
        """Up to so many steps in a row, without a gate."""
        line, chain, step = self.line, [first], first
        while len(chain) < count:
            step = line.after[step]
            if line.hole[step] < 0:
                break
            chain.append(step)
        return chain

    def _turned_s(self, first: int, last: int) -> float:
        """What it costs to turn a chain where it stands."""
        line = self.line
        prior, after = line.before[first], line.after[last]
        ahead = line.link_s(prior, last) + line.link_s(first, after)
        return ahead - line.link_s(prior, first) - line.link_s(last, after)

    def attempt(
        self, chain: list[int], to: int, *, is_turned: bool, most_s: float
    ) -> Moved | None:
        """Move a chain behind another step, unless it costs too much.

        Args:
            chain: steps in a row, without a gate.
            to: a step or gate that is not in the chain.
            is_turned: whether the chain goes in backward.
            most_s: what the move may cost at the most [s].

        Returns:
            The move; None: it was not made.
        """
        line = self.line
        first, last = chain[0], chain[-1]
        prior = line.before[first]
        if to == prior and (not is_turned or first == last):
            return None
        after = line.after[last if to == prior else to]
        if to == prior:
            cost_s = self._turned_s(first, last)
        else:
            cost_s = line.moved_s(first, last, to, is_turned=is_turned)
        if cost_s > most_s and (
            not self.breaches or cost_s > most_s + self.penalty_s * len(chain)
        ):
            return None
        stretch = line.stretch[to]
        if not self._fits(chain, stretch):
            return None
        order = chain[::-1] if is_turned else chain
        keys = self._keys(to, after, len(chain))
        move = Moved(
            first=first,
            last=last,
            prior=prior,
            is_turned=is_turned,
            stretches=[line.stretch[step] for step in chain],
            keys=[line.key[step] for step in order],
            chain=order,
            breached=[],
            cost_s=cost_s,
        )
        for step, key in zip(order, keys, strict=True):
            line.put_moment(step, key)
        if not self._is_allowed(move, most_s):
            for step, key in zip(order, move.keys, strict=True):
                line.put_moment(step, key)
            return None
        self._settle(move, to, stretch)
        if not self._is_in_turn(move):
            self.undo(move)
            return None
        return move

    def _fits(self, chain: list[int], stretch: int) -> bool:
        """Right face, right setup, the part fitted."""
        line = self.line
        for step in chain:
            if line.stretch[step] == stretch:
                continue
            if line.is_rivet[step]:
                return False
            row = self.rules.row_of[line.hole[step]]
            if line.face_of[stretch] != self.rules.face[line.hole[step]]:
                return False
            if not 0 <= line.first_stretch[row] <= stretch:
                return False
        return True

    def _keys(self, to: int, after: int, count: int) -> list[float]:
        """Moments between two steps."""
        line = self.line
        for _ in range(2):
            begin, end = line.key[to], line.key[after]
            if after == line.tail:
                end = begin + count + 1.0
            apart = (end - begin) / (count + 1)
            if apart > _ROOM:
                break
            line.number_anew()
        return [begin + apart * (k + 1) for k in range(count)]

    # --- what a move may spoil ----------------------------------------------------

    def _is_allowed(self, move: Moved, most_s: float) -> bool:
        line = self.line
        rivets: set[int] = set()
        for step, old in zip(move.chain, move.keys, strict=True):
            hole, new = line.hole[step], line.key[step]
            steps = line.steps_of[hole]
            if len(steps) > 1 and not self._is_in_order(steps):
                return False
            begin, end = (old, new) if old < new else (new, old)
            if line.is_rivet[step]:
                rivets.add(hole)
                rivets.update(self._rivets_near(hole, begin, end))
                is_looser = new > old
            elif line.kind[step] == Kind.OUT:
                if not line.is_held_without(hole, new):
                    return False
                is_looser = new < old
            else:
                is_looser = new > old
            if is_looser and not self._is_held_near(hole, begin, end):
                return False
        for hole in rivets:
            is_breach = not line.may_set(hole, line.set_key[hole])
            if is_breach != line.breached[hole]:
                move.breached.append(hole)
                move.cost_s += self.penalty_s if is_breach else -self.penalty_s
        return move.cost_s <= most_s

    def _is_in_order(self, steps: list[int]) -> bool:
        key = self.line.key
        return all(key[steps[k]] < key[steps[k + 1]] for k in range(len(steps) - 1))

    def _rivets_near(self, hole: int, begin: float, end: float) -> Iterator[int]:
        """Holes set in between that may see this one as their neighbour."""
        rules, set_key = self.rules, self.line.set_key
        row = rules.row_of[hole]
        if rules.is_creep_free[row]:
            return
        holes, rank, s_mm = rules.rows[row], rules.rank[hole], rules.s_mm
        for way in (range(rank - 1, -1, -1), range(rank + 1, len(holes))):
            for place in way:
                other = holes[place]
                if abs(s_mm[other] - s_mm[hole]) > self.far_mm:
                    break
                key = set_key[other]
                if key <= begin:
                    break
                if key < end:
                    yield other

    def _is_held_near(self, hole: int, begin: float, end: float) -> bool:
        """Rule B for the holders taken out nearby in between."""
        rules, line = self.rules, self.line
        row = rules.row_of[hole]
        if rules.is_clamp_free[row]:
            return True
        holes, rank, s_mm = rules.rows[row], rules.rank[hole], rules.s_mm
        set_key, out_key, more = line.set_key, line.out_key, line.more
        for way in (range(rank - 1, -1, -1), range(rank + 1, len(holes))):
            for place in way:
                other = holes[place]
                if abs(s_mm[other] - s_mm[hole]) > self.near_mm:
                    break
                key = out_key[other]
                if begin <= key < end and not line.is_held_without(other, key):
                    return False
                if other in more:
                    for _, out in more[other]:
                        key = line.key[out]
                        if begin <= key < end and not line.is_held_without(other, key):
                            return False
                if set_key[other] <= begin or out_key[other] >= end:
                    break
        return True

    def _settle(self, move: Moved, to: int, stretch: int) -> None:
        line = self.line
        if to == move.prior:
            self._turn(move.first, move.last)
        else:
            line.relink(move.first, move.last, to, is_turned=move.is_turned)
        for step in move.chain:
            line.stretch[step] = stretch
        for hole in move.breached:
            line.breached[hole] = not line.breached[hole]
            self.breaches += 1 if line.breached[hole] else -1

    def _turn(self, first: int, last: int) -> None:
        line = self.line
        line.relink(first, last, line.before[first], is_turned=True)

    def _is_in_turn(self, move: Moved) -> bool:
        line = self.line
        if line.stretch[move.first] in line.is_waiting and not all(
            line.is_in_turn(step) for step in move.chain
        ):
            return False
        is_holder = any(not line.is_rivet[step] for step in move.chain)
        return not is_holder or line.has_spare()

    def undo(self, move: Moved) -> None:
        """Take back the last move that was made."""
        line = self.line
        first, last = move.chain[0], move.chain[-1]
        line.relink(first, last, move.prior, is_turned=move.is_turned)
        for step, stretch in zip(
            move.chain[::-1] if move.is_turned else move.chain,
            move.stretches,
            strict=True,
        ):
            line.stretch[step] = stretch
        for step, key in zip(move.chain, move.keys, strict=True):
            line.put_moment(step, key)
        for hole in move.breached:
            line.breached[hole] = not line.breached[hole]
            self.breaches += 1 if line.breached[hole] else -1

    # --- holders put in for nothing -----------------------------------------------

    def drop(self, hole: int, most_s: float) -> float | None:
        """Leave out a holder that is put in and taken out again.

        Args:
            hole: where it is put in.
            most_s: what leaving it out may cost at the most [s].

        Returns:
            The change of cost [s]; None: it stays.
        """
        line = self.line
        pair = line.more[hole][-1]
        came, went = pair
        if went == line.tail or line.steps_of[hole].index(went) != (
            line.steps_of[hole].index(came) + 1
        ):
            return None
        cost_s = -line.costs.holder_in_s - line.costs.holder_out_s
        if line.after[came] == went:
            cost_s += self._without_s(came, went)
        else:
            cost_s += self._without_s(came, came) + self._without_s(went, went)
        if cost_s > most_s:
            return None
        line.more[hole].remove(pair)
        if not line.more[hole]:
            del line.more[hole]
        if not self._is_held_near(hole, line.key[came], line.key[went]):
            line.more.setdefault(hole, []).append(pair)
            return None
        for step in pair:
            line.steps_of[hole].remove(step)
            before, after = line.before[step], line.after[step]
            line.after[before], line.before[after] = after, before
        line.put_in -= 1
        return cost_s

    def _without_s(self, first: int, last: int) -> float:
        line = self.line
        before, after = line.before[first], line.after[last]
        return (
            line.link_s(before, after)
            - line.link_s(before, first)
            - line.link_s(last, after)
        )
