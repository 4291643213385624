"""Steps and open holes out of the fields of a file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from graphlib import CycleError, TopologicalSorter

from rivetwright.errors import nearest_hint
from rivetwright.intake.faults import Faults, Path
from rivetwright.intake.forms import OpenHolesForm, StepForm
from rivetwright.intake.known import Known
from rivetwright.model.plan import HoleRange, OpenHoles
from rivetwright.model.step import Need, Step

STEP = "step"
NAMED = (STEP, "part", "tool", "delivery")
NAMELESS = ("helper", "inspector", "quiet")
_NEED = re.compile(r"(?P<words>[^()]+?)(?:\s*\((?P<note>[^()]*)\))?")


def build_step(name: str, form: StepForm, known: Known) -> Step:
    """Build a step; its ranges of holes are written out with their numbers."""
    path: Path = ("steps", name)
    needs = [
        _need(written, (*path, "needs", k), known)
        for k, written in enumerate(form.needs)
    ]
    for k, face in enumerate(form.closes):
        known.check("face", face, (*path, "closes", k))
    text_sets = known.ranges(form.text_sets, (*path, "text_sets"))
    return Step(
        name=name,
        title=form.title,
        needs=tuple(need for need in needs if need is not None),
        closes=form.closes,
        text=form.text,
        text_sets=tuple(str(holes) for holes in text_sets),
        drawing_note=form.drawing_note,
        kit_minutes=form.kit_minutes,
        is_inspection=form.inspection,
    )


def _need(written: str, path: Path, known: Known) -> Need | None:
    """Read one need: `aileron-2`, `part 512`, `tool BB3 (for hole 8)`, `helper`."""
    allowed = (
        "a step, or one of: part NAME, tool NAME, delivery NAME, helper, inspector, "
        "quiet"
    )
    match = _NEED.fullmatch(written.strip())
    if match is None:
        known.faults.add(path, written, allowed, "Write part 512 or tool BB3 (why)")
        return None
    kind, _, name = " ".join(match["words"].split()).partition(" ")
    note = match["note"] or ""
    if kind in NAMELESS:
        return Need(kind, name, note)
    if kind not in NAMED:
        kind, name = STEP, match["words"].strip()
    if not name:
        known.faults.add(path, written, allowed, f"Write which {kind}")
        return None
    if kind == STEP and name not in known.steps:
        names = sorted(known.steps)
        known.faults.add(
            path, written, allowed + nearest_hint(name, names), "Name a step or a need"
        )
        return None
    if kind == "part" and not known.check("part", name, path):
        return None
    return Need(kind, name, note)


def check_order(steps: Mapping[str, Step], faults: Faults) -> None:
    """Note a ring of steps that need each other."""
    needs = {
        step.name: [need.name for need in step.needs if need.kind == STEP]
        for step in steps.values()
    }
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as why:
        ring = list(reversed(why.args[1]))
        first = next(name for name in steps if name in ring)
        faults.add(
            ("steps", first, "needs"),
            "steps that need each other: " + " needs ".join(ring),
            "needs that do not lead back to the step",
            "Take one of these needs out",
        )


class OpenAlready:
    """Which holes stand under an entry, so that none stands under two."""

    def __init__(self) -> None:
        self._marks: dict[str, bytearray] = {}
        self._entries: list[tuple[str, HoleRange]] = []

    def add(self, entry: str, holes: HoleRange) -> str:
        """Mark holes of an entry; the name of another that has one of them."""
        marks = self._marks.setdefault(holes.row, bytearray())
        marks.extend(bytes(max(0, holes.last + 1 - len(marks))))
        span = slice(holes.first, holes.last + 1)
        other = ""
        if any(marks[span]):
            other = next(e for e, h in self._entries if _overlap(h, holes))
        marks[span] = b"\1" * (holes.last + 1 - holes.first)
        self._entries.append((entry, holes))
        return other


def build_open_holes(
    name: str, form: OpenHolesForm, known: Known, already: OpenAlready
) -> OpenHoles | None:
    """Build holes left open; None where they were refused."""
    path: Path = ("open_holes", name)
    before = len(known.faults)
    holes = known.ranges(form.holes, (*path, "holes"))
    for k, found in enumerate(holes):
        if other := already.add(name, found):
            known.faults.add(
                (*path, "holes", k),
                f"{found}, already open under {other}",
                "each hole under one entry",
                "Take it out of one of them",
            )
    if form.step:
        known.check(STEP, form.step, (*path, "step"))
    if form.part:
        known.check("part", form.part, (*path, "part"))
    callout = None
    if form.callout:
        callout = known.callout(form.callout, (*path, "callout"))
    stack = known.stack(form.stack, (*path, "stack"))
    if len(known.faults) > before:
        return None
    return OpenHoles(name, holes, form.reason, form.step, form.part, stack, callout)


def _overlap(one: HoleRange, other: HoleRange) -> bool:
    """Whether two ranges share a hole."""
    is_apart = one.last < other.first or other.last < one.first
    return one.row == other.row and not is_apart
