"""Holes as facts write them: `<row id>:1-17`, one row and a stretch of numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache

from rivetwright.errors import FactRefused

NAMED_MAX = 5000  # holes that one fact may name; a hostile range stays small
RANGE_MAX = 240  # characters of a range, which are kept in memory once read


@lru_cache(maxsize=2**15)
def read_range(text: str) -> tuple[str, int, int]:
    """Row id, first and last number.

    Raises:
        FactRefused: the text has another form, or names too many holes.
    """
    row, colon, numbers = text.rpartition(":")
    first, dash, last = numbers.partition("-")
    is_range = first.isdecimal() and (last.isdecimal() or not dash)
    is_short = len(numbers) < 24 and len(text) <= RANGE_MAX
    if not (row and colon and is_range and is_short and numbers.isascii()):
        raise _refused(text)
    low, high = int(first), int(last or first)
    if not 1 <= low <= high or high - low >= NAMED_MAX:
        raise _refused(text)
    return row, low, high


def named(ranges: Iterable[str]) -> Iterator[tuple[str, int]]:
    """Each hole that ranges name, as row id and number.

    Raises:
        FactRefused: a range has another form, or all name too many holes.
    """
    for row, low, high in stretches(ranges):
        for number in range(low, high + 1):
            yield row, number


def stretches(ranges: Iterable[str]) -> Iterator[tuple[str, int, int]]:
    """Each range read, as long as all together name few enough holes.

    Raises:
        FactRefused: a range has another form, or all name too many holes.
    """
    count = 0
    for text in ranges:
        stretch = read_range(text)
        count += stretch[2] - stretch[1] + 1
        if count > NAMED_MAX:
            raise _refused(text)
        yield stretch


def write_ranges(holes: Iterable[tuple[str, int]]) -> tuple[str, ...]:
    """Holes gathered into stretches, row by row in the order the rows come."""
    rows: dict[str, set[int]] = {}
    for row, number in holes:
        rows.setdefault(row, set()).add(number)
    written = []
    for row, numbers in rows.items():
        stretch: list[int] = []
        for number in sorted(numbers):
            if stretch and number != stretch[-1] + 1:
                written.append(_write(row, stretch[0], stretch[-1]))
                stretch = []
            stretch.append(number)
        written.append(_write(row, stretch[0], stretch[-1]))
    return tuple(written)


def renamed(ranges: Iterable[str], row_now: Callable[[str], str]) -> tuple[str, ...]:
    """The same stretches of rows that bear other ids now."""
    return tuple(
        _write(row_now(row), first, last) for row, first, last in stretches(ranges)
    )


def _write(row: str, first: int, last: int) -> str:
    return f"{row}:{first}" if first == last else f"{row}:{first}-{last}"


def _refused(text: str) -> FactRefused:
    return FactRefused(
        asked="read holes of a fact",
        found=repr(text)[:120],
        allowed=f"<row id>:first-last, at most {NAMED_MAX} holes in one fact",
        do="name the row by its permanent id, and fewer holes at once",
    )
