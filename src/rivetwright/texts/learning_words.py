"""What measured heads taught, in words: basis, capability, alarm, wear."""

from __future__ import annotations

from typing import Literal

from rivetwright.engines.learning.drift import Alarm
from rivetwright.engines.learning.offset import Foretold
from rivetwright.engines.learning.wear import Wear
from rivetwright.engines.squeeze.taught import Basis
from rivetwright.standards.spread import Spread
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import System
from rivetwright.units.wording import show_length

Side = Literal["too_low", "too_high", "too_narrow", "too_wide"]

# Nineteen of twenty heads stand within so many standard deviations.
NINETEEN_OF_TWENTY = 1.96
# Below this nobody would see one in a lifetime; above that all but one are off.
NEVER, NEARLY_ALL = 0.005, 99.0
# A count that may be so many more or less is told as a range.
TOLD_AS_RANGE = 2.0


def _filled(section: str, key: str, **figures: str) -> str:
    """A sentence of the catalogue with its figures put in."""
    return catalogue().word(section, key).format(**figures)


def _length(length_mm: float, system: System) -> str:
    """A length with its unit."""
    return show_length(length_mm, system=system, with_unit=True)


def say_basis(told: Foretold) -> str:
    """What a set-up's figures rest on: physics, or so many of the builder's heads."""
    single = told.basis is Basis.HEADS and told.heads_count == 1
    key = "one" if single else str(told.basis)
    said = _filled("learning_basis", key, count=str(told.heads_count))
    if not told.slips_count:
        return said
    slips = _filled("learning_basis", "slips", count=str(told.slips_count))
    return f"{said}, {slips}"


def say_band(told: Foretold, system: System = "in") -> str:
    """Where the next head will stand, and between what nineteen of twenty."""
    middle, off = told.band_mm.central, NINETEEN_OF_TWENTY * told.head_spread_mm
    figures = {
        "middle": _length(middle, system),
        "low": _length(middle - off, system),
        "high": _length(middle + off, system),
    }
    return _filled("learning_basis", "band", **figures)


def say_of_hundred(counts: Spread, side: Side) -> str:
    """Of 100 heads about so many would be off on one side, and what it may be.

    Args:
        counts: how many of a hundred, as a range [heads].
        side: which side.
    """
    words = {"side": catalogue().word("learning_side", side)}
    said = _filled(
        "of_hundred", _how_many(counts), **words, count=_whole(counts.central)
    )
    if counts.high - counts.low < TOLD_AS_RANGE:
        return said
    ends = {"low": _whole(counts.low), "high": _whole(counts.high)}
    return f"{said} {_filled('of_hundred', 'between', **ends)}"


def _how_many(counts: Spread) -> str:
    """The key of a count: none, fewer than one, about so many, nearly all."""
    if counts.high < NEVER:
        return "none"
    if round(counts.central) < 1:
        return "few"
    return "all" if counts.central > NEARLY_ALL else "about"


def _whole(count: float) -> str:
    """A count in whole heads."""
    return str(round(count))


def say_alarm(alarm: Alarm, since: str, system: System = "in") -> tuple[str, ...]:
    """The alarm, then what to look at, first what is least trouble.

    Args:
        alarm: the alarm.
        since: name of the hole at which the change began.
        system: the project's unit, in or mm.
    """
    key = "higher" if alarm.is_higher else "lower"
    by = _length(abs(alarm.by_mm), system)
    asked = [catalogue().word("drift_ask", one) for one in alarm.ask]
    told = _filled("drift_alarm", key, since=since, by=by)
    return told, *asked, catalogue().word("drift_alarm", "afresh")


def say_wear(wear: Wear, room_mm: float, system: System = "in") -> str:
    """How dies wear, and until when their heads keep to the limit.

    Args:
        wear: the trend.
        room_mm: how much higher heads may still come out [mm].
        system: the project's unit, in or mm.
    """
    creep = _length(abs(wear.per_1000_mm.central), system)
    if wear.is_filling:
        return _filled("die_wear", "filling", creep=creep)
    left = wear.rivets_left(room_mm)
    if left is None:
        figures = {"count": str(wear.heads_count), "span": str(wear.span_count)}
        return _filled("die_wear", "none", **figures)
    ends = {"low": _whole(left.low), "high": _whole(left.high)}
    room = _length(room_mm, system)
    after = _filled("die_wear", "left", room=room, **ends)
    return f"{_filled('die_wear', 'wearing', creep=creep)} {after}"
