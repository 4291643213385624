"""Heads of one tool and rivet in words: what they teach, how many may go wrong."""

from __future__ import annotations

from collections.abc import Iterator

from rivetwright.bench.head_groups import GroupChange, HeadGroup
from rivetwright.bench.head_history import HeadMade, MadeBy
from rivetwright.engines.learning.capability import OfHundred
from rivetwright.engines.learning.told import FIRST_HEADS
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.learning_words import (
    Side,
    say_alarm,
    say_of_hundred,
    say_wear,
)
from rivetwright.texts.say import System, say_value
from rivetwright.texts.set_up_card import heads_words
from rivetwright.units.wording import show_length

GROUP, CHANGE, WHY = "heads_group", "heads_change", "heads_group_why"
# Fewer of a hundred than this on every side, at the worst, is hardly one.
HARDLY = 1.0
SIDES: tuple[tuple[str, Side, Side], ...] = (
    ("heights", "too_low", "too_high"),
    ("widths", "too_narrow", "too_wide"),
)


def _word(section: str, key: str, **figures: object) -> str:
    """A sentence of the catalogue with its figures put in."""
    return catalogue().word(section, key).format_map(figures)


def _length(length_mm: float, system: System) -> str:
    """A length with its unit."""
    return show_length(length_mm, system=system, with_unit=True)


def say_tool(made_by: MadeBy) -> str:
    """With what heads were made, as far as it was told."""
    if made_by.yoke:
        key = "tool_yoke" if made_by.tool else "yoke"
        return _word(GROUP, key, tool=made_by.tool, yoke=made_by.yoke)
    return made_by.tool or _word(GROUP, "no_tool")


def name_group(group: HeadGroup) -> str:
    """Tool and rivet of a group, as they stand within a sentence."""
    kind = group.kind
    if group.made_by.is_dimpled:
        kind = _word(GROUP, "dimpled", kind=kind)
    return _word(GROUP, "title", tool=say_tool(group.made_by), kind=kind)


def say_group(group: HeadGroup) -> str:
    """Tool and rivet of a group, as a heading."""
    named = name_group(group)
    return named[:1].upper() + named[1:]


def say_count(group: HeadGroup) -> str:
    """How many heads were looked at, and how many measured."""
    key = "count_one" if len(group.heads) == 1 else "count"
    measured = len(group.measured)
    return _word(GROUP, key, looked=len(group.heads), measured=measured)


def say_taught(group: HeadGroup, system: System = "in") -> tuple[str, ...]:
    """What the heads of a group teach its set-up cards, and what teaches nothing."""
    said = []
    taught = group.taught
    if taught.is_own and group.lift_mm is not None:
        lift_mm, half_mm = group.lift_mm
        key = "lift" if lift_mm >= 0 else "lift_thinner"
        by, off = (_length(mm, system) for mm in (abs(lift_mm), half_mm))
        said.append(_word(GROUP, key, by=by, off=off, heads=heads_words(taught)))
    else:
        said.append(_word(GROUP, "none_taught"))
    whys = [_word(WHY, why, count=count) for why, count in group.untaught]
    if whys:
        text = ", ".join(whys)
        said.append(f"{text[:1].upper()}{text[1:]}.")
    return tuple(said)


def say_capability(group: HeadGroup) -> tuple[str, ...]:
    """How many of the next hundred heads would be out of limits, side by side."""
    if group.heights is None and group.widths is None:
        return (_word(GROUP, "few", least=FIRST_HEADS),)
    key, holes = "none_out", ", ".join(one.name for one in group.outside)
    if holes:
        key = "some_out"
    said = [_word(GROUP, key, count=len(group.counted), holes=holes)]
    found = [one for one in (group.heights, group.widths) if one is not None]
    if all(_worst(one) < HARDLY for one in found):
        return (*said, _word(GROUP, "good"))
    return (*said, *_sides(group))


def _worst(one: OfHundred) -> float:
    """The most that may be out on either side, of a hundred [heads]."""
    return max(one.too_small.high, one.too_large.high)


def _sides(group: HeadGroup) -> Iterator[str]:
    """A sentence for each side on which a head may come out of its limits."""
    for name, small, large in SIDES:
        one: OfHundred | None = getattr(group, name)
        if one is not None:
            for counts, side in ((one.too_small, small), (one.too_large, large)):
                if counts.high >= HARDLY:
                    yield say_of_hundred(counts, side)


def say_warnings(group: HeadGroup, system: System = "in") -> tuple[str, ...]:
    """The alarm that stands, with what to look at, and dies that wear or fill up."""
    said: list[str] = []
    raised, wear = group.told.standing, group.told.wear
    if raised is not None:
        said += say_alarm(raised.alarm, raised.since, system)
    if wear is not None and (wear.is_wearing or wear.is_filling):
        said.append(say_wear(wear, _room_mm(group), system))
    return tuple(said)


def _room_mm(group: HeadGroup) -> float:
    """How much higher heads may still come out than they do now [mm]."""
    most, now = group.height.most_mm, group.heights
    if most is None or now is None:
        return 0.0
    return max(most - now.middle_mm, 0.0)


def say_change(change: GroupChange, one: HeadMade, system: System = "in") -> str:
    """What changed before a head, or what its alarm says."""
    if change.raised is not None:
        alarm = change.raised.alarm
        key = "higher" if alarm.is_higher else "lower"
        by = _length(abs(alarm.by_mm), system)
        return _word(CHANGE, key, since=change.raised.since, by=by)
    now = _now(one, system)
    return ", ".join(_word(CHANGE, what, now=now[what]) for what in change.what)


def _now(one: HeadMade, system: System) -> dict[str, str]:
    """What a head was set with, in words."""
    body = one.seen.body
    shims = " + ".join(_length(shim, system) for shim in body.shims_mm)
    return {
        "die_gap": _length(body.die_gap_mm or 0.0, system),
        "dies": ", ".join(body.dies),
        "shims": shims,
        "pressure": say_value("pressure_kpa", body.pressure_kpa or 0.0, system).main,
        "rivets": body.tin,
        "people": " + ".join(one.seen.people),
    }
