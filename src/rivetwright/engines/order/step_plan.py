"""The order of some steps of a plan as a person takes it, verified and bounded.

Sheet holders that the order would move before the first rivet of their row are put
where it wants them from the beginning, as long as nobody has put any in.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from rivetwright.engines.order.from_plan import Staged
from rivetwright.engines.order.plan import Ordered, Progress, order
from rivetwright.engines.order.said import Card, cards_of
from rivetwright.engines.order.steps import Steps
from rivetwright.engines.order.tidy import tidied
from rivetwright.model.columns import read_only
from rivetwright.model.stage import Kind

_SETTLED_MOST, _AGAIN_MOST = 4, 2
_POLISH = "polish"


@dataclass(frozen=True)
class StepPlan:
    """A stage of a plan with its order and the cards that say it.

    Args:
        staged: the stage and the way back.
        ordered: the order, checked.
        cards: the same as setup cards and runs.
    """

    staged: Staged
    ordered: Ordered
    cards: tuple[Card, ...]

    @property
    def time_s(self) -> float:
        """What it takes, holders put in before the first rivet included [s]."""
        return sum(card.time_s for card in self.cards)

    @property
    def gap_percent(self) -> float | None:
        """How far above what cannot be beaten [%]; None: no bound was asked for."""
        if self.ordered.bound_s <= 0.0:
            return None
        return max(0.0, 100.0 * (self.ordered.ratio - 1.0))


def plan_steps(
    staged: Staged,
    *,
    work: float = 1.0,
    stop: Callable[[], bool] | None = None,
) -> StepPlan:
    """Work out the order of a stage and say it.

    Args:
        staged: the stage and the way back.
        work: how much to do beyond the first order [1]; 0.0: the first order alone.
        stop: asked now and then; True: hand over the best so far.

    Returns:
        The order, allowed by the checker.

    Raises:
        HoldersShort: the parts cannot be kept together with the holders there are.
    """
    settled = _settled(staged)
    ordered = _ordered(settled, work, stop)
    for _ in range(_AGAIN_MOST):
        moved = _moved_first(settled, ordered.steps)
        if not moved:
            break
        settled = _with_moved(settled, moved)
        ordered = _ordered(settled, work, stop)
    return StepPlan(settled, ordered, cards_of(settled, ordered))


def _ordered(
    staged: Staged, work: float, stop: Callable[[], bool] | None = None
) -> Ordered:
    """The order without its polish, which saves seconds and costs all overview."""
    part = ""

    def told(progress: Progress) -> None:
        nonlocal part
        part = progress.part

    def is_over() -> bool:
        return part == _POLISH or bool(stop and stop())

    found = order(staged.stage, work=work, progress=told, stop=is_over, way=staged.way)
    wet = frozenset(row for row, work_s in enumerate(staged.wet_s) if work_s)
    return tidied(staged.stage, found, staged.way, wet)


def _settled(staged: Staged) -> Staged:
    """Holders that are not in yet, where the order wants them to begin with."""
    for _ in range(_SETTLED_MOST):
        moved = _moved_first(staged, _ordered(staged, 0.0).steps)
        if not moved:
            return staged
        staged = _with_moved(staged, moved)
    return staged


def _with_moved(staged: Staged, moved: Mapping[int, bool]) -> Staged:
    """With some of the holders that are not in yet put elsewhere."""
    holder = staged.stage.holder.copy()
    for hole, is_in in moved.items():
        holder[hole] = is_in
    change = sum(1 if is_in else -1 for is_in in moved.values())
    spare = staged.stage.holders_spare - change
    stage = replace(staged.stage, holder=read_only(holder), holders_spare=max(0, spare))
    recorded = set(np.flatnonzero(staged.stage.holder).tolist())
    recorded -= {staged.holes.index(h) for h in staged.to_put_in}
    to_put_in = tuple(
        staged.holes[k] for k in np.flatnonzero(holder).tolist() if k not in recorded
    )
    return replace(staged, stage=stage, to_put_in=to_put_in)


def _moved_first(staged: Staged, steps: Steps) -> dict[int, bool]:
    """Holders moved before the first rivet of a row in which none was recorded."""
    row_of = staged.stage.row.tolist()
    planned = {staged.holes.index(hole) for hole in staged.to_put_in}
    held = set(np.flatnonzero(staged.stage.holder).tolist())
    known = {row_of[h] for h in held - planned}
    begun: set[int] = set()
    moved: dict[int, bool] = {}
    for kind, hole in steps:
        if kind not in (Kind.SET, Kind.OUT, Kind.IN):
            continue
        row = row_of[hole]
        if kind == Kind.SET:
            begun.add(row)
        elif row not in begun and row not in known:
            moved[hole] = kind == Kind.IN
    return {
        hole: is_in
        for hole, is_in in moved.items()
        if is_in != bool(staged.stage.holder[hole])
    }
