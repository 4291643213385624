"""The orders of a set of stages: each on its own, two of them at a time.

Stages depend on one another only in which comes first; so they are shared out over
processes, the largest first, and come back in their own places.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass
from graphlib import TopologicalSorter
from multiprocessing import get_context
from typing import NamedTuple

from rivetwright.engines.order.construct import Way
from rivetwright.engines.order.plan import Ordered, order
from rivetwright.model.stage import Stage, StageSet

SET_WORK = 0.5  # per stage; a set has many, and more hardly shortens them
_ALONE_MOST = 300  # holes: for fewer a second process takes longer to start
_LOOK_EVERY_S = 0.5


class SetProgress(NamedTuple):
    """How many stages are done, and what they come to."""

    done: int
    of: int
    cost_s: float


@dataclass(frozen=True)
class OrderedSet:
    """The orders of a set of stages.

    Args:
        turn: the stages in a turn that keeps what comes first.
        orders: the order of each stage, in the set's own places.
        is_stopped: whether the work was interrupted.
    """

    turn: tuple[int, ...]
    orders: tuple[Ordered, ...]
    is_stopped: bool

    @property
    def cost_s(self) -> float:
        """What all orders cost together [s]."""
        return sum(one.cost.objective_s for one in self.orders)

    @property
    def bound_s(self) -> float:
        """What no plan of the set goes below; nought: not every bound is known [s]."""
        bounds_s = [one.bound_s for one in self.orders]
        return sum(bounds_s) if all(bounds_s) else 0.0


def order_set(
    stages: StageSet,
    *,
    work: float = SET_WORK,
    processes: int = 2,
    progress: Callable[[SetProgress], None] | None = None,
    stop: Callable[[], bool] | None = None,
    way: Way | None = None,
) -> OrderedSet:
    """The best order of every stage of a set that the work allows.

    The answer does not depend on the number of processes.

    Args:
        stages: the set.
        work: how much to do for each stage beyond its first order [1].
        processes: how many stages are worked on at a time.
        progress: called after each stage.
        stop: asked now and then; True: the stages left get their first order alone.
        way: how the person likes to work.

    Returns:
        The orders, allowed by the checker.

    Raises:
        HoldersShort: a stage cannot be kept together with the holders there are.
    """
    ranked = sorted(range(len(stages.stages)), key=lambda k: -len(stages.stages[k]))
    jobs = [(k, stages.stages[k]) for k in ranked]
    holes = sum(len(stage) for stage in stages.stages)
    is_alone = processes < 2 or len(jobs) < 2 or holes < _ALONE_MOST
    share = _one_by_one if is_alone else _side_by_side
    found: dict[int, Ordered] = {}
    for number, one in share(jobs, work, way, stop, processes):
        found[number] = one
        if progress:
            cost_s = sum(done.cost.objective_s for done in found.values())
            progress(SetProgress(len(found), len(jobs), cost_s))
    is_stopped = len(found) < len(jobs)
    for number, stage in jobs:
        if number not in found:
            found[number] = order(stage, work=0.0, way=way)
    orders = tuple(found[k] for k in range(len(jobs)))
    return OrderedSet(_turn(stages), orders, is_stopped)


def _turn(stages: StageSet) -> tuple[int, ...]:
    """Stages in a turn that keeps what comes first, else in their own places."""
    sorter: TopologicalSorter[int] = TopologicalSorter()
    for number in range(len(stages.stages)):
        sorter.add(number)
    for first, then in stages.precedence:
        sorter.add(then, first)
    return tuple(sorter.static_order())


def _one_by_one(
    jobs: Sequence[tuple[int, Stage]],
    work: float,
    way: Way | None,
    stop: Callable[[], bool] | None,
    processes: int,
) -> Iterator[tuple[int, Ordered]]:
    del processes
    for number, stage in jobs:
        if stop and stop():
            return
        yield number, order(stage, work=work, way=way, stop=stop)


def _worked(stage: Stage, work: float, way: Way | None) -> Ordered:
    return order(stage, work=work, way=way)


def _side_by_side(
    jobs: Sequence[tuple[int, Stage]],
    work: float,
    way: Way | None,
    stop: Callable[[], bool] | None,
    processes: int,
) -> Iterator[tuple[int, Ordered]]:
    # Begun anew, not copied: a copy of a process with threads may hang.
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        waiting: dict[Future[Ordered], int] = {
            pool.submit(_worked, stage, work, way): number for number, stage in jobs
        }
        while waiting:
            done, _ = wait(waiting, _LOOK_EVERY_S, return_when=FIRST_COMPLETED)
            for one in sorted(done, key=waiting.__getitem__):
                number = waiting.pop(one)
                yield number, one.result()
            if stop and stop():
                pool.shutdown(wait=True, cancel_futures=True)
                for one, number in waiting.items():
                    if not one.cancelled():
                        yield number, one.result()
                return
