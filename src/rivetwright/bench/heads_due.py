"""Which heads are to be measured now: first ones, samples, again after any change."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace

from rivetwright.bench.heads import Heads, is_by_eye
from rivetwright.engines.heads.sampling import (
    Conditions,
    SamplingPlan,
    SetHead,
    changes,
    heads_due,
    sampling_plan,
)
from rivetwright.record.state import HeadSeen, RivetIn


@dataclass(frozen=True)
class DueHead:
    """A head to measure: why, by the sampling plan, and what had changed before."""

    hole: int
    name: str
    callout: str
    why: str
    changed: tuple[str, ...]


@dataclass(frozen=True)
class _Set:
    """One rivet in the order set, what it was set with, and its last measured look."""

    hole: int
    rivet: RivetIn
    conditions: Conditions
    measured: HeadSeen | None


def due_heads(
    heads: Heads,
    holes: Iterable[int] | None = None,
    plan: SamplingPlan | None = None,
) -> tuple[DueHead, ...]:
    """The heads that still want measuring, in the order their rivets were set.

    Args:
        heads: the heads of an assembly.
        holes: only rivets in these holes; None: all.
        plan: the stated plan; None is the usual one.
    """
    stated = plan or sampling_plan()
    due: list[DueHead] = []
    run: list[_Set] = []
    changed: tuple[str, ...] = ()
    carried = Conditions()
    for one in _in_order(heads, holes):
        now = changes(carried, one.conditions)
        if now and run:
            due += _of_run(heads, run, changed, stated)
            run, changed = [], now
        carried = _carried(carried, one.conditions)
        run.append(one)
    return (*due, *_of_run(heads, run, changed, stated))


def _of_run(
    heads: Heads, run: list[_Set], changed: tuple[str, ...], plan: SamplingPlan
) -> list[DueHead]:
    """What is due of the rivets set without a change between them."""
    columns = heads.ids.holes
    by_name = {columns.name(one.hole): one for one in run}
    as_set = [
        SetHead(name, one.measured is not None, bool(heads.wanting(one.hole)))
        for name, one in by_name.items()
    ]
    return [
        DueHead(
            by_name[due.name].hole,
            due.name,
            by_name[due.name].rivet.callout,
            due.why,
            changed,
        )
        for due in heads_due(as_set, plan)
    ]


def _in_order(heads: Heads, holes: Iterable[int] | None) -> list[_Set]:
    """Solid rivets that sit in holes now, in the order in which they were set."""
    wanted = range(len(heads.ids.holes)) if holes is None else holes
    is_solid = heads.worked.of_holes("is_solid")
    found = []
    for at in wanted:
        now = heads.now(at)
        if now.rivet is None or not is_solid[at]:
            continue
        mine = [one for one in now.heads if one.rivet == now.rivet.fact]
        sized = [one for one in mine if not is_by_eye(one.body)]
        last = sized[-1] if sized else None
        stack = str(heads.worked.at("used_stack", at))
        found.append(_Set(at, now.rivet, _conditions(now.rivet, stack, last), last))
    found.sort(key=lambda one: (one.rivet.at, one.hole))
    return found


def _conditions(rivet: RivetIn, stack: str, seen: HeadSeen | None) -> Conditions:
    """What a rivet was set with, as far as it was told."""
    body = seen.body if seen else None
    return Conditions(
        # The rivet's own fact tells the set-up; a measured head tells the yoke.
        squeezer=rivet.setup,
        yoke=" ".join(filter(None, (body.squeezer, body.yoke))) if body else "",
        dies=", ".join(body.dies) if body else "",
        shims=", ".join(f"{shim:g}" for shim in body.shims_mm) if body else "",
        pressure=""
        if not body or body.pressure_kpa is None
        else str(body.pressure_kpa),
        stack=stack,
        rivets=rivet.callout,
        people=" + ".join(rivet.people),
    )


def _carried(before: Conditions, now: Conditions) -> Conditions:
    """The conditions after a rivet: what it does not tell is as before."""
    told = {one.name: getattr(now, one.name) for one in fields(Conditions)}
    return replace(before, **{name: value for name, value in told.items() if value})
