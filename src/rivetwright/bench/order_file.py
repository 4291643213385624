"""Order a stage file: read it, work the order out, write the plan.

The stages of a set do not depend on one another's plans, so they are worked out side
by side, one process for each processor.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from pathlib import Path

from rivetwright.engines.order.plan import Ordered, order
from rivetwright.intake.order_file import read_stages, write_steps
from rivetwright.model.stage import Stage, StageSet

Progress = Callable[[str, int, int], None]

# The solver takes more work on a large stage; in its units.
WORK = 1.0


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
    stages = read.stages if isinstance(read, StageSet) else (read,)
    ordered = []
    with order_side_by_side(stages, work) as answers:
        for done, one in enumerate(answers, start=1):
            ordered.append(one)
            if progress:
                progress(read.name, done, len(stages))
    text = write_steps(read, [one.steps for one in ordered])
    return OrderedFile(read.name, stages, tuple(ordered), text)


@contextmanager
def order_side_by_side(
    stages: Sequence[Stage], work: float
) -> Iterator[Iterator[Ordered]]:
    """Orders of stages, in their order, on every processor there is.

    One stage is worked out in this process. The order of a stage is the same either
    way.
    """
    one = partial(order, work=work)
    workers = min(os.cpu_count() or 1, len(stages))
    if workers < 2:
        yield map(one, stages)
        return
    # A process that is forked while threads run may hang; a fresh one does not.
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        yield pool.map(one, stages)
