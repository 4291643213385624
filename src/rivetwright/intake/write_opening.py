"""What had already happened, back to the text of an `opening:` block."""

from __future__ import annotations

from typing import Any

from rivetwright.intake.lay_out import Block, BlockList, length
from rivetwright.model.opening import HoursEntry, Opening
from rivetwright.units.length import LengthUnit


def opening_block(opening: Opening, unit: LengthUnit) -> Block:
    """The fields of an opening; empty where nothing had happened."""
    return Block(
        _some(
            day=opening.day and opening.day.isoformat(),
            drilled=list(opening.drilled),
            set=list(opening.set_holes),
            holds=_holds(opening),
            questions=_questions(opening),
            deliveries=_deliveries(opening),
            steps=Block(
                (one.step, _some(state=one.state, note=one.note))
                for one in opening.steps
            ),
            hours=BlockList(hours_fields(one) for one in opening.hours),
            heads=_heads(opening, unit),
            done=_done(opening),
            bulletins=Block(
                (one.id, _some(day=one.day and one.day.isoformat(), title=one.title))
                for one in opening.bulletins
            ),
        )
    )


def _some(**fields: Any) -> dict[str, Any]:
    """Leave out what is empty."""
    return {name: value for name, value in fields.items() if value}


def _holds(opening: Opening) -> Block:
    """The holds."""
    return Block(
        (
            one.id,
            {"holes": list(one.holes), "reason": one.reason}
            | _some(
                kind="" if one.kind == "other" else one.kind,
                name=one.name,
                until=one.until and one.until.isoformat(),
                stack=one.stack,
                callout=one.callout,
            ),
        )
        for one in opening.holds
    )


def _questions(opening: Opening) -> Block:
    """The questions."""
    return Block(
        (
            one.id,
            _some(holes=list(one.holes))
            | {"text": one.text}
            | _some(asked=one.asked and one.asked.isoformat(), answer=one.answer),
        )
        for one in opening.questions
    )


def _deliveries(opening: Opening) -> Block:
    """Whether parts are here; one word where there is no more to say."""
    return Block(
        (
            one.part,
            {"state": one.state}
            | _some(due=one.due and one.due.isoformat(), note=one.note)
            if one.due or one.note
            else one.state,
        )
        for one in opening.deliveries
    )


def hours_fields(entry: HoursEntry) -> dict[str, Any]:
    """One line of the hours."""
    count = "" if entry.count is None else f"{entry.count} "
    return {"day": entry.day.isoformat(), "operation": entry.operation} | _some(
        counted=count + entry.counted,
        minutes=str(entry.minutes),
        note=entry.note,
    )


def _done(opening: Opening) -> BlockList:
    """The work that had been done."""
    return BlockList(
        {"operation": one.operation, "holes": list(one.holes)}
        | _some(
            day=one.day and one.day.isoformat(),
            part=one.part,
            by=list(one.by),
            setup=one.setup,
            callout=one.callout,
            note=one.note,
        )
        for one in opening.done
    )


def _heads(opening: Opening, unit: LengthUnit) -> BlockList:
    """The measured shop heads."""
    return BlockList(
        {
            "hole": one.hole,
            "width": length(one.width_mm, unit),
            "height": length(one.height_mm, unit),
        }
        | _some(
            day=one.day and one.day.isoformat(),
            looks=list(one.looks),
            offset=one.offset_mm and length(one.offset_mm, unit),
            proud=one.proud_mm and length(one.proud_mm, unit),
            note=one.note,
        )
        for one in opening.heads
    )
