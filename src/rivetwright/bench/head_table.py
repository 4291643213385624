"""Every head of an assembly, judged, and what the heads show together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rivetwright.bench.as_written import (
    now_or_written,
    plans_by_id,
    written_state,
)
from rivetwright.bench.begin import Begun
from rivetwright.bench.head_groups import HeadGroup, head_groups
from rivetwright.bench.head_history import HeadHistory, HeadMade, head_history
from rivetwright.bench.heads import Heads, JudgedHead
from rivetwright.bench.open import Assembly
from rivetwright.bench.workshop import Opened, Workshop, utc_now
from rivetwright.engines.heads.suspect import Suspect
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.shop import Shop
from rivetwright.record.state import State


@dataclass(frozen=True)
class HeadLine:
    """One look at a head: what made it, and how it is judged."""

    made: HeadMade
    judged: JudgedHead


@dataclass(frozen=True)
class HeadTable:
    """The heads of one assembly in the order of the looks, and their groups.

    A group has the heads of other assemblies too, where the same tool made them.
    `patterns` are causes that many heads of the assembly point at together.
    """

    worked_plan: WorkedPlan
    lines: tuple[HeadLine, ...]
    groups: tuple[HeadGroup, ...]
    patterns: tuple[Suspect, ...]

    @property
    def wanting(self) -> tuple[HeadLine, ...]:
        """Heads that sit in their holes and are not as they should be."""
        return tuple(
            one for one in self.lines if one.judged.is_there and one.judged.wanting
        )


def heads_of_hole(
    workshop: Workshop, assembly: Assembly, hole: int
) -> tuple[HeadLine, ...]:
    """Every look at the heads that one hole had, the oldest first.

    Args:
        workshop: the folder.
        assembly: an assembly of it.
        hole: index of the hole.
    """
    opened, state, history = now_or_written(workshop)
    holes = assembly.worked_plan.worked.holes
    where = holes.row_of(hole).id, int(holes.number[hole])
    made = history.of_hole(holes.plan.id, where)
    if not made:
        return ()
    heads = Heads(assembly.worked_plan, state, opened.project.shop)
    return tuple(HeadLine(one, heads.judged(hole, one.seen)) for one in made)


def head_table(workshop: Workshop, key: str) -> tuple[Opened, HeadTable]:
    """The heads of an assembly as the record has them, or its file.

    Args:
        workshop: the folder.
        key: the assembly.

    Raises:
        NotFound: the folder has no such assembly.
    """
    opened, state, history = now_or_written(workshop)
    worked_plan, shop = opened.assembly(key).worked_plan, opened.project.shop
    plans = plans_by_id(opened.project.assemblies)
    return opened, _table(worked_plan, plans, shop, state, history)


def written_table(worked_plan: WorkedPlan) -> HeadTable:
    """The heads that a plan's file tells of."""
    plan, shop = worked_plan.worked.plan, worked_plan.worked.shop
    state = written_state([worked_plan], None, Begun(plan.project.id, "", utc_now(), 0))
    history = head_history([worked_plan], shop, state)
    return _table(worked_plan, {plan.id: worked_plan}, shop, state, history)


def _table(
    worked_plan: WorkedPlan,
    plans: Mapping[str, WorkedPlan],
    shop: Shop | None,
    state: State,
    history: HeadHistory,
) -> HeadTable:
    """The heads of one plan of a folder."""
    plan_id = worked_plan.worked.plan.id
    heads = Heads(worked_plan, state, shop)
    # Another revision of the plan may have the hole elsewhere, or no longer.
    places = [(heads.ids.index(*one.where), one) for one in history.of(plan_id)]
    lines = tuple(
        HeadLine(one, heads.judged(at, one.seen))
        for at, one in places
        if at is not None
    )
    groups = head_groups(history, plans.values(), plan_id)
    patterns = heads.patterns([one.judged for one in lines]) if lines else ()
    return HeadTable(worked_plan, lines, groups, patterns)
