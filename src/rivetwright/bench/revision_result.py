"""Two revisions compared, as JSON: lengths in mm, minutes as such."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.revision import Revision
from rivetwright.engines.revise.compare import Change
from rivetwright.engines.revise.outlook import Done, Task
from rivetwright.model.columns import Holes

REVISION_FORMAT = "rivetwright revision 1"


def revision_result(revision: Revision) -> dict[str, Any]:
    """A comparison as plain values."""
    asks, found = revision.asks, revision.found
    low, likely, high = asks.minutes
    return {
        "format": REVISION_FORMAT,
        "assembly": revision.new.id,
        "old": revision.old.revision,
        "new": revision.new.revision,
        "bulletin": revision.offered.bulletin.id if revision.offered.bulletin else "",
        "changes": [_change(revision, one) for one in asks.done],
        "parts": [
            {
                "kind": str(one.kind),
                "part": one.name,
                "before": one.before,
                "after": one.after,
            }
            for one in found.parts
        ],
        "steps": [
            {
                "kind": str(one.kind),
                "step": one.name,
                "needs": list(one.needs_more),
                "needs_no_longer": list(one.needs_less),
                "closes": list(one.closes_more),
                "closes_no_longer": list(one.closes_less),
            }
            for one in found.steps
        ],
        "questions": [
            {
                "doubt": str(one.doubt),
                "holes": _names(_side(revision, is_old=one.is_old), one.holes),
                "what": one.what,
            }
            for one in asks.questions
        ],
        "tasks": [_task(revision, one) for one in asks.tasks],
        "takes": [{"code": code, "count": count} for code, count in asks.codes],
        "before_step": asks.before,
        "minutes": {"low": low, "likely": likely, "high": high},
    }


def _side(revision: Revision, *, is_old: bool) -> Holes:
    side = revision.found.old if is_old else revision.found.new
    return side.worked.holes


def _names(holes: Holes, found: tuple[int, ...]) -> list[str]:
    return [holes.name(hole) for hole in found]


def _change(revision: Revision, done: Done) -> dict[str, Any]:
    """Holes that differ alike, and how far they were."""
    one: Change = done.change
    old, new = (_side(revision, is_old=is_old) for is_old in (True, False))
    return {
        "kind": str(one.kind),
        "row": one.row,
        "found_by": str(one.by),
        "old": _names(old, one.old),
        "new": _names(new, one.new),
        "differences": {
            str(d.aspect): {"before": _figure(d.before), "after": _figure(d.after)}
            for d in one.differences
        },
        "set": _names(old, done.set_holes),
        "drilled": _names(old, done.drilled),
        "dimpled": _names(old, done.dimpled),
        "countersunk": _names(old, done.countersunk),
        "closed_by": list(done.closed_by),
    }


def _figure(value: str | float) -> str | float | None:
    """A figure; null where there is none."""
    return None if value != value else value


def _task(revision: Revision, one: Task) -> dict[str, Any]:
    """One thing to do."""
    return {
        "do": str(one.doing),
        "holes": _names(_side(revision, is_old=not one.is_new), one.holes),
        "count": one.count,
        "code": one.code,
        "part": one.part,
        "step": one.step,
        "tools": list(one.tools),
        "people": one.people,
        "limit_mm": one.limit_mm,
        "minutes": one.minutes.likely if one.minutes else None,
    }
