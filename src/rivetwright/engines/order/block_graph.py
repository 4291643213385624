"""Ways from visit to visit, and what is certain whatever the order of blocks.

The bench is a grid of states: what is rigged, and which face lies ready. One moves
over it by a change of setup or by a turn. A plan may pass through a state without
the model seeing it; it then begins one more run, which may save walking. So every
state passed on the way is credited with what one more run can save at the most, and
the ways between visits are shortest with that credit taken off.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.order.blocks import Classes, Visit
from rivetwright.engines.order.needs import Needs
from rivetwright.engines.order.stage import Tables
from rivetwright.engines.order.walk import FaceWalk, face_walk

_RUNS_OF_A_VISIT = 3  # rivets, pliers, rivets
# A run must not save more than what begins it costs: a swap, a change or a turn.
_SHARE_OF_SWAP = 0.9


@dataclass(frozen=True, eq=False)
class BlockGraph:
    """Costs of the model of blocks.

    Args:
        needs: what rule B makes certain.
        visits_count: about how many visits a good order has.
    """

    needs: Needs
    visits_count: int

    @property
    def classes(self) -> Classes:
        """The classes of the stage."""
        return self.needs.classes

    @property
    def tables(self) -> Tables:
        """The stage."""
        return self.classes.tables

    @cached_property
    def walks(self) -> tuple[FaceWalk, ...]:
        """Walking at the least, per face."""
        return tuple(
            face_walk(self.needs, face) for face in range(len(self.tables.stage.turn_s))
        )

    @cached_property
    def saved_s(self) -> tuple[float, ...]:
        """What is charged for each run on a face, and credited where it begins [s]."""
        stage = self.tables.stage
        faces = {one.face for one in self.classes.visits}
        visits = max(1, round(self.visits_count / max(len(faces), 1)))
        most_s = min(_SHARE_OF_SWAP * stage.costs.swap_s, self._least_step_s / 2)
        runs = _RUNS_OF_A_VISIT * visits
        return tuple(walk.best_charge_s(runs, most_s) for walk in self.walks)

    @property
    def _least_step_s(self) -> float:
        """The cheapest change of setup or turn that there is."""
        stage = self.tables.stage
        changes_s = self.tables.change_s[:-1]
        apart = ~np.eye(len(changes_s), dtype=np.bool_)
        turned = ~np.eye(len(stage.turn_s), dtype=np.bool_)
        return min(
            float(changes_s[apart].min(initial=np.inf)),
            float(self.tables.change_s[-1].min(initial=np.inf)),
            float(stage.turn_s[turned].min(initial=np.inf)),
        )

    @cached_property
    def certain_s(self) -> float:
        """Everything that no order of blocks changes [s]."""
        stage = self.tables.stage
        wanted_holders = int(np.sum(self.tables.wanted & stage.holder))
        milestones = self.classes.open_milestones
        walking_s = sum(
            walk.charged_s(run_s)
            for walk, run_s in zip(self.walks, self.saved_s, strict=True)
        )
        # The stretch before the first rig and after each milestone is a run more.
        begun_s = self.saved_s[stage.start_face] if self.saved_s else 0.0
        begun_s += len(milestones) * max(self.saved_s, default=0.0)
        swap_s = max(stage.costs.swap_s - min(self.saved_s, default=0.0), 0.0)
        begun_s += self.milestones_between * swap_s
        return (
            stage.costs.holder_out_s * wanted_holders
            + sum(stage.milestones[m].time_s for m in milestones)
            + walking_s
            - begun_s
        )

    @property
    def milestones_between(self) -> int:
        """Milestones that may come between two rivets of one window.

        One comes back from each with empty hands, so it may save one swap.
        """
        needy = {self.classes.classes[c].batch for c in self.needs.needy}
        before = self.classes.milestones_before
        return sum(
            any(
                b not in self.classes.needs_of(m)[0] and m not in before[b]
                for b in needy
            )
            for m in self.classes.open_milestones
        )

    # --- the grid -----------------------------------------------------------------

    def _at(self, setup: int, face: int) -> int:
        """Place in the grid; a bare bench is its last setup."""
        bare = len(self.tables.stage.setups)
        return (setup if setup >= 0 else bare) * len(self.tables.stage.turn_s) + face

    @cached_property
    def ways_s(self) -> NDArray[np.float64]:
        """Shortest ways over the grid, each state passed credited, (states, states)."""
        stage = self.tables.stage
        setups, faces = len(stage.setups), len(stage.turn_s)
        count = (setups + 1) * faces
        step_s = np.full((count, count), np.inf)
        for face in range(faces):
            at = np.arange(setups + 1) * faces + face
            step_s[np.ix_(at, at[:-1])] = self.tables.change_s
        for setup in range(setups + 1):
            at = setup * faces + np.arange(faces)
            step_s[np.ix_(at, at)] = stage.turn_s
        np.fill_diagonal(step_s, 0.0)
        credit_s = np.tile(np.array(self.saved_s), setups + 1)
        ways_s = step_s
        for middle in range(count):
            through_s = ways_s[:, middle, None] + ways_s[None, middle, :]
            through_s = through_s - credit_s[middle]
            through_s[middle, :] = through_s[:, middle] = np.inf
            ways_s = np.minimum(ways_s, through_s)
        np.fill_diagonal(ways_s, 0.0)
        return ways_s

    def way_s(self, before: Visit | None, then: Visit) -> float:
        """Time from one visit, or from the start, to the next; credits taken off.

        Args:
            before: the visit before; None: the start.
            then: the visit gone to.

        Returns:
            The time; less than nought where a run saves more than it costs [s].
        """
        stage = self.tables.stage
        if before is None:
            start = self._at(stage.rigged, stage.start_face)
            way_s = float(self.ways_s[start, self._at(then.setup, then.face)])
        else:
            first = self._at(before.setup, before.face)
            second = self._at(then.setup, then.face)
            if first == second:
                return 0.0  # the same stretch: no run begins
            way_s = float(self.ways_s[first, second])
        return way_s - self.saved_s[then.face]

    def return_s(self, visit: Visit) -> float:
        """The least it takes to leave a visit's state and to come back to it.

        Args:
            visit: the visit.

        Returns:
            The time, the runs begun credited [s].
        """
        at = self._at(visit.setup, visit.face)
        others = np.arange(len(self.ways_s)) != at
        credits_s = np.tile(np.array(self.saved_s), len(self.tables.stage.setups) + 1)
        there_s = self.ways_s[at, others] + self.ways_s[others, at] - credits_s[others]
        return float(there_s.min(initial=np.inf)) - self.saved_s[visit.face]

    def detour_s(self, visit: Visit) -> float:
        """The least that passing a visit once more can cost, its run credited.

        Args:
            visit: the visit.

        Returns:
            The time [s].
        """
        at = self._at(visit.setup, visit.face)
        ways_s = self.ways_s
        others = np.arange(len(ways_s)) != at
        through_s = ways_s[others, at, None] + ways_s[None, at, others]
        direct_s = ways_s[np.ix_(others, others)]
        is_way = np.isfinite(through_s) & np.isfinite(direct_s)
        last_s = float(ways_s[others, at].min(initial=np.inf))  # or end there
        detour_s = float((through_s[is_way] - direct_s[is_way]).min(initial=np.inf))
        return min(detour_s, last_s) - self.saved_s[visit.face]

    def rivets_s(self, number: int, visit: Visit) -> float:
        """Rivets of a class at a visit.

        Args:
            number: the class.
            visit: the visit.

        Returns:
            The time [s].
        """
        holes = len(self.classes.classes[number].holes)
        return holes * self.tables.stage.setups[visit.setup].rivet_s

    def weak_bound_s(self) -> float:
        """A bound without any solver: rivets at their quickest, each class entered.

        Classes with no setup in common are entered apart; each costs at least the
        shortest way into one of its visits.

        Returns:
            The bound, without what is certain [s].
        """
        entered: list[tuple[float, frozenset[tuple[int, int]]]] = []
        rivets_s = 0.0
        for number, one in enumerate(self.classes.classes):
            visits = [Visit(setup, one.face, one.batch) for setup in one.options]
            rivets_s += min(self.rivets_s(number, visit) for visit in visits)
            entered.append(
                (
                    min(self._enter_s(visit) for visit in visits),
                    frozenset((visit.setup, visit.face) for visit in visits),
                )
            )
        # Where credits outweigh a way, the solver's model is the one to ask.
        taken: set[tuple[int, int]] = set()
        ways_s = 0.0
        for enter_s, states in sorted(entered, key=lambda pair: -pair[0]):
            if enter_s > 0.0 and not taken & states:
                taken |= states
                ways_s += enter_s
        return rivets_s + ways_s

    def _enter_s(self, visit: Visit) -> float:
        """The shortest way into a visit from anywhere else, or from the start."""
        at = self._at(visit.setup, visit.face)
        stage = self.tables.stage
        if at == self._at(stage.rigged, stage.start_face):
            return -self.saved_s[visit.face]
        others = np.arange(len(self.ways_s)) != at
        return float(self.ways_s[others, at].min()) - self.saved_s[visit.face]
