"""Heads on a made-up hole: 1/8 in, -3.5, two sheets of 0.032 in."""

from __future__ import annotations

from typing import Any

from rivetwright.engines.heads.called import Called, called_at
from rivetwright.engines.heads.cause import suspects
from rivetwright.engines.heads.entry import Head, Look
from rivetwright.engines.heads.pattern import Seen
from rivetwright.engines.heads.suspect import Cause, Suspect
from rivetwright.engines.heads.verdict import HeadVerdict, judge
from rivetwright.model.plan import RuleSets
from tests.unit.engines.small import through

IN = 25.4


def called(
    code: str = "MS20470AD4-3.5",
    *sheets_in: float,
    how: str = "plain",
    limit_set: str = "MIL-R-47196A",
) -> Called:
    """What a code calls for in sheets [in], 0.032 and 0.032 where none are named."""
    sheets = [(one, how) for one in sheets_in or (0.032, 0.032)]
    sets = RuleSets(head_limits=limit_set)
    found = called_at(through(*sheets, code=code, rule_sets=sets).worked, 0)
    assert found is not None
    return found


def head(width_in: float | None, height_in: float | None, **seen: Any) -> Head:
    """A head of these sizes [in]; looks may come as a plain tuple."""
    looks = frozenset(seen.pop("looks", ()))
    sizes = [None if one is None else one * IN for one in (width_in, height_in)]
    return Head(sizes[0], sizes[1], looks=looks, **seen)


def judged(
    width_in: float | None,
    height_in: float | None,
    of: Called | None = None,
    **seen: Any,
) -> HeadVerdict:
    """The verdict on a head."""
    return judge(head(width_in, height_in, **seen), of or called())


def causes(verdict: HeadVerdict) -> dict[Cause, Suspect]:
    """Suspects of a head by cause, in their order."""
    return {one.cause: one for one in suspects(verdict)}


def seen(name: str, height_in: float = 0.060, *looks: Look, **more: Any) -> Seen:
    """One head among many, .194 wide unless it says otherwise."""
    width = more.pop("width_in", 0.194)
    sizes = {key: more.pop(key) for key in ("offset_mm", "lean_deg") if key in more}
    return Seen(name, judged(width, height_in, looks=looks, **sizes), **more)
