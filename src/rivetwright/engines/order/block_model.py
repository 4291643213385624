"""The model of blocks for OR-Tools: one way through visits that serves every class.

What is decided: which visits are made and in which order, at which each class is
set, whether a class is whole in one visit that is made once, where a holder has to be
put in. A visit may have a second turn; a class that is not whole needs two turns.
The proof that every plan is a case of this model stands in `design/order_bound.md`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from ortools.sat.python import cp_model

from rivetwright.engines.order.block_graph import BlockGraph
from rivetwright.engines.order.blocks import HoleClass, Visit
from rivetwright.engines.order.needs import PutIn

TICKS = 1000  # the solver counts in thousandths of a second
SEED = 7
_NEVER_S = 1e6
_SWAPS_OF_A_WINDOW = 2  # rivets to pliers, and back


@dataclass(frozen=True)
class Solved:
    """What the solver found; no visits where it found none within its work."""

    visited: tuple[tuple[Visit, tuple[int, ...]], ...]
    bound_s: float
    is_proven: bool


def ticks(time_s: float) -> int:
    """A time in whole ticks, rounded downward so that a bound stays a bound.

    Args:
        time_s: a time, or a credit below nought [s].

    Returns:
        The time in thousandths of a second.
    """
    return math.floor(time_s * TICKS + 1e-9)


class BlockModel:
    """The model of one stage."""

    def __init__(
        self,
        graph: BlockGraph,
        hint: Sequence[tuple[Visit, Sequence[int]]] = (),
    ) -> None:
        self.graph = graph
        self.model = cp_model.CpModel()
        self.costs: list[cp_model.LinearExprT] = []
        self.visits = graph.classes.visits
        self.turns = self._turns()
        self._lay_out()
        self._serve()
        self._keep_first_first()
        self._make_whole()
        self._count_swaps()
        self._put_in()
        self.model.minimize(sum(self.costs))
        self._hint(hint)

    @property
    def classes(self) -> tuple[HoleClass, ...]:
        """The classes of the stage."""
        return self.graph.classes.classes

    def _turns(self) -> tuple[tuple[int, bool], ...]:
        """Places on the way: each visit, and its second turn where one may pay."""
        turns = [(visit, False) for visit in range(len(self.visits))]
        for number, visit in enumerate(self.visits):
            if self.graph.detour_s(visit) < self._saved_at_most_s:
                turns.append((number, True))
        return tuple(turns)

    @cached_property
    def _saved_at_most_s(self) -> float:
        """What second turns could save at the most: all that whole classes ask."""
        costs = self.graph.tables.stage.costs
        windows = len(self.graph.needs.needy)
        placed = {q for one in self.graph.needs.put_ins for q in one.places}
        per_holder_s = costs.holder_in_s + costs.holder_out_s
        swaps_s = _SWAPS_OF_A_WINDOW * costs.swap_s
        return swaps_s * windows + per_holder_s * len(placed)

    # --- the way ------------------------------------------------------------------

    def _lay_out(self) -> None:
        """One way from the start through the turns that are made."""
        model, count = self.model, len(self.turns)
        self.is_made = [model.new_bool_var(f"made{k}") for k in range(count)]
        self.rank = [model.new_int_var(0, count - 1, f"rank{k}") for k in range(count)]
        self.arcs: dict[tuple[int, int], cp_model.IntVar] = {}
        circuit: list[cp_model.ArcT] = []
        for k, made in enumerate(self.is_made):
            circuit.append((k, k, ~made))
            begins = self._arc(circuit, count, k, self._way_ticks(None, k))
            model.add(self.rank[k] == 0).only_enforce_if(begins)
            self._arc(circuit, k, count, 0)
            for other in range(count):
                if other != k and self._may_follow(k, other):
                    goes = self._arc(circuit, k, other, self._way_ticks(k, other))
                    follows = self.rank[other] == self.rank[k] + 1
                    model.add(follows).only_enforce_if(goes)
        for k, (visit, is_second) in enumerate(self.turns):
            if is_second:
                model.add_implication(self.is_made[k], self.is_made[visit])
                order = self.rank[visit] < self.rank[k]
                model.add(order).only_enforce_if(self.is_made[k])
        model.add_circuit(circuit)

    def _arc(
        self, circuit: list[cp_model.ArcT], tail: int, head: int, cost: int
    ) -> cp_model.IntVar:
        arc = self.model.new_bool_var(f"arc{tail}-{head}")
        circuit.append((tail, head, arc))
        self.arcs[tail, head] = arc
        self.costs.append(cost * arc)
        return arc

    def _way_ticks(self, before: int | None, then: int) -> int:
        visit, is_second = self._visit(then), self.turns[then][1]
        if before is None:
            return ticks(self.graph.way_s(None, visit))
        first = self._visit(before)
        is_same_state = (first.setup, first.face) == (visit.setup, visit.face)
        # A second turn is another stretch: second turns stand first in a stretch.
        if is_same_state and is_second and not self.turns[before][1]:
            return ticks(min(self.graph.return_s(visit), _NEVER_S))
        return ticks(self.graph.way_s(first, visit))

    def _visit(self, turn: int) -> Visit:
        return self.visits[self.turns[turn][0]]

    def _may_follow(self, turn: int, then: int) -> bool:
        is_before = self.graph.classes.is_before
        return not is_before[self._visit(then).batch, self._visit(turn).batch]

    def _serve(self) -> None:
        """Each class at one visit: the one at which its rivets are quickest."""
        model = self.model
        self.is_at: dict[tuple[int, int], cp_model.IntVar] = {}
        for number in range(len(self.classes)):
            places = self._visits_of(number)
            for place in places:
                at = model.new_bool_var(f"class{number}at{place}")
                self.is_at[number, place] = at
                model.add_implication(at, self.is_made[place])
                cost = ticks(self.graph.rivets_s(number, self.visits[place]))
                self.costs.append(cost * at)
            model.add_exactly_one(self.is_at[number, place] for place in places)

    def _visits_of(self, number: int) -> list[int]:
        one = self.classes[number]
        return [
            place
            for place, visit in enumerate(self.visits)
            if visit.face == one.face
            and visit.batch == one.batch
            and visit.setup in one.options
        ]

    def _keep_first_first(self) -> None:
        """A batch ends before the next begins."""
        is_before = self.graph.classes.is_before
        for k, made in enumerate(self.is_made):
            for other, also in enumerate(self.is_made):
                if is_before[self._visit(k).batch, self._visit(other).batch]:
                    order = self.rank[k] < self.rank[other]
                    self.model.add(order).only_enforce_if([made, also])

    # --- what rule B makes certain ------------------------------------------------

    def _make_whole(self) -> None:
        """A class is whole in a visit made once, or its visits have two turns."""
        model = self.model
        self.is_whole = [
            model.new_bool_var(f"whole{number}") for number in range(len(self.classes))
        ]
        for number, whole in enumerate(self.is_whole):
            places = set(self._visits_of(number))
            made = [
                self.is_made[k]
                for k, (visit, _) in enumerate(self.turns)
                if visit in places
            ]
            model.add(sum(made) >= 2).only_enforce_if(~whole)

    def _count_swaps(self) -> None:
        """Where a class with a window is whole: rivets, pliers, rivets."""
        model = self.model
        needed: dict[int, cp_model.IntVar] = {}
        for number in sorted(self.graph.needs.needy):
            for place in self._visits_of(number):
                if place not in needed:
                    needed[place] = model.new_bool_var(f"swaps{place}")
                at = self.is_at[number, place]
                model.add_bool_or([~self.is_whole[number], ~at, needed[place]])
        states: dict[tuple[int, int], list[int]] = {}
        for place in needed:
            visit = self.visits[place]
            states.setdefault((visit.setup, visit.face), []).append(place)
        swap_s = self.graph.tables.stage.costs.swap_s
        for (_, face), places in states.items():
            cost = ticks(_SWAPS_OF_A_WINDOW * (swap_s - self.graph.saved_s[face]))
            if len(places) == 1:
                self.costs.append(cost * needed[places[0]])
                continue
            passes = model.new_int_var(0, len(places), f"passes{places[0]}")
            for chain in self._chains(places):
                model.add(passes >= sum(needed[place] for place in chain))
            self.costs.append(cost * passes)

    def _chains(self, places: Sequence[int]) -> list[list[int]]:
        """Visits of one state whose batches follow on one another, longest chains."""
        is_before = self.graph.classes.is_before

        def grown(chain: list[int]) -> list[list[int]]:
            last = self.visits[chain[-1]].batch
            nexts = [p for p in places if is_before[last, self.visits[p].batch]]
            if not nexts:
                return [chain]
            return [more for p in nexts for more in grown([*chain, p])]

        return [chain for place in places for chain in grown([place])]

    def _put_in(self) -> None:
        """Where another class is not set in time, a holder is put in."""
        stage = self.graph.tables.stage
        self.class_rank = [
            self.model.new_int_var(0, len(self.turns) - 1, f"when{number}")
            for number in range(len(self.classes))
        ]
        for (number, place), at in self.is_at.items():
            when = self.class_rank[number] == self.rank[place]
            self.model.add(when).only_enforce_if(at)
        self.is_put: dict[int, cp_model.IntVar] = {}
        self.is_in_time: dict[tuple[int, int], cp_model.IntVar] = {}
        for one in self.graph.needs.put_ins:
            self._put_one(one)
        for hole, put in self.is_put.items():
            out_s = 0.0 if stage.is_deferred[hole] else stage.costs.holder_out_s
            self.costs.append(ticks(stage.costs.holder_in_s + out_s) * put)

    def _put_one(self, one: PutIn) -> None:
        own = int(self.graph.classes.class_of[one.hole])
        asked = {number for way in one.ways for number in way}
        batches = {self.classes[number].batch for number in asked}
        if batches - {self.classes[own].batch}:
            return  # they may lie in one visit in any order: nothing is certain
        clause = [~self.is_whole[number] for number in sorted({own, *asked})]
        for way in one.ways:
            clause.append(self._all_in_time(way, own))
        for hole in one.places:
            if hole not in self.is_put:
                self.is_put[hole] = self.model.new_bool_var(f"put{hole}")
            clause.append(self.is_put[hole])
        self.model.add_bool_or(clause)

    def _all_in_time(self, way: frozenset[int], own: int) -> cp_model.IntVar:
        each = [self._in_time(number, own) for number in sorted(way)]
        if len(each) == 1:
            return each[0]
        together = self.model.new_bool_var(f"way{own}-{sorted(way)}")
        for one in each:
            self.model.add_implication(together, one)
        return together

    def _in_time(self, number: int, own: int) -> cp_model.IntVar:
        """Only where one class is set no later than another may this be true."""
        if (number, own) not in self.is_in_time:
            in_time = self.model.new_bool_var(f"by{number}-{own}")
            order = self.class_rank[number] <= self.class_rank[own]
            self.model.add(order).only_enforce_if(in_time)
            self.is_in_time[number, own] = in_time
        return self.is_in_time[number, own]

    # --- solving ------------------------------------------------------------------

    def _hint(self, visited: Sequence[tuple[Visit, Sequence[int]]]) -> None:
        """Begin from an order that is known."""
        number_of = {visit: number for number, visit in enumerate(self.visits)}
        first: dict[int, int] = {}
        chosen: dict[int, int] = {}
        for visit, classes in visited:
            place = number_of[visit]
            first.setdefault(place, len(first))
            chosen.update(dict.fromkeys(classes, place))
        for k, made in enumerate(self.is_made):
            number, is_second = self.turns[k]
            is_hinted = not is_second and number in first
            self.model.add_hint(made, is_hinted)
            if is_hinted:
                self.model.add_hint(self.rank[k], first[number])
        for (number, place), at in self.is_at.items():
            self.model.add_hint(at, chosen.get(number) == place)

    def solve(self, work_most: float) -> Solved:
        """Solve within so much work.

        Args:
            work_most: the solver's work at the most, in its own units [units].

        Returns:
            The visits in their order, and the bound.
        """
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.linearization_level = 2  # ten times quicker at the bound
        solver.parameters.random_seed = SEED
        solver.parameters.max_deterministic_time = work_most
        status = solver.solve(self.model)
        is_found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        return Solved(
            self._visited(solver) if is_found else (),
            solver.best_objective_bound / TICKS,
            status == cp_model.OPTIMAL,
        )

    def _visited(
        self, solver: cp_model.CpSolver
    ) -> tuple[tuple[Visit, tuple[int, ...]], ...]:
        """Visits that set something, in the order found."""
        served: dict[int, list[int]] = {}
        for (number, place), at in self.is_at.items():
            if solver.boolean_value(at):
                served.setdefault(place, []).append(number)
        order = sorted(served, key=lambda place: solver.value(self.rank[place]))
        return tuple((self.visits[place], tuple(served[place])) for place in order)
