"""The card of one set-up: what is put in, what it gives, how the first rivet is set."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.set_ups import SetUpLine, line_of, step_set_ups, stop_codes
from rivetwright.engines.learning.told import NO_DIES_TOLD, DiesTold
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.reach.fit import ToolFit, tool_at
from rivetwright.engines.squeeze.change import Swap, swap
from rivetwright.engines.squeeze.first_rivet import (
    FirstRivet,
    Told,
    first_rivet,
    pedal_facts,
)
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.set_ups import set_up_of, set_ups
from rivetwright.engines.squeeze.stacking import OnTool
from rivetwright.engines.squeeze.taught import Basis
from rivetwright.errors import NotFound
from rivetwright.model.shop import Shop

# Nothing is on the squeezer: asked for instead of a hole.
BARE = "bare"


@dataclass(frozen=True)
class Choice:
    """A way to set a hole up: squeezer and yoke, how it fits, what comes of it."""

    set_up: SetUp
    fit: ToolFit | None


@dataclass(frozen=True)
class SetUpCard:
    """Everything that stands on the card of one set-up.

    `line` are the holes it is shared with; `now` is what is on the tool; `change` is
    what to take out and put in. `stops` are codes of findings. `told` is what the
    heads of its dies tell besides, `physics` the set-up without them; None where no
    head changes it.
    """

    hole: int
    name: str
    callout: str
    line: SetUpLine | None
    set_up: SetUp
    fit: ToolFit | None
    now: OnTool | None
    change: Swap | None
    first: FirstRivet | None
    pedal: tuple[Told, ...]
    stops: tuple[str, ...]
    told: DiesTold = NO_DIES_TOLD
    physics: SetUp | None = None


def set_up_card(
    worked_plan: WorkedPlan,
    shop: Shop | None,
    name: str,
    *,
    yoke: str = "",
    squeezer: str = "",
    now: str = "",
    gap_mm: float | None = None,
    before: OnTool | None = None,
) -> SetUpCard:
    """The card of a hole.

    Args:
        worked_plan: the plan, worked out.
        shop: what the builder owns.
        name: the hole.
        yoke: a yoke of the shop; as the list of set-ups chose where it is empty.
        squeezer: likewise a squeezer.
        now: a hole whose set-up is on the tool, or bare; as the list says where empty.
        gap_mm: a gap that the hole shares with other stacks; None: its own [mm].
        before: what is on the tool, where that is known better.

    Raises:
        NotFound: no shop, hole, yoke or squeezer of that name, or no squeezer sets it.
    """
    shop = needed_shop(shop, name)
    worked = worked_plan.worked
    hole = worked.holes.index(name)
    line = line_of(step_set_ups(worked_plan, shop), hole)
    chosen = line.set_up if line else None
    listed = _names(chosen) if chosen else ("", "")
    yoke, squeezer = yoke or listed[0], squeezer or listed[1]
    if not (yoke and squeezer):
        yoke, squeezer = _any_way(worked_plan, shop, hole, yoke, squeezer)
    on_tool = before or _on_tool(worked_plan, shop, line, now)
    found = chosen if (yoke, squeezer) == listed and not now else None
    if found is None or gap_mm not in (None, found.gap_mm):
        found = set_up_of(
            *(worked, shop, hole, yoke, squeezer),
            on_tool=on_tool,
            taught=worked_plan.told.taught,
            gap_mm=gap_mm,
        )
    return _card(worked_plan, shop, hole, line, found, on_tool)


def _card(
    worked_plan: WorkedPlan,
    shop: Shop,
    hole: int,
    line: SetUpLine | None,
    found: SetUp,
    now: OnTool | None,
) -> SetUpCard:
    """Everything that stands on the card of a set-up that was found."""
    holes, change = worked_plan.worked.holes, None
    if found.pieces is not None:
        change = swap(now, found.squeezer.title, found.yoke.id, found.pieces)
    return SetUpCard(
        hole=hole,
        name=holes.name(hole),
        callout=str(holes.callout(hole)),
        line=line,
        set_up=found,
        fit=_fit(worked_plan, found, hole),
        now=now,
        change=change,
        first=first_rivet(found, shop),
        pedal=pedal_facts(found),
        stops=stop_codes(worked_plan, [hole]),
        told=worked_plan.told.of(found.dies),
        physics=_by_physics(worked_plan, shop, hole, found, now),
    )


def _by_physics(
    worked_plan: WorkedPlan, shop: Shop, hole: int, found: SetUp, now: OnTool | None
) -> SetUp | None:
    """The set-up without any head, where heads put other pieces in."""
    if found.taught.basis is Basis.PHYSICS:
        return None
    names = _names(found)
    physics = set_up_of(worked_plan.worked, shop, hole, *names, on_tool=now)
    return physics if physics.pieces != found.pieces else None


def _names(set_up: SetUp) -> tuple[str, str]:
    """Yoke and squeezer of a set-up."""
    return set_up.yoke.id, set_up.squeezer.title


def needed_shop(shop: Shop | None, name: str) -> Shop:
    """The shop, without which there is no set-up.

    Raises:
        NotFound: the folder has none.
    """
    if shop is None:
        raise NotFound(
            asked=f"set the squeezer up for {name}",
            found="no shop file in the folder",
            allowed="a shop file with squeezers, yokes, dies, pins and shims",
            do="write what you own in a shop file, as docs/shop-file.md says",
        )
    return shop


def _any_way(
    worked_plan: WorkedPlan, shop: Shop, hole: int, yoke: str, squeezer: str
) -> tuple[str, str]:
    """Squeezer and yoke for a hole that the list sets in another way."""
    every = set_ups(worked_plan.worked, shop, taught=worked_plan.told.taught)
    for one in every.of_hole(hole):
        if yoke in ("", one.yoke.id) and squeezer in ("", one.squeezer.title):
            return one.yoke.id, one.squeezer.title
    raise NotFound(
        asked=f"set the squeezer up for {worked_plan.worked.holes.name(hole)}",
        found=str(worked_plan.worked.holes.callout(hole)),
        allowed="solid rivets of the sizes that a squeezer and a yoke are rated for",
        do="choose another way to set it; the hole's card shows which tools do",
    )


def _on_tool(
    worked_plan: WorkedPlan, shop: Shop, line: SetUpLine | None, now: str
) -> OnTool | None:
    """What is on the tool: as asked, else what the line before left."""
    if now == BARE:
        return None
    if not now:
        return line.before if line else None
    hole = worked_plan.worked.holes.index(now)
    left = line_of(step_set_ups(worked_plan, shop), hole)
    return left.on_tool if left else None


def _fit(worked_plan: WorkedPlan, set_up: SetUp, hole: int) -> ToolFit | None:
    """How the yoke fits at the hole; None where the plan was worked without a shop."""
    worked = worked_plan.worked
    return tool_at(worked, set_up.yoke, hole) if worked.shop is not None else None


def set_up_choices(
    worked_plan: WorkedPlan, shop: Shop | None, hole: int
) -> tuple[Choice, ...]:
    """Every squeezer with every yoke that is rated for the rivet of a hole."""
    if shop is None:
        return ()
    every = set_ups(worked_plan.worked, shop, taught=worked_plan.told.taught)
    return tuple(
        Choice(one, _fit(worked_plan, one, hole)) for one in every.of_hole(hole)
    )
