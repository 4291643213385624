"""What the record of a folder says; where none was begun, what its files say."""

from __future__ import annotations

from collections.abc import Iterable
from weakref import WeakKeyDictionary

from rivetwright.bench.begin import Begun, plan_facts, shop_facts
from rivetwright.bench.head_history import HeadHistory, head_history
from rivetwright.bench.now import HoleIds
from rivetwright.bench.open import Assembly
from rivetwright.bench.workshop import Opened, Workshop
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.shop import Shop
from rivetwright.record.chain import Entry
from rivetwright.record.fold import fold
from rivetwright.record.state import State

Now = tuple[Opened, State, HeadHistory]
# What the files of a folder say, found once for as long as they are the same.
_WRITTEN: WeakKeyDictionary[Workshop, Now] = WeakKeyDictionary()


def as_written(workshop: Workshop) -> State:
    """What the record would say if it were begun now."""
    read = workshop.read().project
    if not read.assemblies:
        return State()
    begun = Begun(workshop.project_id, workshop.builder, workshop.clock(), 0)
    return written_state(plans_by_id(read.assemblies).values(), read.shop, begun)


def written_state(
    plans: Iterable[WorkedPlan], shop: Shop | None, begun: Begun
) -> State:
    """What plans and shop say had happened, as a record would.

    Args:
        plans: the worked plans, one for each id.
        shop: what the builder owns.
        begun: for whom and when.
    """
    facts = [
        fact
        for plan in plans
        for fact in plan_facts(HoleIds(plan.worked.holes), begun, "")
    ]
    facts += shop_facts(shop, begun, "") if shop else []
    return fold(
        Entry(seq, "", fact.happened, fact, b"", "")
        for seq, fact in enumerate(facts, start=1)
    )


def now_or_written(workshop: Workshop) -> Now:
    """The folder now, its state, and all heads, whether or not a record was begun.

    Raises:
        Refusal: the folder, or a file in it, cannot be read.
    """
    with workshop.lock:
        opened = workshop.now()
        if workshop.has_record:
            return opened, workshop.state(), opened.heads
        known = _WRITTEN.get(workshop)
        if known is None or known[0] is not opened:
            state, project = as_written(workshop), opened.project
            plans = plans_by_id(project.assemblies).values()
            known = opened, state, head_history(plans, project.shop, state)
            _WRITTEN[workshop] = known
        return known


def plans_by_id(assemblies: tuple[Assembly, ...]) -> dict[str, WorkedPlan]:
    """The worked plans of a folder, one for each id: as they were before bulletins."""
    found = (one.worked_plan for one in reversed(assemblies))
    return {one.worked.plan.id: one for one in found}
