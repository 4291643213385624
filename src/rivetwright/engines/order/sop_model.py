"""The sequential ordering problem for OR-Tools, begun from a path that is known."""

from __future__ import annotations

import numpy as np
from ortools.sat.python import cp_model

from rivetwright.engines.order.sop import SEED, Path, Sequencing


def _may_follow(problem: Sequencing) -> np.ndarray:
    """Which may come straight after which: nothing has to come in between."""
    before = problem.is_before
    between = (before.astype(np.int32) @ before.astype(np.int32)) > 0
    may = ~before.T & ~between
    np.fill_diagonal(may, False)
    return np.asarray(may)


def prove(problem: Sequencing, known: Path, work_most: float) -> tuple[Path, int]:
    """Make a path shorter, and bound every path.

    Args:
        problem: costs and precedence.
        known: a path to begin from.
        work_most: the solver's work at the most, in its own units [units].

    Returns:
        The shortest path found, and a bound that no path goes below.
    """
    model, count = cp_model.CpModel(), len(problem.cost)
    ranks = [model.new_int_var(0, count - 1, f"rank{k}") for k in range(count)]
    before = problem.is_before
    for k, rank in enumerate(ranks):
        model.add(rank >= int(before[:, k].sum()))
        model.add(rank <= count - 1 - int(before[k].sum()))
    follows = dict(zip(known.order, known.order[1:], strict=False))
    circuit: list[cp_model.ArcT] = [(count - 1, 0, True)]
    costs = []
    for tail, head in np.argwhere(_may_follow(problem)).tolist():
        goes = model.new_bool_var(f"arc{tail}-{head}")
        circuit.append((tail, head, goes))
        costs.append(int(problem.cost[tail, head]) * goes)
        model.add(ranks[head] == ranks[tail] + 1).only_enforce_if(goes)
        model.add_hint(goes, follows.get(tail) == head)
    for first, then in np.argwhere(before).tolist():
        model.add(ranks[first] < ranks[then])
    for place, thing in enumerate(known.order):
        model.add_hint(ranks[thing], place)
    model.add_circuit(circuit)
    model.minimize(sum(costs))
    return _solved(problem, model, ranks, known, work_most)


def _solved(
    problem: Sequencing,
    model: cp_model.CpModel,
    ranks: list[cp_model.IntVar],
    known: Path,
    work_most: float,
) -> tuple[Path, int]:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    solver.parameters.linearization_level = 2
    solver.parameters.max_deterministic_time = work_most
    status = solver.solve(model)
    bound = round(np.ceil(solver.best_objective_bound - 1e-6))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return known, bound
    order = sorted(range(len(ranks)), key=lambda thing: solver.value(ranks[thing]))
    path = Path(tuple(order), problem.cost_of(np.array(order, dtype=np.int64)))
    return min(known, path, key=lambda one: one.cost), bound
