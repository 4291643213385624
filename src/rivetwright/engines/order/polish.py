"""The last seconds out of a plan: shorter ways, fewer swaps, fewer holders put in.

Steps move within their visit, holder steps also to other visits of the same face,
where rules A and B let them. Whole stretches of holder work are done away with where
every step of them finds a place in another one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from rivetwright.engines.order.blocks import Classes
from rivetwright.engines.order.chance import Chance
from rivetwright.engines.order.moving import Moved, Moving
from rivetwright.engines.order.rows import RowRules
from rivetwright.engines.order.timeline import Timeline

# How much worse a move may make the plan at first, and at last. With few moves a step
# anything warmer ends above where it began.
_WARM_S = 0.1
_WARM_MOST_S = 0.5
_COOL_S = 0.03
_AT_WARM = 150  # moves a step for which the first figure holds
_NEAR_COUNT = 10
_CHAIN_MOST = 4
_TURN_MOST = 40
_LOOK_EVERY = 2000
_RUN_MOST = 30
_ROUNDS = 4  # of doing away with stretches, spread over the work


class Polish:
    """Makes one plan better.

    Args:
        classes: the classes of the stage.
        rules: its rows.
        steps: the plan, pairs of kind and index.
        seed: of the chance.
    """

    def __init__(
        self,
        classes: Classes,
        rules: RowRules,
        steps: Sequence[tuple[int, int]],
        seed: int = 1,
    ) -> None:
        self.line = Timeline(classes, rules, steps)
        self.moving = Moving(self.line)
        self.chance = Chance(seed)
        self.near = _near(rules)
        self.movable = [k for k in range(self.line.count) if self.line.hole[k] >= 0]
        self.slots = self._slots()
        self.saved_s = 0.0
        self.best_s, self.best = 0.0, list(steps)

    def run(
        self,
        tries: int,
        *,
        told: Callable[[float, float], None] | None = None,
        stop: Callable[[], bool] | None = None,
    ) -> list[tuple[int, int]]:
        """The plan after so many moves tried.

        Args:
            tries: moves to try.
            told: called now and then with the share done and what was saved [s].
            stop: asked now and then; True: hand over the plan as it is.

        Returns:
            Pairs of kind and index; never dearer than what was handed in.
        """
        self.do_away()
        self._keep()
        by_step = tries / max(len(self.movable), 1)
        begin_s = min(_WARM_S * (by_step / _AT_WARM) ** 0.6, _WARM_MOST_S)
        begin_s = max(begin_s, _COOL_S)
        for done in range(tries if self.movable else 0):
            if done % _LOOK_EVERY == 0:
                self._keep()
                if told:
                    told(done / tries, self.best_s)
                if stop and stop():
                    break
                warm_s = begin_s * (_COOL_S / begin_s) ** (done / tries)
            if (done + 1) % max(tries // _ROUNDS, 1) == 0:
                self.do_away()
            self._try(-warm_s * math.log(max(self.chance.share(), 1e-12)))
        self._drop_all()
        self._keep()
        return self.best

    def _keep(self) -> None:
        """Note the plan where it is the best so far."""
        if self.saved_s > self.best_s + 1e-9:
            self.best_s, self.best = self.saved_s, list(self.line.steps())

    def _slots(self) -> dict[int, list[int]]:
        """Gates with no rivet up to the next one: holder work there is no swap."""
        line = self.line
        with_rivets = {
            line.stretch[step] for step in self.movable if line.is_rivet[step]
        }
        slots: dict[int, list[int]] = {face: [] for face in line.face_of}
        for step in [line.head, *range(line.count)]:
            stretch = line.stretch[step]
            if line.hole[step] < 0 and stretch not in with_rivets:
                slots[line.face_of[stretch]].append(step)
        return slots

    # --- one move -----------------------------------------------------------------

    def _try(self, most_s: float) -> None:
        """One move by chance, taken where it costs no more than allowed."""
        chance, line = self.chance, self.line
        step = self.movable[chance.below(len(self.movable))]
        draw = chance.share()
        if draw > 0.98 and not line.is_rivet[step]:
            slots = self.slots[self.line.face_of[line.stretch[step]]]
            near = slots[chance.below(len(slots))] if slots else -1
            to_slot = True
        else:
            near = self._near_step(step)
            to_slot = False
        if near < 0:
            return
        if draw < 0.2:
            self._turn(step, near, most_s)
            return
        count = 1 if draw < 0.75 else 2 + chance.below(_CHAIN_MOST - 1)
        chain = self.moving.chain(step, count)
        to = near if to_slot or chance.share() < 0.5 else line.before[near]
        if to in chain:
            return
        is_turned = len(chain) > 1 and chance.share() < 0.5
        self._take(self.moving.attempt(chain, to, is_turned=is_turned, most_s=most_s))

    def _near_step(self, step: int) -> int:
        """A step at a hole nearby; -1: none."""
        holes = self.near[self.line.hole[step]]
        steps = self.line.steps_of[holes[self.chance.below(len(holes))]]
        if not steps:
            return -1
        near = steps[self.chance.below(len(steps))] if len(steps) > 1 else steps[0]
        return near if near != step else -1

    def _turn(self, step: int, near: int, most_s: float) -> None:
        """Go a stretch the other way round, so that two near steps meet."""
        line = self.line
        if line.stretch[step] != line.stretch[near]:
            return
        if line.key[step] > line.key[near]:
            step, near = near, step
        first = line.after[step]
        if first == near:
            return
        chain = [first]
        while chain[-1] != near:
            if len(chain) >= _TURN_MOST:
                return
            chain.append(line.after[chain[-1]])
        self._take(self.moving.attempt(chain, step, is_turned=True, most_s=most_s))

    def _take(self, move: Moved | None) -> None:
        if move is not None:
            self.saved_s -= move.cost_s

    # --- whole stretches of holder work -------------------------------------------

    def do_away(self) -> None:
        """Do away with stretches of holder work, and with holders put in."""
        line = self.line
        step = line.after[line.head]
        starts = []
        while step != line.tail:
            is_pliers = line.hole[step] >= 0 and not line.is_rivet[step]
            before = line.before[step]
            was_pliers = line.hole[before] >= 0 and not line.is_rivet[before]
            if is_pliers and not was_pliers:
                starts.append(step)
            step = line.after[step]
        for start in starts:
            self._scatter(start)
        self._drop_all()

    def _scatter(self, start: int) -> None:
        line = self.line
        if line.hole[line.before[start]] >= 0 and not line.is_rivet[line.before[start]]:
            return  # joined to another stretch meanwhile
        run = []
        for step in self.moving.chain(start, _RUN_MOST + 1):
            if line.is_rivet[step]:
                break
            run.append(step)
        if len(run) > _RUN_MOST:
            return
        made: list[Moved] = []
        for step in run:
            move = self._elsewhere(step, set(run))
            if move is None:
                break
            made.append(move)
        cost_s = sum(move.cost_s for move in made)
        if len(made) == len(run) and cost_s < -1e-9:
            self.saved_s -= cost_s
            return
        for move in reversed(made):
            self.moving.undo(move)

    def _elsewhere(self, step: int, run: set[int]) -> Moved | None:
        """The cheapest place beside other holder work that the rules allow."""
        line = self.line
        places = set(self.slots[self.line.face_of[line.stretch[step]]]) - run
        for hole in self.near[line.hole[step]]:
            for other in line.steps_of[hole]:
                if other not in run and not line.is_rivet[other]:
                    places |= {other, line.before[other]}
        ranked = sorted(
            (line.moved_s(step, step, to, is_turned=False), to)
            for to in places - {step, line.before[step]}
        )
        for _, to in ranked:
            move = self.moving.attempt([step], to, is_turned=False, most_s=40.0)
            if move is not None:
                return move
        return None

    def _drop_all(self) -> None:
        for hole in list(self.line.more):
            cost_s = self.moving.drop(hole, 0.0)
            if cost_s is not None:
                self.saved_s -= cost_s
                alive = {s for steps in self.line.steps_of for s in steps}
                self.movable = [s for s in self.movable if s in alive]


def _near(rules: RowRules) -> list[list[int]]:
    """Holes near each hole on its face, itself among them."""
    x_mm, y_mm = np.array(rules.x_mm), np.array(rules.y_mm)
    face = np.array(rules.face)
    near: list[list[int]] = [[] for _ in rules.face]
    for one in np.unique(face).tolist():
        holes = np.flatnonzero(face == one)
        for hole in holes.tolist():
            way = np.hypot(x_mm[holes] - x_mm[hole], y_mm[holes] - y_mm[hole])
            ranked = np.argsort(way, kind="stable")[: _NEAR_COUNT + 1]
            near[hole] = holes[ranked].tolist()
    return near
