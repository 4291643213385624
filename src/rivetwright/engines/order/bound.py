"""The best order of blocks, and a bound that no plan of the stage goes below.

With OR-Tools the order of the blocks is worked out exactly: a shortest way through
visits that serves every class, what comes first first, with the passes, holders and
walking that rule B makes certain counted in. Every figure is rounded downward and
every simplification leaves plans in, never out; the proofs stand in
`design/order_bound.md`. Without OR-Tools the greedy order and a weaker bound come.

Limits are units of the solver's own work, so that the same stage gives the same
answer on every machine.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rivetwright.engines.order.block_graph import BlockGraph
from rivetwright.engines.order.blocks import (
    Block,
    Classes,
    Visit,
    greedy_visits,
    with_milestones,
)
from rivetwright.engines.order.needs import Needs
from rivetwright.engines.order.stage import Tables

if TYPE_CHECKING:
    from rivetwright.engines.order.block_model import BlockModel

WORK_MOST = 4.0  # units of the solver's work; about as many seconds


@dataclass(frozen=True)
class BoundedOrder:
    """An order of blocks, and the bound on every plan of the stage.

    Args:
        blocks: visits and milestones in their order.
        bound_s: no plan that keeps the rules costs less.
        is_proven: whether the solver finished; the bound holds either way.
    """

    blocks: tuple[Block, ...]
    bound_s: float
    is_proven: bool


def bounded_order(
    tables: Tables,
    *,
    work_most: float = WORK_MOST,
    needs: Needs | None = None,
    with_solver: bool = True,
) -> BoundedOrder:
    """The best order of blocks, and the proven bound.

    Args:
        tables: the stage.
        work_most: the solver's work at the most, in its own units.
        needs: what rule B makes certain, where it is at hand.
        with_solver: False: as if OR-Tools were not there.

    Returns:
        The order of blocks and the bound [s].
    """
    needs = needs or Needs(Classes(tables))
    classes = needs.classes
    greedy = greedy_visits(tables, classes)
    graph = BlockGraph(needs, len(greedy))
    model = _model(graph, greedy) if with_solver and classes.classes else None
    if model is None:
        bound_s = graph.certain_s + graph.weak_bound_s()
        return BoundedOrder(with_milestones(classes, greedy), bound_s, False)
    solved = model.solve(work_most)
    bound_s = graph.certain_s + max(solved.bound_s, graph.weak_bound_s())
    visited = solved.visited or greedy
    return BoundedOrder(with_milestones(classes, visited), bound_s, solved.is_proven)


def _model(
    graph: BlockGraph, greedy: Sequence[tuple[Visit, Sequence[int]]]
) -> BlockModel | None:
    """The exact model, or nothing where OR-Tools is not installed."""
    try:
        from rivetwright.engines.order.block_model import BlockModel
    except ImportError:
        return None
    return BlockModel(graph, greedy)


def gap_share(cost_s: float, bound_s: float) -> float:
    """How far a plan lies above the bound at the most.

    Args:
        cost_s: what the plan costs [s].
        bound_s: the bound [s].

    Returns:
        The share of the bound; nought where both are nought.
    """
    if bound_s <= 0.0:
        return 0.0 if cost_s <= 0.0 else math.inf
    return float(np.maximum(cost_s / bound_s - 1.0, 0.0))
