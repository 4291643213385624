"""The work left as pages show it: every line in words, each with a way to it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta

from rivetwright.bench.tonight import Tonight, chain_for
from rivetwright.bench.work import WorkLeft
from rivetwright.engines.work.chain import Chain, Link
from rivetwright.engines.work.now import Held, Turn
from rivetwright.engines.work.pieces import CHECK, SET, Piece
from rivetwright.engines.work.stops import Places, Stretch
from rivetwright.engines.work.unlocks import Unlock
from rivetwright.texts.work_words import (
    joined_names,
    say_answer,
    say_basis,
    say_day,
    say_held,
    say_held_work,
    say_pieces,
    say_range,
    say_things,
    say_time,
    say_turn,
    say_turn_count,
    say_unlock,
    say_wait,
)
from rivetwright.web.addresses import bench_address, order_address


@dataclass(frozen=True)
class TurnLine:
    """One thing to do, with the time it begins.

    `fragile` warns of what it begins, `leave` names holes that stay open.
    """

    clock: str
    words: str
    count: str
    where: str
    minutes: str
    basis: str
    turn: Turn
    address: str
    fragile: StretchLine | None = None
    leave: str = ""


@dataclass(frozen=True)
class HeldLine:
    """Work of one step that waits for the same thing."""

    step: str
    title: str
    words: str
    waits: str
    minutes: str
    may_leave: bool


@dataclass(frozen=True)
class HeldGroup:
    """What waits in one assembly."""

    name: str
    lines: tuple[HeldLine, ...]


@dataclass(frozen=True)
class UnlockLine:
    """One thing that is waited for; `is_left`: a person may leave its holes."""

    words: str
    frees: str
    behind: str
    steps: str
    is_left: bool


@dataclass(frozen=True)
class LinkLine:
    """One step in the way of a date."""

    step: str
    title: str
    minutes: str
    ready: str
    ends: str
    waits: str
    is_chain: bool


@dataclass(frozen=True)
class ChainLines:
    """The answer to a date, and the steps in the way."""

    goal: str
    title: str
    answer: str
    is_possible: bool
    links: tuple[LinkLine, ...]


@dataclass(frozen=True)
class StretchLine:
    """Steps that are best begun only when they can be ended."""

    steps: str
    minutes: str
    holders: int
    waits: str


@dataclass(frozen=True)
class PlaceLines:
    """How an assembly lies now, the next good places, and stretches without one."""

    name: str
    is_good: bool
    loose: str
    holders: int
    good: str
    stretches: tuple[StretchLine, ...]


def turn_lines(told: Tonight) -> tuple[TurnLine, ...]:
    """Everything that can be done, in order."""
    return tuple(_turn(told, turn) for turn in told.now.turns)


def _turn(told: Tonight, turn: Turn) -> TurnLine:
    first = turn.first
    begins = told.session.begins + timedelta(minutes=round(turn.begins))
    fragile = told.fragile.get(first.in_step)
    return TurnLine(
        f"{begins:%H:%M}",
        say_turn(turn),
        say_turn_count(turn),
        place_of(told.work, first.in_step),
        say_range(turn.minutes),
        say_basis(turn.minutes),
        turn,
        way_to(told.work, first),
        stretch_line(fragile) if fragile else None,
        ", ".join(joined_names(turn.marks)),
    )


def place_of(work: WorkLeft, step: str) -> str:
    """A step by name, and the assembly it belongs to."""
    key, _, name = step.partition("/")
    return f"{work.names[key]}, {name}"


def way_to(work: WorkLeft, piece: Piece) -> str:
    """Where a piece is worked: the bench, else the order of its step.

    Heads are looked at where the rivets were set: they need no way of their own.
    """
    if piece.operation == CHECK:
        return ""
    key = work.bench_keys.get(piece.in_step)
    if key:
        return bench_address(key, step=piece.step)
    return order_address(piece.assembly, piece.step) if piece.operation == SET else ""


def later_lines(told: Tonight) -> tuple[tuple[str, str, str], ...]:
    """What nothing lacks but time: place, words and minutes, step by step."""
    groups: dict[tuple[str, str], list[Piece]] = {}
    for piece in told.now.later:
        groups.setdefault((piece.in_step, piece.rate_name), []).append(piece)
    return tuple(
        (place_of(told.work, step), say_pieces(some), _minutes(some))
        for (step, _), some in groups.items()
    )


def _minutes(some: Iterable[Piece]) -> str:
    return say_time(sum(piece.minutes.likely for piece in some))


def held_groups(told: Tonight) -> tuple[HeldGroup, ...]:
    """What waits, assembly by assembly, step by step."""
    groups: dict[str, list[HeldLine]] = {}
    for held in told.now.held:
        lines = groups.setdefault(held.pieces[0].assembly, [])
        lines.append(_held(told.work, held))
    names = told.work.names
    return tuple(HeldGroup(names[key], tuple(some)) for key, some in groups.items())


def _held(work: WorkLeft, held: Held) -> HeldLine:
    step = held.pieces[0].in_step
    return HeldLine(
        held.pieces[0].step,
        work.titles.get(step, ""),
        say_held_work(held),
        say_held(held),
        say_time(held.minutes),
        held.may_leave,
    )


def unlock_lines(told: Tonight) -> tuple[UnlockLine, ...]:
    """What unlocks most, first."""
    return tuple(_unlock(told.work, one) for one in told.unlocks)


def _unlock(work: WorkLeft, one: Unlock) -> UnlockLine:
    return UnlockLine(
        say_unlock(one),
        say_time(one.freed_minutes) if one.freed_minutes > 0.0 else "",
        say_time(one.behind_minutes),
        "; ".join(place_of(work, step) for step in one.steps),
        one.way != "comes",
    )


def chain_lines(work: WorkLeft, chain: Chain) -> ChainLines:
    """The answer to a date, with the steps in the way."""
    return ChainLines(
        place_of(work, chain.goal),
        work.titles.get(chain.goal, ""),
        say_answer(chain),
        chain.is_possible,
        tuple(_link(work, link) for link in chain.links),
    )


def _link(work: WorkLeft, link: Link) -> LinkLine:
    waits = [say_wait(wait) for wait in link.unknown]
    if link.decides is not None:
        waits.insert(0, say_wait(link.decides))
    return LinkLine(
        place_of(work, link.step),
        work.titles.get(link.step, ""),
        say_time(link.minutes),
        say_day(link.ready),
        say_day(link.ends),
        ", ".join(waits),
        link.is_chain,
    )


def closing_lines(told: Tonight, steps: Iterable[str]) -> tuple[ChainLines, ...]:
    """The earliest day of each of some steps."""
    return tuple(
        chain_lines(told.work, chain_for(told.work, told.today, step)) for step in steps
    )


def place_lines(told: Tonight) -> tuple[PlaceLines, ...]:
    """Good places to stop, assembly by assembly."""
    return tuple(_places(told.work, one) for one in told.places)


def _places(work: WorkLeft, one: Places) -> PlaceLines:
    return PlaceLines(
        work.names[one.assembly],
        one.now.is_good,
        ", ".join(row.row for row in one.now.loose),
        one.now.holders,
        ", ".join(place.step for place in one.after if place.is_good),
        tuple(stretch_line(stretch) for stretch in one.stretches),
    )


def stretch_line(stretch: Stretch) -> StretchLine:
    """A stretch without a good place to stop."""
    return StretchLine(
        ", ".join(stretch.steps),
        say_time(stretch.minutes),
        stretch.holders,
        say_things(stretch.waits),
    )
