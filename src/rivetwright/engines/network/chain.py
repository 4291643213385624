"""The chain that decides the end: read backward from the last task of one future.

Each task of it was begun when it was for one of four reasons: the hands were busy with
the one before, something had to come first, a visit had to be waited for, or a second
person. What came first or was waited for is followed on, down to a delivery or today.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from rivetwright.engines.network.hands import Done, Figures, Sittings, Tasks

# Days that differ by less are the same.
SAME_DAY = 1e-6


class Because(StrEnum):
    """Why a task was begun no sooner."""

    HANDS = "hands"
    NEED = "need"
    VISIT = "visit"
    SECOND = "second person"
    DAY = "day"
    TODAY = "today"


@dataclass(frozen=True)
class Link:
    """One task of the chain; `before` is the place of the one it was waiting for."""

    place: int
    begin_day: float
    end_day: float
    because: Because
    before: int | None


def chain(tasks: Tasks, sittings: Sittings, done: Done, trial: int = 0) -> list[Link]:
    """The chain of one future, from its beginning to the end.

    Args:
        tasks: what was to be done [min, d].
        sittings: when there was time for it [d, min].
        done: what `by_hand` made of them [d].
        trial: which of the futures [-].
    """
    reader = _Reader(tasks, sittings, done, trial)
    found: list[Link] = []
    at = reader.last
    while at is not None:
        found.append(reader.link(at))
        at = found[-1].before
    return found[::-1]


def idle_sittings(sittings: Sittings, done: Done, trial: int = 0) -> int:
    """Sittings before the end in which nothing could be done.

    Args:
        sittings: when there was time [d, min].
        done: what `by_hand` made of them [d].
        trial: which of the futures [-].
    """
    begun, ended = done.begin_day[trial], done.end_day[trial]
    last = float(ended.max(initial=0.0))
    held = sittings.minutes[trial] > 0
    days = sittings.day[held & (sittings.day < last)]
    busy = (begun[:, None] <= days) & (days <= ended[:, None])
    return int(np.sum(~busy.any(axis=0)))


class _Reader:
    """One future, task by task."""

    def __init__(
        self, tasks: Tasks, sittings: Sittings, done: Done, trial: int
    ) -> None:
        self.tasks = tasks
        self.trial = trial
        self.begin, self.end = done.begin_day[trial], done.end_day[trial]
        self.ready = done.ready_day[trial]
        self.order = np.argsort(done.place[trial])
        self.place = done.place[trial]
        self.days: Figures = sittings.day[sittings.minutes[trial] > 0]

    @property
    def last(self) -> int | None:
        """The task done last."""
        return int(self.order[-1]) if len(self.order) else None

    def link(self, at: int) -> Link:
        """Why a task was begun when it was."""
        because, before = self._because(at)
        return Link(at, float(self.begin[at]), float(self.end[at]), because, before)

    def _because(self, at: int) -> tuple[Because, int | None]:
        place = int(self.place[at])
        previous = int(self.order[place - 1]) if place else None
        needs: Sequence[int] = self.tasks.precedence.before[at]
        if previous is not None and not self._is_idle(previous, at):
            because = Because.NEED if previous in needs else Because.HANDS
            return because, previous
        latest = max(needs, key=lambda one: float(self.end[one]), default=None)
        lag = float(self.tasks.lag_days[self.trial, at])
        since = float(self.end[latest]) if latest is not None else 0.0
        if float(self.tasks.from_day[self.trial, at]) > since + lag + SAME_DAY:
            return Because.DAY, None
        if lag > 0 and latest is not None:
            return Because.VISIT, latest
        if self.tasks.takes_two[at] and previous is not None:
            return Because.SECOND, previous
        return Because.TODAY, None

    def _is_idle(self, previous: int, at: int) -> bool:
        """Whether a sitting passed unused between two tasks."""
        between = (self.days > self.end[previous]) & (self.days < self.begin[at])
        return bool(between.any())
