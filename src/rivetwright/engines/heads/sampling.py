"""Which heads to measure: the first of a set-up, then one in so many, all by eye.

Any change of what stands between rivet and tool begins the count again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from enum import StrEnum

from rivetwright.standards.head_checks import head_check
from rivetwright.standards.source import Source
from rivetwright.standards.squeeze import squeeze_constant


class Why(StrEnum):
    """Why a head is to be measured now."""

    FIRST = "first of a set-up"
    SAMPLE = "one in so many"
    AFTER_OFF = "after a head that was off"


@dataclass(frozen=True)
class Conditions:
    """What a head was set with; whatever differs begins the count again.

    Each is a word or an id; the empty word is "not told" and no change.
    """

    squeezer: str = ""
    yoke: str = ""
    dies: str = ""
    shims: str = ""
    pressure: str = ""
    stack: str = ""
    rivets: str = ""
    people: str = ""


@dataclass(frozen=True)
class SetHead:
    """One head of a set-up in the order it was set."""

    name: str
    is_measured: bool
    is_off: bool = False


@dataclass(frozen=True)
class Due:
    """A head to measure, and why; heads are named as they came."""

    name: str
    why: Why


@dataclass(frozen=True)
class SamplingPlan:
    """The stated plan: how many at first, then one in how many; with its source."""

    first_count: int
    one_in: int
    source: Source


def sampling_plan() -> SamplingPlan:
    """The plan that is used where the project states none."""
    first, later = squeeze_constant("first heads"), head_check("checked one in")
    return SamplingPlan(int(first.value), int(later.value), later.source)


def changes(before: Conditions, now: Conditions) -> tuple[str, ...]:
    """What changed between two heads, by the names of the conditions."""
    found = []
    for field in fields(Conditions):
        old, new = getattr(before, field.name), getattr(now, field.name)
        if old and new and old != new:
            found.append(field.name)
    return tuple(found)


def heads_due(
    heads: Sequence[SetHead], plan: SamplingPlan | None = None
) -> tuple[Due, ...]:
    """The heads that still want measuring, of those set since the last change.

    After a head that was off, the count begins again with the next one.

    Args:
        heads: heads since the last change, in the order they were set.
        plan: the stated plan; None is the usual one.
    """
    stated = plan or sampling_plan()
    due: list[Due] = []
    why, begin = Why.FIRST, 0
    for end, head in enumerate(heads, start=1):
        if head.is_off:
            due += _of_run(heads[begin:end], stated, why)
            why, begin = Why.AFTER_OFF, end
    return (*due, *_of_run(heads[begin:], stated, why))


def _of_run(run: Sequence[SetHead], plan: SamplingPlan, why: Why) -> list[Due]:
    """Heads due in a run without a change: its first, then one of each full lot."""
    first = run[: plan.first_count]
    due = [Due(one.name, why) for one in first if not one.is_measured]
    later = run[plan.first_count :]
    for start in range(0, len(later), plan.one_in):
        lot = later[start : start + plan.one_in]
        # Any head of the lot will do; the last one is asked for when none was taken.
        if len(lot) == plan.one_in and not any(one.is_measured for one in lot):
            due.append(Due(lot[-1].name, Why.SAMPLE))
    return due
