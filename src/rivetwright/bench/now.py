"""What the record says of a plan, in the form in which a plan says what had happened.

So the engines, the pictures and the paper need to know nothing of the record.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from functools import cached_property

from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import FactRefused
from rivetwright.model.columns import Holes
from rivetwright.model.opening import (
    BulletinIn,
    Delivery,
    Hold,
    HoursEntry,
    MeasuredHead,
    Opening,
    Question,
    StepState,
)
from rivetwright.model.plan import Plan
from rivetwright.model.shop import Shop, Tool
from rivetwright.record.kinds import DRILLED, PART, TOOL
from rivetwright.record.ranges import named, write_ranges
from rivetwright.record.state import AssemblyNow, DeliveryNow, HoldNow, HoleNow, State

ON_HAND, OWNED = "on hand", "owned"


class HoleIds:
    """Holes of a plan by permanent id, and back: the record's names and the plan's."""

    def __init__(self, holes: Holes) -> None:
        self.holes = holes

    @cached_property
    def rows(self) -> dict[str, int]:
        """Row id to index in the plan."""
        return {row.id: k for k, row in enumerate(self.holes.plan.rows)}

    @cached_property
    def _index(self) -> dict[tuple[str, int], int]:
        plan = self.holes.plan
        pairs = zip(self.holes.row.tolist(), self.holes.number.tolist(), strict=True)
        return {(plan.rows[k].id, n): at for at, (k, n) in enumerate(pairs)}

    def index(self, row_id: str, number: int) -> int | None:
        """Index of a hole; None where the plan has it no longer."""
        return self._index.get((row_id, number))

    def indices(self, ranges: Iterable[str]) -> list[int]:
        """Indices of the holes that ranges name and the plan still has."""
        try:
            found = [self.index(row, number) for row, number in named(ranges)]
        except FactRefused:
            return []
        return [at for at in found if at is not None]

    def ranges(self, holes: Iterable[int]) -> tuple[str, ...]:
        """Holes as facts write them."""
        columns = self.holes
        return write_ranges(
            (columns.row_of(at).id, int(columns.number[at])) for at in holes
        )

    def names(self, ranges: Iterable[str]) -> tuple[str, ...]:
        """Ranges of permanent ids as the plan names them: `A12:18-20`."""
        columns = self.holes
        return write_ranges(
            (columns.row_of(at).name, int(columns.number[at]))
            for at in self.indices(ranges)
        )


def standing(assembly: AssemblyNow) -> list[HoldNow]:
    """Holds that were not lifted."""
    return [hold for hold in assembly.holds.values() if not hold.lifted_at]


def opening_now(ids: HoleIds, state: State, parts: Iterable[str] = ()) -> Opening:
    """What has happened by now, for one plan.

    Args:
        ids: the plan's holes.
        state: what the record says.
        parts: names of further parts whose deliveries concern this plan.
    """
    plan = ids.holes.plan
    assembly = state.assembly(plan.id)
    named_parts = dict.fromkeys([*parts, *(part.name for part in plan.parts)])
    return Opening(
        day=_day(state.last_place[0]),
        set_holes=_where(ids, assembly, lambda hole: hole.rivet is not None),
        drilled=_where(ids, assembly, lambda hole: DRILLED in hole.worked),
        holds=tuple(_hold(ids, hold) for hold in standing(assembly)),
        questions=tuple(
            Question(
                one.id, ids.names(one.holes), one.text, _day(one.asked_at), one.answer
            )
            for one in assembly.questions.values()
        ),
        deliveries=_deliveries(state, named_parts),
        steps=tuple(
            StepState(name, one.state, one.note) for name, one in assembly.steps.items()
        ),
        hours=_hours(plan, state),
        heads=_heads(ids, assembly),
        bulletins=tuple(
            BulletinIn(name, _day(at)) for name, at in assembly.bulletins.items()
        ),
    )


def shop_now(shop: Shop | None, state: State) -> Shop | None:
    """The shop as the record has it: a tool that has arrived counts as owned."""
    if shop is None:
        return None
    tools = tuple(
        _tool_now(tool, state.deliveries.get((TOOL, tool.id))) for tool in shop.tools
    )
    return shop if tools == shop.tools else replace(shop, tools=tools)


def squeezers_away(shop: Shop | None, state: State) -> tuple[str, ...]:
    """Squeezers that are not at hand by the record, by their titles."""
    titles = [one.title for one in shop.squeezers] if shop else []
    return tuple(title for title in titles if tool_away(state, title))


def tool_away(state: State, name: str) -> str:
    """Where a tool or squeezer is that the record says is not at hand; else empty."""
    told = state.deliveries.get((TOOL, name))
    return "" if told is None or told.state in (ON_HAND, OWNED) else told.state


def _tool_now(tool: Tool, told: DeliveryNow | None) -> Tool:
    """A tool with where its delivery stands."""
    if told is None:
        return tool
    if told.state in (ON_HAND, OWNED):
        return replace(tool, state=OWNED, due=None)
    return replace(tool, state=told.state, due=_day(told.due))


def _where(ids: HoleIds, assembly: AssemblyNow, is_so: object) -> tuple[str, ...]:
    """Names of the holes for which something is so, row by row."""
    assert callable(is_so)
    found = []
    for row_id, numbers in assembly.rows.items():
        if row_id in ids.rows:
            name = ids.holes.plan.rows[ids.rows[row_id]].name
            found += [
                (name, number)
                for number, hole in numbers.items()
                if is_so(hole) and ids.index(row_id, number) is not None
            ]
    return write_ranges(found)


def _hold(ids: HoleIds, hold: HoldNow) -> Hold:
    """A hold as the plan writes it."""
    return Hold(
        id=hold.id,
        holes=ids.names(hold.holes),
        reason=hold.reason,
        kind=hold.cause,
        name=hold.cause_name,
        until=date.fromisoformat(hold.until) if hold.until else None,
        stack=hold.stack,
        callout=hold.callout,
    )


def _day(at: str) -> date | None:
    return date.fromisoformat(at[:10]) if at else None


def _deliveries(state: State, parts: Iterable[str]) -> tuple[Delivery, ...]:
    """Where parts stand, in the order in which they are named."""
    stands = [(name, state.deliveries.get((PART, name))) for name in parts]
    return tuple(
        Delivery(name, one.state, _day(one.due), one.note)
        for name, one in stands
        if one is not None
    )


def _hours(plan: Plan, state: State) -> tuple[HoursEntry, ...]:
    """Time booked to this assembly."""
    return tuple(
        HoursEntry(
            _day(one.day or one.began) or date.min,
            one.operation,
            round(one.seconds / 60),
            one.count,
            one.counted,
            one.note,
        )
        for one in state.booked
        if one.assembly == plan.id
    )


def _heads(ids: HoleIds, assembly: AssemblyNow) -> tuple[MeasuredHead, ...]:
    """Shop heads that were measured both ways."""
    found = []
    for row_id, numbers in assembly.rows.items():
        for number, hole in numbers.items():
            at = ids.index(row_id, number)
            if at is None:
                continue
            found += [
                MeasuredHead(
                    ids.holes.name(at),
                    one.width_mm,
                    one.height_mm,
                    one.note,
                    _day(one.at),
                    one.looks,
                    one.body.offset_mm,
                    one.body.proud_mm,
                )
                for one in hole.heads
                if one.width_mm is not None and one.height_mm is not None
            ]
    return tuple(found)


def hole_now(ids: HoleIds, state: State, at: int) -> HoleNow:
    """What the record says of one hole of a plan."""
    columns = ids.holes
    row_id, number = columns.row_of(at).id, int(columns.number[at])
    return state.assembly(columns.plan.id).hole(row_id, number)


def hole_states(ids: HoleIds, state: State, holes: Iterable[int]) -> dict[str, str]:
    """One word for each hole, by its name: set, hold, open, drilled or planned."""
    assembly = state.assembly(ids.holes.plan.id)
    held = {at for hold in standing(assembly) for at in ids.indices(hold.holes)}
    said = {}
    for at in holes:
        hole = hole_now(ids, state, at)
        if hole.rivet is not None:
            word = "set"
        elif at in held:
            word = "hold"
        elif ids.holes.open_holes[at] >= 0:
            word = "open"
        else:
            word = "drilled" if DRILLED in hole.worked else "planned"
        said[ids.holes.name(at)] = word
    return said


def answered_holes(worked_plan: WorkedPlan, state: State) -> frozenset[tuple[str, int]]:
    """Code and hole of every answer that was given to a finding of a plan."""
    ids = HoleIds(worked_plan.worked.holes)
    assembly = state.assembly(worked_plan.worked.plan.id)
    return frozenset(
        (one.code, at) for one in assembly.answers for at in ids.indices(one.holes)
    )
