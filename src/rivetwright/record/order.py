"""The order in which facts count, which is not the order in which they arrived.

Within a device its own counting holds. Between devices the corrected time holds,
which is the device's clock plus the difference to the server last measured; within a
device it never runs backwards. What says it happened long after it arrived counts as
of its arrival, so that one wild clock does not hold up what its device tells later.
What is then still equal keeps the order of arrival.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from rivetwright.record.chain import Entry
from rivetwright.record.fact import Fact

Place = tuple[str, str, int, int]
# How far beyond its arrival a fact may claim to have happened: a clock that was not
# compared yet is seldom further off (JUDGEMENT).
AHEAD_MAX = timedelta(minutes=2)


def read_utc(text: str) -> datetime:
    """A moment from its written form, 2026-11-25T19:03:11.250Z."""
    return datetime.fromisoformat(text[:-1]).replace(tzinfo=UTC)


def write_utc(moment: datetime) -> str:
    """A moment as it is written, to the millisecond."""
    plain = moment.astimezone(UTC).replace(tzinfo=None)
    return plain.isoformat(timespec="milliseconds") + "Z"


def corrected(fact: Fact) -> str:
    """When a fact happened by the server's clock, as it is written."""
    if not fact.clock_ms:
        return fact.happened
    try:
        moment = read_utc(fact.happened) + timedelta(milliseconds=fact.clock_ms)
    except (OverflowError, ValueError):
        return fact.happened
    return write_utc(moment)


def is_far_ahead(entry: Entry) -> bool:
    """Whether a fact says that it happened long after it arrived."""
    at = corrected(entry.fact)
    return at > entry.arrived and read_utc(at) > read_utc(entry.arrived) + AHEAD_MAX


def counted_at(entry: Entry) -> str:
    """When a fact counts as happened, as it is written: no wild clock is followed."""
    return entry.arrived if is_far_ahead(entry) else corrected(entry.fact)


def fold_order(entries: Iterable[Entry]) -> list[Entry]:
    """Entries in the order in which they count."""
    return [entry for _, entry in placed_on(entries, {})]


def placed_on(
    entries: Iterable[Entry], ends: dict[str, tuple[int, str]]
) -> list[tuple[Place, Entry]]:
    """Entries in the order in which they count, each with its place in it.

    Args:
        entries: in any order.
        ends: for each device the counting and corrected time of the last of its
            facts that was folded before; a later one never counts as earlier.
    """
    by_device: dict[str, list[Entry]] = {}
    for entry in entries:
        by_device.setdefault(entry.fact.device, []).append(entry)
    placed: list[tuple[Place, Entry]] = []
    for device, own in by_device.items():
        own.sort(key=lambda entry: (entry.fact.device_seq, entry.seq))
        at = ends.get(device, (0, ""))[1]
        for entry in own:
            at = max(at, counted_at(entry))
            placed.append(((at, device, entry.fact.device_seq, entry.seq), entry))
    placed.sort(key=lambda one: one[0])
    return placed
