"""What had already happened, out of the fields of an `opening:` block."""

from __future__ import annotations

import re

from rivetwright.intake.faults import Path
from rivetwright.intake.known import Known
from rivetwright.intake.opening_forms import HoursForm, OpeningForm
from rivetwright.model.opening import (
    BulletinIn,
    Delivery,
    Hold,
    HoursEntry,
    MeasuredHead,
    Opening,
    Question,
    StepState,
    WorkDone,
)

_COUNTED = re.compile(r"(?P<count>\d{1,7})\s+(?P<counted>\S.*)")


def build_opening(form: OpeningForm, known: Known) -> Opening:
    """Build the opening; ranges of holes are written out with their numbers."""
    path: Path = ("opening",)
    for step in form.steps:
        known.check("step", step, (*path, "steps", step))
    return Opening(
        day=form.day,
        set_holes=_ranges(form.set, (*path, "set"), known),
        drilled=_ranges(form.drilled, (*path, "drilled"), known),
        holds=_holds(form, known),
        questions=tuple(
            Question(
                name,
                _ranges(one.holes, (*path, "questions", name, "holes"), known),
                one.text,
                one.asked,
                one.answer,
            )
            for name, one in form.questions.items()
            if one is not None
        ),
        deliveries=tuple(
            Delivery(part, one.state, one.due, one.note)
            for part, one in form.deliveries.items()
            if one is not None
        ),
        steps=tuple(
            StepState(step, one.state, one.note)
            for step, one in form.steps.items()
            if one is not None
        ),
        hours=tuple(build_hours(one) for one in form.hours if one is not None),
        heads=_heads(form, known),
        done=_done(form, known),
        bulletins=tuple(
            BulletinIn(name, one.day, one.title)
            for name, one in form.bulletins.items()
            if one is not None
        ),
    )


def _done(form: OpeningForm, known: Known) -> tuple[WorkDone, ...]:
    """Build the work that had been done."""
    done = []
    for k, one in enumerate(form.done):
        if one is None:
            continue
        path: Path = ("opening", "done", k)
        if one.part:
            known.check("part", one.part, (*path, "part"))
        done.append(
            WorkDone(
                operation=one.operation,
                holes=_ranges(one.holes, (*path, "holes"), known),
                day=one.day,
                part=one.part,
                by=one.by,
                setup=one.setup,
                callout=one.callout,
                note=one.note,
            )
        )
    return tuple(done)


def _ranges(written: tuple[str, ...], path: Path, known: Known) -> tuple[str, ...]:
    """Write ranges out with their numbers."""
    return tuple(str(holes) for holes in known.ranges(written, path))


def _holds(form: OpeningForm, known: Known) -> tuple[Hold, ...]:
    """Build the holds."""
    return tuple(
        Hold(
            id=name,
            holes=_ranges(one.holes, ("opening", "holds", name, "holes"), known),
            reason=one.reason,
            kind=one.kind,
            name=one.name,
            until=one.until,
            stack=one.stack,
            callout=one.callout,
        )
        for name, one in form.holds.items()
        if one is not None
    )


def build_hours(form: HoursForm) -> HoursEntry:
    """Build one line of the hours; `172 holes, 15 parts` counts 172."""
    match = _COUNTED.fullmatch(form.counted.strip())
    return HoursEntry(
        day=form.day,
        operation=form.operation,
        minutes=round(form.minutes),
        count=int(match["count"]) if match else None,
        counted=match["counted"] if match else form.counted,
        note=form.note,
    )


def _heads(form: OpeningForm, known: Known) -> tuple[MeasuredHead, ...]:
    """Build the measured shop heads."""
    heads = []
    for k, one in enumerate(form.heads):
        if one is None:
            continue
        path: Path = ("opening", "heads", k, "hole")
        holes = known.range(one.hole, path)
        if holes is None:
            continue
        if holes.first != holes.last or ":" not in one.hole:
            known.faults.add(path, one.hole, "one hole, such as A3:1", "Name one hole")
        heads.append(
            MeasuredHead(
                hole=str(holes),
                width_mm=one.width,
                height_mm=one.height,
                note=one.note,
                day=one.day,
                looks=one.looks,
                offset_mm=one.offset,
                proud_mm=one.proud,
            )
        )
    return tuple(heads)
