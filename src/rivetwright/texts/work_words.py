"""The work left in words: what is done, how long it takes, what it waits for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from rivetwright.engines.work.chain import Chain
from rivetwright.engines.work.now import Held, Turn
from rivetwright.engines.work.pieces import CHECK, Minutes, Piece
from rivetwright.engines.work.unlocks import Unlock
from rivetwright.engines.work.waits import (
    HERE,
    HOLD,
    QUIET,
    SECOND,
    STEP,
    STOCK,
    TOOL,
    Wait,
)
from rivetwright.model.columns import parse_hole_range
from rivetwright.model.plan import HoleRange
from rivetwright.texts.catalogue import catalogue

HOUR_MIN = 60
# From so many minutes on a time is said in hours.
_HOURS_FROM_MIN = 120


def work_word(section: str, key: str, **values: object) -> str:
    """Words about the work, filled in."""
    return catalogue().word(f"work_{section}", key).format_map(values)


def say_time(minutes: float) -> str:
    """A time as one plans an evening: whole minutes, hours from two on."""
    whole = max(1, round(minutes))
    if whole < _HOURS_FROM_MIN:
        return work_word("say", "minutes", minutes=whole)
    hours, rest = divmod(whole, HOUR_MIN)
    if rest == 0:
        return work_word("say", "hours_only", hours=hours)
    return work_word("say", "hours", hours=hours, minutes=rest)


def say_range(minutes: Minutes) -> str:
    """Likely minutes with their range: `20 min (16 to 32)`."""
    low, high = max(1, round(minutes.low)), max(1, round(minutes.high))
    if minutes.likely < _HOURS_FROM_MIN:
        likely, ends = say_time(minutes.likely), (str(low), str(high))
    else:
        likely, ends = say_time(minutes.likely), (say_time(low), say_time(high))
    return work_word("say", "range", likely=likely, low=ends[0], high=ends[1])


def say_basis(minutes: Minutes) -> str:
    """What minutes rest on."""
    return work_word("say", minutes.basis)


def say_count(counted: str, count: int) -> str:
    """How many holes, rivets, dimples, parts: one or more."""
    return work_word("counted", counted if count == 1 else f"{counted}s", count=count)


def say_day(day: date) -> str:
    """A day with its weekday."""
    return f"{day:%a} {day.isoformat()}"


def say_turn(turn: Turn) -> str:
    """What is done in one go: operation, rows or parts."""
    return say_work(turn.way or turn.first.rate_name, _of_all(turn.pieces), turn.parts)


def say_pieces(pieces: Sequence[Piece]) -> str:
    """What some pieces of one operation do."""
    parts = sorted({piece.part for piece in pieces if piece.part})
    return say_work(pieces[0].rate_name, _of_all(pieces), parts)


def _of_all(pieces: Iterable[Piece]) -> list[str]:
    return joined_names(name for piece in pieces for name in piece.names)


def joined_names(names: Iterable[str]) -> list[str]:
    """Rows and holes, ranges of one row that follow on one another as one."""
    found: dict[str, list[HoleRange]] = {}
    for name in dict.fromkeys(names):
        row = name.partition(":")[0]
        ranges = found.setdefault(row, [])
        if name != row:
            ranges.append(parse_hole_range(name))
    return [text for row, ranges in found.items() for text in _joined(row, ranges)]


def _joined(row: str, ranges: Iterable[HoleRange]) -> list[str]:
    """Ranges of a row in order, neighbours as one; the row's name where none is."""
    joined: list[HoleRange] = []
    for one in sorted(ranges, key=lambda one: one.first):
        if joined and joined[-1].last + 1 == one.first:
            joined[-1] = HoleRange(row, joined[-1].first, one.last)
        else:
            joined.append(one)
    return [str(one) for one in joined] or [row]


def say_work(name: str, rows: Sequence[str], parts: Sequence[str]) -> str:
    """An operation on rows or parts: `Back-rivet: A17, A18`."""
    what = work_word("does", name)
    if parts:
        key = "of_parts" if len(parts) == 1 else "of_many_parts"
        return work_word("say", key, what=what, parts=", ".join(parts))
    if rows:
        return work_word("say", "with", what=what, rows=", ".join(rows))
    return what


def say_turn_count(turn: Turn) -> str:
    """How many of what, and whether only a part of them fits in."""
    whole = say_count(turn.first.counted, turn.whole_count)
    if turn.count == turn.whole_count:
        return whole
    return work_word("say", "part_of", count=turn.count, whole=whole)


def say_wait(wait: Wait) -> str:
    """What is waited for, with the day it is due."""
    what = _what(wait)
    if wait.until is not None:
        return work_word("wait", "due", what=what, day=wait.until.isoformat())
    if wait.state and wait.kind not in (STOCK, STEP, HOLD):
        return work_word("wait", "no_day", what=what, state=wait.state)
    return what


def say_thing(wait: Wait) -> str:
    """What is waited for, without a day."""
    return _what(wait)


def _what(wait: Wait) -> str:
    if wait.kind == STOCK and wait.state:
        return work_word("wait", "stock_there", name=wait.name, state=wait.state)
    if wait.kind == TOOL and not wait.name:
        return work_word("wait", "no_tool")
    if wait.kind == HOLD and wait.state == HERE:
        return work_word("wait", "hold_here", name=wait.name)
    if wait.kind in (SECOND, QUIET):
        return work_word("wait", wait.kind)
    return work_word("wait", wait.kind, name=wait.name)


def say_held(held: Held) -> str:
    """The one thing that pieces wait for, and what stands at the bottom of it."""
    if held.root is None or held.root.kind == STEP:
        return say_wait(held.wait)
    return work_word("wait", "left_for", step=held.wait.name, what=say_wait(held.root))


def say_held_work(held: Held) -> str:
    """What waits: each operation with its rows or parts, and how many."""
    by_rate: dict[str, list[Piece]] = {}
    for piece in held.pieces:
        by_rate.setdefault(piece.rate_name, []).append(piece)
    # Heads are looked at after what they belong to: that goes without saying.
    told = {name: some for name, some in by_rate.items() if name != CHECK}
    return "; ".join(_counted(some) for some in (told or by_rate).values())


def _counted(some: Sequence[Piece]) -> str:
    if some[0].counted == "hole":  # in several sheets it is one hole all the same
        many = len({(one.assembly, at) for one in some for at in one.holes})
    else:
        many = sum(piece.count for piece in some)
    count = say_count(some[0].counted, many)
    return work_word("say", "counted", what=say_pieces(some), count=count)


def say_unlock(unlock: Unlock) -> str:
    """What comes, or is left for later."""
    key = "comes" if unlock.way == "comes" else "is_left"
    return work_word("unlock", key, what=say_wait(unlock.wait))


def say_things(waits: Iterable[Wait]) -> str:
    """Several things in a row: the answer to Q-1, tool BB3."""
    return ", ".join(say_thing(wait) for wait in waits)


def say_answer(chain: Chain) -> str:
    """The answer to the question whether a step can be done by a day."""
    if chain.earliest is None:
        return work_word("say", "without_end")
    day = say_day(chain.earliest)
    what = say_things(chain.unknown)
    if chain.day is None:
        key = "not_before_and" if what else "not_before"
        return work_word("say", key, day=day, what=what)
    if chain.is_possible:
        return work_word("say", "in_time", day=say_day(chain.day))
    if chain.earliest <= chain.day:
        return work_word("say", "if_known", what=what)
    key = "too_late_and" if what else "too_late"
    return work_word("say", key, day=day, what=what)
