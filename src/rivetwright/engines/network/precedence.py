"""What must come before what, and how long the longest chain of it is.

Times of many trials are worked out at once: the last axis of every array is that of
the activities, axes before it are trials. Hands are without number here; what one
pair of hands makes of it stands in `hands`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rivetwright.errors import NotFound, Refusal, nearest_hint

Figures = NDArray[np.float64]
Ints = NDArray[np.int64]

# Two times that differ by less than this share of the whole are the same.
STILL_RATIO = 1e-9


@dataclass(frozen=True)
class Passes:
    """Times of every activity, in the unit of their durations, from nought.

    `slack` is by how much an activity may be late without moving the end, and
    `free_slack` without moving any other activity.
    """

    early_start: Figures
    early_finish: Figures
    late_start: Figures
    late_finish: Figures
    free_slack: Figures

    @property
    def slack(self) -> Figures:
        """By how much each may be late without moving the end [unit of durations]."""
        return np.asarray(self.late_start - self.early_start)

    @property
    def whole(self) -> Figures:
        """How long everything takes [unit of durations]."""
        return np.asarray(self.early_finish.max(axis=-1, initial=0.0))


class Precedence:
    """Activities by name, and what each of them needs done before.

    Args:
        needs: for every activity the names of those that come before it.

    Raises:
        NotFound: something is needed that is no activity.
        Refusal: activities wait for each other in a ring.
    """

    def __init__(self, needs: Mapping[str, Sequence[str]]) -> None:
        self.names = tuple(needs)
        self.at = {name: k for k, name in enumerate(self.names)}
        for name, wanted in needs.items():
            for one in wanted:
                if one not in self.at:
                    raise _unknown(name, one, self.names)
        self.before: tuple[tuple[int, ...], ...] = tuple(
            tuple(dict.fromkeys(self.at[one] for one in needs[name]))
            for name in self.names
        )
        self.order = self._ordered()

    def __len__(self) -> int:
        """How many activities there are."""
        return len(self.names)

    @cached_property
    def after(self) -> tuple[tuple[int, ...], ...]:
        """For every activity the places of those that need it."""
        found: list[list[int]] = [[] for _ in self.names]
        for k, wanted in enumerate(self.before):
            for one in wanted:
                found[one].append(k)
        return tuple(map(tuple, found))

    @cached_property
    def depth(self) -> Ints:
        """How many activities the longest row of needs before each one holds."""
        depth = np.zeros(len(self), dtype=np.int64)
        for k in self.order:
            depth[k] = max((depth[one] + 1 for one in self.before[k]), default=0)
        return depth

    def _ordered(self) -> tuple[int, ...]:
        """Places in an order in which every need comes first, as given where free."""
        left = [len(wanted) for wanted in self.before]
        ready = [k for k, count in enumerate(left) if not count]
        order: list[int] = []
        while ready:
            k = ready.pop(0)
            order.append(k)
            for one in self.after[k]:
                left[one] -= 1
                if not left[one]:
                    ready.append(one)
        if len(order) < len(left):
            raise _ring([self.names[k] for k, count in enumerate(left) if count])
        return tuple(order)

    def passes(self, durations: ArrayLike) -> Passes:
        """Earliest and latest times of every activity.

        Args:
            durations: how long each takes, shape (..., activities) [any one unit].

        Returns:
            The times [the same unit].
        """
        took = np.asarray(durations, dtype=float)
        early = np.zeros_like(took)
        for k in self.order:
            for one in self.before[k]:
                done = early[..., one] + took[..., one]
                np.maximum(early[..., k], done, out=early[..., k])
        finish = early + took
        whole = finish.max(axis=-1, initial=0.0, keepdims=True)
        late = np.broadcast_to(whole, took.shape).copy()
        free = late - finish
        for k in reversed(self.order):
            for one in self.after[k]:
                begins = late[..., one] - took[..., one]
                np.minimum(late[..., k], begins, out=late[..., k])
                room = early[..., one] - finish[..., k]
                np.minimum(free[..., k], room, out=free[..., k])
        return Passes(early, finish, late - took, late, free)

    def critical(self, durations: ArrayLike) -> tuple[str, ...]:
        """The longest chain from beginning to end; the first of several as long.

        Args:
            durations: how long each takes, shape (activities,) [any one unit].

        Returns:
            Names in the order in which they are done [-].
        """
        found = self.passes(durations)
        if not len(self):
            return ()
        still = STILL_RATIO * float(found.whole)
        # Of several that end last the one behind the others: it may take no time.
        ends = found.early_finish >= float(found.whole) - still
        at: int | None = next(k for k in reversed(self.order) if ends[k])
        chain: list[str] = []
        while at is not None:
            chain.append(self.names[at])
            begins = float(found.early_start[at])
            at = next(
                (
                    one
                    for one in self.before[at]
                    if abs(float(found.early_finish[one]) - begins) <= still
                ),
                None,
            )
        return tuple(reversed(chain))

    def behind(self, durations: ArrayLike) -> Figures:
        """The longest chain from the beginning of each activity to the end.

        Args:
            durations: how long each takes, shape (..., activities) [any one unit].

        Returns:
            Its length, the activity itself counted [the same unit].
        """
        found = self.passes(durations)
        return np.asarray(found.whole[..., None] - found.late_start)


def _unknown(name: str, wanted: str, names: Sequence[str]) -> NotFound:
    return NotFound(
        asked=f"put {name} after {wanted}",
        found=f"no activity {wanted}",
        allowed=f"one of {', '.join(names)}" + nearest_hint(wanted, names),
        do="name what comes before by its own name",
    )


def _ring(names: Sequence[str]) -> Refusal:
    return Refusal(
        asked="find an order of work",
        found=f"{', '.join(names)} wait for each other",
        allowed="needs that lead to a beginning",
        do="take one of these needs out of the plan",
    )
