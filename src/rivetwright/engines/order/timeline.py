"""A plan as a line of steps that can be moved, with the moment of every step.

Rules B and C ask only what was fast, or set, at some moment near some hole. So each
hole keeps the moments at which its rivet is set and its holders move, and a step that
moves is judged by the steps of its neighbours between its old moment and its new one:
nothing else is replayed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from rivetwright.engines.order.blocks import Classes
from rivetwright.engines.order.rows import RowRules
from rivetwright.engines.order.stage import BARE
from rivetwright.model.stage import Kind

_INF = math.inf
GATES = (Kind.RIG, Kind.FACE, Kind.MILESTONE)


class Timeline:
    """Steps in a chain; gates (changes, turns, milestones) part it into stretches.

    A step is named by its number in the plan handed in; the number after the last one
    is the gate at the very beginning, the next one the gate at the very end.

    Args:
        classes: the classes of the stage.
        rules: its rows.
        steps: pairs of kind and index.
    """

    def __init__(
        self, classes: Classes, rules: RowRules, steps: Sequence[tuple[int, int]]
    ) -> None:
        self.classes, self.rules = classes, rules
        stage = classes.tables.stage
        self.costs = stage.costs
        self.count = len(steps)
        self.head, self.tail = self.count, self.count + 1
        self.kind = [kind for kind, _ in steps] + [Kind.MILESTONE] * 2
        self.index = [index for _, index in steps] + [-1, -1]
        self.hole = [
            -1 if kind in GATES else index
            for kind, index in zip(self.kind, self.index, strict=True)
        ]
        self.is_rivet = [kind == Kind.SET for kind in self.kind]
        self.after = [*range(1, self.count), self.tail, 0, self.tail]
        self.before = [self.head, *range(self.count - 1), self.head, self.count - 1]
        if not self.count:
            self.after, self.before = [self.tail, self.tail], [self.head, self.head]
        self.key = [*map(float, range(self.count)), -1.0, _INF]
        self._part()
        self._note_moments()
        self.breached = [False] * len(stage)
        for step in range(self.count):
            if self.is_rivet[step]:
                self.breached[self.hole[step]] = not self.may_set(
                    self.hole[step], self.key[step]
                )

    def _part(self) -> None:
        """Which stretch every step belongs to; what each stretch is."""
        stage = self.classes.tables.stage
        face, rigged = stage.start_face, stage.rigged
        self.stretch = [0] * (self.count + 2)
        self.face_of, self.setup_of = [face], [rigged]
        self.first_stretch = [
            0 if there else -1 for there in self.classes.tables.is_there.tolist()
        ]
        for step in range(self.count):
            if self.hole[step] < 0:
                number = len(self.face_of)
                if self.kind[step] == Kind.FACE:
                    face = self.index[step]
                elif self.kind[step] == Kind.RIG:
                    rigged = self.index[step]
                else:
                    for row, after in enumerate(stage.row_after.tolist()):
                        if after == self.index[step] and self.first_stretch[row] < 0:
                            self.first_stretch[row] = number
                self.face_of.append(face)
                self.setup_of.append(rigged)
            self.stretch[step] = len(self.face_of) - 1
        self.stretch[self.tail] = -1

    def _note_moments(self) -> None:
        stage = self.classes.tables.stage
        count = len(stage)
        self.set_key = [-_INF if one else _INF for one in stage.is_set.tolist()]
        held = stage.holder.tolist()
        self.out_key = [_INF if one else -_INF for one in held]
        self.more: dict[int, list[tuple[int, int]]] = {}  # holders put in: in, out
        self.steps_of: list[list[int]] = [[] for _ in range(count)]
        self.put_in = 0
        for step in range(self.count):
            hole = self.hole[step]
            if hole < 0:
                continue
            self.steps_of[hole].append(step)
            kind = self.kind[step]
            if kind == Kind.SET:
                self.set_key[hole] = self.key[step]
            elif kind == Kind.IN:
                self.put_in += 1
                self.more.setdefault(hole, []).append((step, self.tail))
            elif hole in self.more:
                came, _ = self.more[hole][-1]
                self.more[hole][-1] = (came, step)
            else:
                self.out_key[hole] = self.key[step]
        self._note_waiting()

    def _note_waiting(self) -> None:
        """Stretches in which some holes wait for others of the same stretch."""
        classes = self.classes
        self.batch = [
            classes.classes[number].batch if number != BARE else -1
            for number in classes.class_of.tolist()
        ]
        inside: dict[int, set[int]] = {}
        for step in range(self.count):
            if self.is_rivet[step]:
                batch = self.batch[self.hole[step]]
                inside.setdefault(self.stretch[step], set()).add(batch)
        before = classes.is_before
        self.is_waiting = {
            stretch
            for stretch, batches in inside.items()
            if any(before[a, b] for a in batches for b in batches)
        }

    # --- costs --------------------------------------------------------------------

    def link_s(self, a: int, b: int) -> float:
        """Walking, and a swap, from one step to the one after it.

        Args:
            a: a step or gate.
            b: the one after it.

        Returns:
            The time [s].
        """
        from_hole, to_hole = self.hole[a], self.hole[b]
        if from_hole < 0 or to_hole < 0:
            return 0.0
        rules = self.rules
        time_s = (
            math.hypot(
                rules.x_mm[from_hole] - rules.x_mm[to_hole],
                rules.y_mm[from_hole] - rules.y_mm[to_hole],
            )
            / rules.speed_mm_s
        )
        if self.is_rivet[a] != self.is_rivet[b]:
            time_s += self.costs.swap_s
        return time_s

    def steps(self) -> Iterator[tuple[int, int]]:
        """Pairs of kind and index, in their order."""
        step = self.after[self.head]
        while step != self.tail:
            yield self.kind[step], self.index[step]
            step = self.after[step]

    def moved_s(self, first: int, last: int, to: int, *, is_turned: bool) -> float:
        """Change of walking and swaps where a chain moves behind another step [s]."""
        before, after, link_s = self.before[first], self.after[last], self.link_s
        behind = self.after[to]
        head, end = (last, first) if is_turned else (first, last)
        return (
            link_s(before, after)
            - link_s(before, first)
            - link_s(last, after)
            - link_s(to, behind)
            + link_s(to, head)
            + link_s(end, behind)
        )

    # --- moments ------------------------------------------------------------------

    def is_fast(self, hole: int, key: float) -> bool:
        """Whether a rivet or a holder is in a hole at a moment [of the line]."""
        if self.set_key[hole] <= key or self.out_key[hole] > key:
            return True
        if hole in self.more:
            keys = self.key
            return any(keys[a] <= key < keys[b] for a, b in self.more[hole])
        return False

    def is_held_without(self, hole: int, key: float) -> bool:
        """Whether rule B lets a hole be open from a moment [of the line] on."""
        rules = self.rules
        row = rules.row_of[hole]
        if rules.is_clamp_free[row]:
            return True
        holes, rank = rules.rows[row], rules.rank[hole]
        left = rank - 1
        while left >= 0 and not self.is_fast(holes[left], key):
            left -= 1
        right, count = rank + 1, len(holes)
        while right < count and not self.is_fast(holes[right], key):
            right += 1
        return rules.is_gap_held(row, left, right)

    def may_set(self, hole: int, key: float) -> bool:
        """Whether rule C lets a rivet be set at a moment [of the line]."""
        rules, set_key = self.rules, self.set_key
        row = rules.row_of[hole]
        if rules.is_creep_free[row]:
            return True
        if rules.are_ends_free and hole in (rules.first[row], rules.last[row]):
            return True
        holes, rank = rules.rows[row], rules.rank[hole]
        left = rank - 1
        while left >= 0 and set_key[holes[left]] >= key:
            left -= 1
        right, count = rank + 1, len(holes)
        while right < count and set_key[holes[right]] >= key:
            right += 1
        return rules.may_set_between(
            hole,
            holes[left] if left >= 0 else -1,
            holes[right] if right < count else -1,
        )

    def may_be_at(self, step: int, stretch: int, key: float) -> bool:
        """Rule A: right stretch, and a moment [of the line] in turn at its hole."""
        hole = self.hole[step]
        if self.is_rivet[step]:
            if stretch != self.stretch[step]:
                return False
        elif (
            self.face_of[stretch] != self.rules.face[hole]
            or not 0 <= self.first_stretch[self.rules.row_of[hole]] <= stretch
        ):
            return False
        steps = self.steps_of[hole]
        if len(steps) > 1:
            place = steps.index(step)
            if place and self.key[steps[place - 1]] >= key:
                return False
            if place + 1 < len(steps) and self.key[steps[place + 1]] <= key:
                return False
        return True

    def is_in_turn(self, step: int) -> bool:
        """Whether a rivet keeps what comes first within its stretch."""
        stretch = self.stretch[step]
        if stretch not in self.is_waiting or not self.is_rivet[step]:
            return True
        before, own = self.classes.is_before, self.batch[self.hole[step]]
        for way, follows in ((self.before, False), (self.after, True)):
            other = way[step]
            while self.hole[other] >= 0:
                if self.is_rivet[other]:
                    batch = self.batch[self.hole[other]]
                    pair = (batch, own) if follows else (own, batch)
                    if before[pair]:
                        return False
                other = way[other]
        return True

    def has_spare(self) -> bool:
        """Whether there is a holder to spare whenever one is put in."""
        spare = self.classes.tables.stage.holders_spare
        if self.put_in <= spare:
            return True
        step = self.after[self.head]
        while step != self.tail:
            if self.kind[step] == Kind.IN:
                spare -= 1
                if spare < 0:
                    return False
            elif self.kind[step] == Kind.OUT:
                spare += 1
            step = self.after[step]
        return True

    # --- moving -------------------------------------------------------------------

    def put_moment(self, step: int, key: float) -> None:
        """Note a step's new moment [of the line] at its hole."""
        self.key[step] = key
        hole = self.hole[step]
        if self.is_rivet[step]:
            self.set_key[hole] = key
        elif self.kind[step] == Kind.OUT and self.steps_of[hole][0] == step:
            self.out_key[hole] = key

    def relink(self, first: int, last: int, to: int, *, is_turned: bool) -> None:
        """Take a chain out and put it in behind another step; moments stay."""
        before, after = self.before, self.after
        prior, behind = before[first], after[last]
        after[prior], before[behind] = behind, prior
        if is_turned:
            step = first
            while True:
                following = after[step]
                after[step], before[step] = before[step], following
                if step == last:
                    break
                step = following
            first, last = last, first
        following = after[to]
        after[to], before[first] = first, to
        after[last], before[following] = following, last

    def number_anew(self) -> None:
        """Moments counted anew, so that there is room between them."""
        step, key = self.after[self.head], 0.0
        while step != self.tail:
            if self.hole[step] >= 0:
                self.put_moment(step, key)
            else:
                self.key[step] = key
            key += 1.0
            step = self.after[step]
