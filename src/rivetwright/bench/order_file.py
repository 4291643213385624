"""Order a stage file: read it, work the order out, write the plan."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from rivetwright.engines.order.plan import WORK, Ordered, order
from rivetwright.engines.order.plan_set import SetProgress, order_set
from rivetwright.intake.order_file import read_stages, write_steps
from rivetwright.model.stage import Stage

__all__ = ["WORK", "OrderedFile", "order_file"]

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True)
class OrderedFile:
    """What was read, and an order for each of its stages."""

    name: str
    stages: tuple[Stage, ...]
    ordered: tuple[Ordered, ...]
    text: str

    @property
    def time_s(self) -> float:
        """Planned time of all stages [s]."""
        return sum(one.cost.time_s for one in self.ordered)

    @property
    def objective_s(self) -> float:
        """Planned time and the weight of what is set against rule C [s]."""
        return sum(one.cost.objective_s for one in self.ordered)

    @property
    def bound_s(self) -> float:
        """What no plan goes below [s]."""
        return sum(one.bound_s for one in self.ordered)

    @property
    def zipped_count(self) -> int:
        """Rivets set against rule C."""
        return sum(len(one.cost.breaches) for one in self.ordered)

    @property
    def loose(self) -> tuple[str, ...]:
        """Stages that are not held together before the first step."""
        pairs = zip(self.stages, self.ordered, strict=True)
        return tuple(stage.name for stage, one in pairs if one.breaches)


def order_file(
    path: Path, *, work: float = WORK, progress: Progress | None = None
) -> OrderedFile:
    """Read a stage file and work out an order for each stage.

    Args:
        path: a file with one stage, or with a set of them.
        work: how much to do beyond the first order, a stage.
        progress: told the name of the file, stages done, and how many there are.

    Returns:
        The orders, each allowed by the checker, and the text of the plan file.

    Raises:
        PlanRefused: the file has mistakes.
        HoldersShort: a stage cannot be kept together with the holders there are.
    """
    read = read_stages(path)
    if isinstance(read, Stage):
        stages: tuple[Stage, ...] = (read,)
        orders: tuple[Ordered, ...] = (order(read, work=work),)
    else:
        stages = read.stages

        def told(so_far: SetProgress) -> None:
            if progress:
                progress(read.name, so_far.done, so_far.of)

        processes = os.cpu_count() or 1
        found = order_set(read, work=work, processes=processes, progress=told)
        orders = found.orders
    text = write_steps(read, [one.steps for one in orders])
    return OrderedFile(read.name, stages, orders, text)
