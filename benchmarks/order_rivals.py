"""Other ways to order a stage, for the benchmark: what a person or a solver would do.

Each makes a sequence of rivets with their setups. `follow` turns it into a plan that
keeps rules A and B: it rigs, turns, does what comes first, takes holders out as they
are met, and puts one in beside where rule B would not let that be.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from ortools.constraint_solver import pywrapcp, routing_enums_pb2

from rivetwright.engines.order.blocks import Classes
from rivetwright.engines.order.stage import Tables
from rivetwright.model.stage import BARE, Kind, Steps

Choice = tuple[int, int]  # a setup and a hole
_TICKS = 100


class NoOrder(Exception):
    """A rival found no order that keeps the rules."""


class _Bench:
    """The part while a sequence is followed."""

    def __init__(self, classes: Classes) -> None:
        self.classes, self.tables = classes, classes.tables
        stage = self.tables.stage
        self.is_set = stage.is_set.copy()
        there = self.tables.is_there[stage.row]
        self.held = stage.holder & there
        self.spare = stage.holders_spare
        self.done = {m for m, one in enumerate(stage.done) if one}
        self.rigged, self.face = stage.rigged, stage.start_face
        self.steps: list[tuple[int, int]] = []

    def is_loose(self, row: int) -> bool:
        """Whether rule B is broken in a row."""
        tables, stage = self.tables, self.tables.stage
        if tables.is_clamp_free[row]:
            return False
        holes = np.array(tables.rows[row])
        s_mm = stage.s_mm[holes]
        fast = (self.is_set | self.held)[holes]
        opened = ~fast & ~stage.is_deferred[holes]
        if not fast.any():
            return True
        kept = s_mm[~stage.is_deferred[holes]]
        places = s_mm[fast]
        end_mm = stage.clamp.end_mm + 1e-6
        if places[0] - kept[0] > end_mm or kept[-1] - places[-1] > end_mm:
            return True
        inside = s_mm[opened]
        inside = inside[(inside > places[0]) & (inside < places[-1])]
        right = np.searchsorted(places, inside)
        far_mm = np.maximum(inside - places[right - 1], places[right] - inside)
        return bool((far_mm > stage.clamp.reach_mm + 1e-6).any())

    def milestone(self, number: int) -> None:
        """Do a milestone, with those that come first."""
        if number in self.done:
            return
        for first in self.classes.needs_of(number)[1]:
            self.milestone(first)
        self.done.add(number)
        self.steps.append((Kind.MILESTONE, number))
        stage = self.tables.stage
        self.held |= stage.holder & (stage.row_after[stage.row] == number)

    def go(self, setup: int, hole: int) -> None:
        """Come to a hole with a setup, its milestones done."""
        stage = self.tables.stage
        number = int(self.classes.class_of[hole])
        batch = self.classes.classes[number].batch
        for first in self.classes.milestones_before[batch]:
            self.milestone(first)
        if self.rigged != setup:
            self.steps.append((Kind.RIG, setup))
            self.rigged = setup
        if self.face != stage.face[hole]:
            self.face = int(stage.face[hole])
            self.steps.append((Kind.FACE, self.face))

    def set_rivet(self, setup: int, hole: int) -> None:
        """Set a hole, its holder taken out before."""
        self.go(setup, hole)
        if self.held[hole]:
            self.take_out(hole)
        self.steps.append((Kind.SET, hole))
        self.is_set[hole] = True

    def take_out(self, hole: int) -> None:
        """Take a holder out; where rule B forbids it, put others in beside first."""
        row = int(self.tables.stage.row[hole])
        self.held[hole] = False
        beside = self._beside(hole)
        while self.is_loose(row):
            put = next((h for h in beside if not (self.held | self.is_set)[h]), None)
            if put is None or self.spare <= 0:
                raise NoOrder
            self.held[put] = True
            self.spare -= 1
            self.steps.append((Kind.IN, put))
        self.steps.append((Kind.OUT, hole))
        self.spare += 1

    def _beside(self, hole: int) -> list[int]:
        """Neighbours of a hole, the nearest first."""
        tables = self.tables
        row = tables.rows[int(tables.stage.row[hole])]
        s_mm = tables.stage.s_mm
        others = [h for h in row if h != hole]
        return sorted(others, key=lambda h: (abs(s_mm[h] - s_mm[hole]), h))[:4]


def follow(classes: Classes, sequence: Iterable[Choice]) -> Steps:
    """A plan that sets the holes in this sequence.

    Raises:
        NoOrder: rule B cannot be kept with the holders there are.
    """
    bench = _Bench(classes)
    for setup, hole in sequence:
        bench.set_rivet(setup, hole)
    for milestone in classes.open_milestones:
        bench.milestone(milestone)
    return Steps.of(bench.steps)


def nearest_next(classes: Classes) -> list[Choice]:
    """The cheapest next rivet, over and over."""
    stage, tables = classes.tables.stage, classes.tables
    wanted = [h for one in classes.classes for h in one.holes]
    pairs = [(z, h) for h in wanted for z in stage.options[h]]
    setup, hole = (np.array(column) for column in zip(*pairs, strict=True))
    batch = np.array([classes.classes[classes.class_of[h]].batch for h in hole])
    rivet_s = np.array([one.rivet_s for one in stage.setups])[setup]
    is_open = np.ones(len(pairs), dtype=np.bool_)
    rigged, face, at = stage.rigged, stage.start_face, None
    sequence: list[Choice] = []
    while is_open.any():
        waiting = np.unique(batch[is_open])
        blocked = classes.is_before[waiting].any(axis=0)
        change_s = np.where(setup == rigged, 0.0, tables.change_s[rigged, setup])
        cost_s = rivet_s + change_s + stage.turn_s[face, stage.face[hole]]
        if at is not None:
            way_mm = np.hypot(
                stage.x_mm[hole] - stage.x_mm[at], stage.y_mm[hole] - stage.y_mm[at]
            )
            cost_s = cost_s + way_mm / stage.costs.speed_mm_s
        best = int(np.argmin(np.where(is_open & ~blocked[batch], cost_s, np.inf)))
        rigged, at = int(setup[best]), int(hole[best])
        face = int(stage.face[at])
        sequence.append((rigged, at))
        is_open &= hole != at
    return sequence


def row_at_a_time(classes: Classes) -> list[Choice]:
    """Row by row, what one setup can set of it in the skip pattern, then the next."""
    tables, stage = classes.tables, classes.tables.stage
    sequence: list[Choice] = []
    rigged = stage.rigged
    for batch in _batches_in_order(classes):
        for row in tables.rows:
            left = [h for h in row if _batch(classes, h) == batch]
            while left:
                if not any(rigged in stage.options[h] for h in left):
                    able = [z for h in left for z in stage.options[h]]
                    rigged = max(sorted(set(able)), key=able.count)
                here = [h for h in left if rigged in stage.options[h]]
                sequence += [(rigged, h) for h in _skip_pattern(tables, here)]
                left = [h for h in left if rigged not in stage.options[h]]
    return sequence


def _batch(classes: Classes, hole: int) -> int:
    number = int(classes.class_of[hole])
    return BARE if number == BARE else classes.classes[number].batch


def _batches_in_order(classes: Classes) -> list[int]:
    before = classes.is_before.sum(axis=0)
    return sorted(range(len(classes.batches)), key=lambda b: (before[b], b))


def _skip_pattern(tables: Tables, holes: Sequence[int]) -> list[int]:
    """Ends, then every hole 70 mm on, then the rest, holders last."""
    stage = tables.stage
    first: list[int] = []
    for hole in holes:
        is_end = hole in (holes[0], holes[-1])
        way_mm = stage.s_mm[hole] - stage.s_mm[first[-1]] if first else math.inf
        if not stage.holder[hole] and (is_end or way_mm >= stage.creep.skip_mm):
            first.append(hole)
    rest = [h for h in reversed(holes) if h not in set(first)]
    return first + sorted(rest, key=lambda h: bool(stage.holder[h]))


def routing(classes: Classes, seconds: float) -> list[Choice]:
    """OR-Tools routing: a place for each hole and setup, one of each hole's is met.

    It begins from the nearest next, for without a start it finds none in time.

    Raises:
        NoOrder: it found nothing in time.
    """
    stage = classes.tables.stage
    wanted = [h for one in classes.classes for h in one.holes]
    pairs = [(BARE, BARE)] + [(z, h) for h in wanted for z in stage.options[h]]
    numbering = pywrapcp.RoutingIndexManager(len(pairs), 1, 0)
    model = pywrapcp.RoutingModel(numbering)
    ticks = _ticks(classes, pairs).tolist()
    transit = model.RegisterTransitMatrix(ticks)
    model.SetArcCostEvaluatorOfAllVehicles(transit)
    step = model.RegisterUnaryTransitCallback(lambda index: 1)
    model.AddDimension(step, 0, len(wanted) + 1, True, "rank")
    rank = model.GetDimensionOrDie("rank")
    places: dict[int, list[int]] = {}
    for number, (_, hole) in enumerate(pairs[1:], start=1):
        places.setdefault(hole, []).append(numbering.NodeToIndex(number))
    for indices in places.values():
        model.AddDisjunction(indices)
    _keep_batches(classes, model, rank, places)
    known = {pair: k for k, pair in enumerate(pairs)}
    start = [known[pair] for pair in nearest_next(classes)]
    search = pywrapcp.DefaultRoutingSearchParameters()
    search.local_search_metaheuristic = (
        routing_enums_pb2.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
    )
    search.time_limit.FromMilliseconds(int(seconds * 1000))
    model.CloseModelWithParameters(search)
    first = model.ReadAssignmentFromRoutes([start], True)
    found = model.SolveFromAssignmentWithParameters(first, search)
    if found is None:
        raise NoOrder
    return _route(model, numbering, found, pairs)


def _ticks(classes: Classes, pairs: Sequence[Choice]) -> np.ndarray:
    """Costs from place to place; back to the start is free."""
    stage, change_s = classes.tables.stage, classes.tables.change_s
    setup, hole = (np.array(column[1:]) for column in zip(*pairs, strict=True))
    x_mm, y_mm, face = stage.x_mm[hole], stage.y_mm[hole], stage.face[hole]
    way_mm = np.hypot(x_mm[:, None] - x_mm, y_mm[:, None] - y_mm)
    is_same = (setup[:, None] == setup) & (face[:, None] == face)
    between_s = np.where(setup[:, None] == setup, 0.0, change_s[setup][:, setup])
    between_s = between_s + stage.turn_s[np.ix_(face, face)]
    between_s = between_s + is_same * way_mm / stage.costs.speed_mm_s
    begin_s = change_s[stage.rigged, setup] + stage.turn_s[stage.start_face, face]
    rivet_s = np.array([one.rivet_s for one in stage.setups])[setup]
    table = np.zeros((len(pairs), len(pairs)))
    table[1:, 1:] = between_s + rivet_s
    table[0, 1:] = begin_s + rivet_s
    return np.rint(table * _TICKS).astype(np.int64)


def _keep_batches(
    classes: Classes,
    model: pywrapcp.RoutingModel,
    rank: pywrapcp.RoutingDimension,
    places: dict[int, list[int]],
) -> None:
    """A batch lies below a mark and the next above it; only what is met counts."""
    solver, most = model.solver(), len(places) + 2
    marks = {b: solver.IntVar(0, most, f"end{b}") for b in range(len(classes.batches))}
    for hole, indices in places.items():
        own = _batch(classes, hole)
        for index in indices:
            when, met = rank.CumulVar(index), model.ActiveVar(index)
            if classes.is_before[own].any():
                solver.Add(when <= marks[own] + most * (1 - met))
            for first in np.flatnonzero(classes.is_before[:, own]).tolist():
                solver.Add(when + most * (1 - met) >= marks[first] + 1)


def _route(
    model: pywrapcp.RoutingModel,
    numbering: pywrapcp.RoutingIndexManager,
    found: pywrapcp.Assignment,
    pairs: Sequence[Choice],
) -> list[Choice]:
    index = found.Value(model.NextVar(model.Start(0)))
    sequence = []
    while not model.IsEnd(index):
        sequence.append(pairs[numbering.IndexToNode(index)])
        index = found.Value(model.NextVar(index))
    return sequence
