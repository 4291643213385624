"""What must come first in some steps of a plan: parts fitted, inspections, groups.

A part that comes with a step is fitted before the holes that go through it, and after
the holes it covers. Steps come before the steps that need them, an inspection lies
between those it divides.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from rivetwright.engines.order.figures import Figures
from rivetwright.engines.worked import Worked
from rivetwright.model.columns import preceding_steps
from rivetwright.model.stage import Milestone, Token

FIT, INSPECT, BEGIN = "fit", "inspect", "begin"


@dataclass(frozen=True)
class Event:
    """A milestone as the plan knows it: a part fitted, an inspection, a step begun.

    `layers` are places in the plan's list of layers; `step` an index.
    """

    kind: str
    name: str
    step: int
    time_s: float
    layers: tuple[int, ...] = ()

    @property
    def milestone(self) -> Milestone:
        """As a stage asks for it."""
        return Milestone(f"{self.kind} {self.name}", self.time_s)


@dataclass(frozen=True)
class _Group:
    """Holes of one step that wait for the same parts and are covered by the same."""

    step: int
    after: tuple[int, ...]
    before: tuple[int, ...]


@dataclass(frozen=True)
class Firsts:
    """Groups, milestones and what comes before what; `group_of` by stage hole."""

    groups: tuple[str, ...]
    events: tuple[Event, ...]
    precedence: tuple[tuple[Token, Token], ...]
    group_of: tuple[int, ...]
    after_of: tuple[tuple[int, ...], ...]
    done: tuple[bool, ...]


def firsts(
    worked: Worked,
    holes: Sequence[int],
    steps: Sequence[int],
    is_set: Sequence[bool],
    figures: Figures,
) -> Firsts:
    """What must come first among some holes.

    Args:
        worked: the worked-out plan.
        holes: indices of the holes, all of them in the stage.
        steps: indices of the steps that are planned.
        is_set: which of the holes are set already.
        figures: what fitting and inspecting take.

    Source: the plan's steps and layers.
    """
    before = preceding_steps(worked.plan)
    events = [
        *_fitted(worked, holes, steps, figures),
        *_inspections(worked, steps, before, figures),
        *_begun(worked, holes, steps, before),
    ]
    keys = [_group(worked, hole, events) for hole in holes]
    groups = list(dict.fromkeys(keys))
    group_of = tuple(groups.index(key) for key in keys)
    done = _done(worked, events, keys, is_set)
    pairs = _pairs(groups, events, before)
    names = tuple(_group_name(worked, one) for one in groups)
    after = tuple(one.after for one in keys)
    return Firsts(names, tuple(events), tuple(pairs), group_of, after, done)


def _fitted(
    worked: Worked, holes: Sequence[int], steps: Sequence[int], figures: Figures
) -> Iterable[Event]:
    """Parts that come with one of the steps and that some hole goes through."""
    index = {one.name: k for k, one in enumerate(worked.plan.steps)}
    through = {int(k) for hole in holes for k in worked.stacks.layer[hole] if k >= 0}
    by_part: dict[tuple[str, int], list[int]] = {}
    for k, placed in enumerate(worked.stacks.layers):
        step = index.get(placed.layer.from_step, -1)
        if step in steps and k in through:
            by_part.setdefault((placed.layer.part, step), []).append(k)
    for (part, step), layers in by_part.items():
        yield Event(FIT, part, step, figures["fit"], tuple(layers))


def _inspections(
    worked: Worked,
    steps: Sequence[int],
    before: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
    figures: Figures,
) -> Iterable[Event]:
    """Inspections between the steps that are planned, or among them."""
    for k, one in enumerate(worked.plan.steps):
        if not one.is_inspection:
            continue
        has_before = any(before[k, step] and step != k for step in steps)
        has_after = any(before[step, k] and step != k for step in steps)
        if k in steps or (has_before and has_after):
            minutes = one.kit_minutes
            time_s = figures["inspect"] if minutes is None else minutes * 60.0
            yield Event(INSPECT, one.name, k, time_s)


def _begun(
    worked: Worked,
    holes: Sequence[int],
    steps: Sequence[int],
    before: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
) -> Iterable[Event]:
    """Steps that wait for others of those planned: their rows come together then."""
    used = {int(worked.holes.step[hole]) for hole in holes}
    for k in steps:
        waits = any(before[k, other] and other != k for other in steps if other in used)
        if k in used and waits:
            yield Event(BEGIN, worked.plan.steps[k].name, k, 0.0)


def _group(worked: Worked, hole: int, events: Sequence[Event]) -> _Group:
    layers = {int(k) for k in worked.stacks.layer[hole] if k >= 0}
    later = int(worked.stacks.later[hole])
    step = int(worked.holes.step[hole])
    after = [
        k
        for k, one in enumerate(events)
        if layers.intersection(one.layers) or (one.kind, one.step) == (BEGIN, step)
    ]
    covered = [k for k, one in enumerate(events) if later in one.layers]
    return _Group(step, tuple(after), tuple(covered))


def _done(
    worked: Worked,
    events: Sequence[Event],
    keys: Sequence[_Group],
    is_set: Sequence[bool],
) -> tuple[bool, ...]:
    """Milestones that must have been passed, for what comes after them is set."""
    passed = {
        number
        for key, has_rivet in zip(keys, is_set, strict=True)
        if has_rivet
        for number in key.after
    }
    stands = {one.step: one.state for one in worked.plan.opening.steps}
    for number, event in enumerate(events):
        name = worked.plan.steps[event.step].name
        if event.kind == INSPECT and stands.get(name) == "done":
            passed.add(number)
    return tuple(number in passed for number in range(len(events)))


def _pairs(
    groups: Sequence[_Group],
    events: Sequence[Event],
    before: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
) -> Iterable[tuple[Token, Token]]:
    for a, first in enumerate(groups):
        for b, then in enumerate(groups):
            if first.step != then.step and _is_before(before, first.step, then.step):
                yield Token(False, a), Token(False, b)
        for number in first.after:
            yield Token(True, number), Token(False, a)
        for number in first.before:
            yield Token(False, a), Token(True, number)
        for number, event in enumerate(events):
            if event.step == first.step:
                continue
            if _is_before(before, first.step, event.step):
                yield Token(False, a), Token(True, number)
            if _is_before(before, event.step, first.step):
                yield Token(True, number), Token(False, a)
    for a, one in enumerate(events):
        for b, other in enumerate(events):
            if one.step != other.step and _is_before(before, one.step, other.step):
                yield Token(True, a), Token(True, b)
            if one.step == other.step and (one.kind, other.kind) == (BEGIN, FIT):
                yield Token(True, a), Token(True, b)


def _is_before(
    before: np.ndarray[tuple[int, ...], np.dtype[np.bool_]], first: int, then: int
) -> bool:
    return first >= 0 and then >= 0 and bool(before[then, first])


def _group_name(worked: Worked, one: _Group) -> str:
    step = worked.plan.steps[one.step].name if one.step >= 0 else ""
    return step or "holes of no step"
