"""Time at the bench and beside it: forgotten timers, and minutes by operation."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from rivetwright.record.order import read_utc
from rivetwright.record.state import Booked, Timer

# A timer over this long was most likely forgotten (JUDGEMENT: an evening is 2-3 h).
LONGEST_HOURS = 4
UTC_NAME = "UTC"


@dataclass(frozen=True)
class Forgotten:
    """A timer that was most likely forgotten: its day, its beginning, its minutes."""

    fact: str
    day: str
    since: str
    minutes: int


@dataclass(frozen=True)
class Spent:
    """Minutes at one operation of one assembly; `is_bench` apart from other time."""

    assembly: str
    operation: str
    is_bench: bool
    minutes: int
    entries: int


def zone_of(name: str) -> ZoneInfo:
    """A time zone by its name; UTC where this machine does not know it."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo(UTC_NAME)


def forgotten(timer: Timer | None, now: datetime, zone: str) -> Forgotten | None:
    """A timer over four hours, or one that ran past midnight in the shop's zone."""
    if timer is None:
        return None
    there = zone_of(zone)
    since = read_utc(timer.since).astimezone(there)
    minutes = round((now - since).total_seconds() / 60)
    is_long = minutes > LONGEST_HOURS * 60
    if not is_long and since.date() == now.astimezone(there).date():
        return None
    day = since.date().isoformat()
    return Forgotten(timer.fact, day, f"{since:%Y-%m-%d %H:%M}", minutes)


def day_of(one: Booked, zone: str) -> date:
    """The day a time belongs to: as written, or the shop's day of its beginning."""
    if one.day:
        return date.fromisoformat(one.day)
    return read_utc(one.began).astimezone(zone_of(zone)).date()


def spent_by(booked: Iterable[Booked]) -> tuple[Spent, ...]:
    """Minutes by assembly and operation, in the order in which each first came."""
    seconds: dict[tuple[str, str, bool], int] = {}
    count: dict[tuple[str, str, bool], int] = {}
    for one in booked:
        key = (one.assembly, one.operation, one.is_bench)
        seconds[key] = seconds.get(key, 0) + one.seconds
        count[key] = count.get(key, 0) + 1
    return tuple(
        Spent(*key, minutes=round(total / 60), entries=count[key])
        for key, total in seconds.items()
    )


def minutes_of(spent: Iterable[Spent], *, is_bench: bool) -> int:
    """All minutes at the bench, or all others."""
    return sum(one.minutes for one in spent if one.is_bench is is_bench)
