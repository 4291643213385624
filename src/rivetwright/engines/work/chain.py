"""Can a step be done by a date?  The chain that stands in the way, with its days.

Days are the earliest: nothing else is worked on, the inspector is asked today, and
what has no date comes in time.  So the answer is "not before", or no.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rivetwright.engines.work.calendar import Sitting, Week
from rivetwright.engines.work.gates import Gates
from rivetwright.engines.work.pieces import SET, Piece
from rivetwright.engines.work.prepare import PRIME
from rivetwright.engines.work.waits import INSPECTOR, Wait

_STILL_MIN = 1e-6
_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Asking:
    """What days are counted from.

    Args:
        asked_on: the day on which it is asked.
        week: the days at the bench.
        notice_days: days between asking an inspector and the visit.
        booked: days of visits that are agreed, by the step's key.
    """

    asked_on: date
    week: Week
    notice_days: int
    booked: dict[str, date]

    def known_day(self, piece: Piece, wait: Wait) -> date | None:
        """The day on which a wait ends; None where nobody can say."""
        if wait.kind == INSPECTOR:
            asked = self.asked_on + timedelta(days=self.notice_days)
            return self.booked.get(piece.in_step, asked)
        return wait.until


@dataclass(frozen=True)
class Link:
    """One step on the way, with what decides when it can begin.

    `ready` is the first day on which its last piece may be begun, `ends` the day on
    which the step is whole. `decides` is the wait that decides, None where the step
    before or the hours do; `unknown` are waits that nobody can date. `is_chain`: it
    stands in the chain that decides the day.
    """

    step: str
    minutes: float
    ready: date
    ends: date
    decides: Wait | None
    unknown: tuple[Wait, ...]
    is_chain: bool = False


@dataclass(frozen=True)
class Chain:
    """The answer: every step on the way in order; `earliest` None: not in three years.

    `day` is the one that was asked about.
    """

    goal: str
    day: date | None
    earliest: date | None
    links: tuple[Link, ...]

    @property
    def unknown(self) -> tuple[Wait, ...]:
        """What nobody can date, each thing once."""
        found = {wait.key: wait for link in self.links for wait in link.unknown}
        return tuple(found.values())

    @property
    def is_possible(self) -> bool:
        """Whether it can be done by the day, as far as anybody can say."""
        return (
            self.day is not None
            and self.earliest is not None
            and self.earliest <= self.day
            and not self.unknown
        )


def chain_to(gates: Gates, goal: str, asking: Asking, day: date | None) -> Chain:
    """The chain in the way of a step.

    Args:
        gates: the pieces and what each has to wait for.
        goal: the key of the step.
        asking: what days are counted from.
        day: the day that is asked about; None: just the earliest.

    Source: the plan, the record, the shop's calendar; minutes as the pieces say.
    """
    steps = _on_the_way(gates, goal)
    laying = _Laying(gates, asking)
    links: list[Link] = []
    for step in steps:
        link = laying.step(step)
        if link is None:
            return Chain(goal, day, None, tuple(links))
        links.append(link)
    deciding = laying.deciding(goal)
    told = tuple(_marked(link, link.step in deciding) for link in links)
    earliest = links[-1].ends if links else asking.asked_on
    return Chain(goal, day, earliest, told)


def _marked(link: Link, is_chain: bool) -> Link:
    return Link(
        link.step,
        link.minutes,
        link.ready,
        link.ends,
        link.decides,
        link.unknown,
        is_chain,
    )


def _on_the_way(gates: Gates, goal: str) -> list[str]:
    """Steps with work that come before a step, it last, each after its own needs."""
    found: dict[str, None] = {}
    seen: set[str] = set()

    def visit(step: str) -> None:
        if step in seen:
            return
        seen.add(step)
        for needed in _needed(gates, step):
            visit(needed)
        if any(not gates.pieces[k].is_left_open for k in gates.members.get(step, ())):
            found[step] = None

    visit(goal)
    return list(found)


def _needed(gates: Gates, step: str) -> Iterable[str]:
    """Steps with work that a step needs directly."""
    keys = (key for k in gates.members.get(step, ()) for key in gates.pieces[k].after)
    return dict.fromkeys(key for key in keys if key in gates.members and key != step)


class _Laying:
    """Pieces laid into the days of the calendar, step by step."""

    def __init__(self, gates: Gates, asking: Asking) -> None:
        self.gates, self.asking = gates, asking
        self.sittings: list[Sitting] = list(asking.week.after(asking.asked_on))
        self.room = [sitting.minutes for sitting in self.sittings]
        # Where nobody is named who might help, nobody knows the days either.
        self.is_second_known = bool(asking.week.second_days)
        self.links: dict[str, Link] = {}
        self.ends: dict[str, date] = {}
        self.dry: dict[tuple[str, str], date] = {}

    def step(self, step: str) -> Link | None:
        """Lay the pieces of a step; None where the calendar has no room for them."""
        pieces = [
            self.gates.pieces[k]
            for k in self.gates.members[step]
            if not self.gates.pieces[k].is_left_open
        ]
        before = [self.ends[key] for key in _needed(self.gates, step)]
        ready = max([self.asking.asked_on, *before])
        latest, decides = ready, None
        unknown: list[Wait] = []
        last = ready
        for piece in pieces:
            from_day, wait, open_ended = self._from(piece, ready)
            unknown += open_ended
            if from_day > latest:
                latest, decides = from_day, wait
            own = [self.ends[key] for key in piece.after if key in self.ends]
            end = self._lay(piece, max([from_day, *own, *self._dry(piece)]))
            if end is None:
                return None
            if piece.operation == PRIME:
                self.dry[piece.assembly, piece.part] = end + _DAY
            self.ends[piece.key] = end
            last = max(last, end)
        self.ends[step] = last
        minutes = sum(piece.minutes.likely for piece in pieces)
        known = {wait.key: wait for wait in unknown}
        link = Link(step, minutes, latest, last, decides, tuple(known.values()))
        self.links[step] = link
        return link

    def _dry(self, piece: Piece) -> list[date]:
        """The day after each part of a piece was primed: it dries overnight."""
        if piece.operation != SET:
            return []
        keys = ((piece.assembly, part) for part in piece.needs.parts)
        return [self.dry[key] for key in keys if key in self.dry]

    def _from(
        self, piece: Piece, ready: date
    ) -> tuple[date, Wait | None, Sequence[Wait]]:
        """The first day for a piece, the wait that decides, and those without a day."""
        from_day, decides = ready, None
        unknown = []
        for wait in piece.waits:
            day = self.asking.known_day(piece, wait)
            if day is None:
                unknown.append(wait)
            elif day > from_day:
                from_day, decides = day, wait
        return from_day, decides, unknown

    def _lay(self, piece: Piece, from_day: date) -> date | None:
        """Put a piece where there is room, over several days where it must be."""
        left = piece.minutes.likely
        for k, sitting in enumerate(self.sittings):
            is_early = sitting.day < from_day
            is_alone = self.is_second_known and not sitting.has_second
            is_short_of_hands = is_alone and piece.people > 1
            if is_early or is_short_of_hands or self.room[k] <= _STILL_MIN:
                continue
            taken = min(left, self.room[k])
            self.room[k] -= taken
            left -= taken
            if left <= _STILL_MIN:
                return sitting.day
        return None

    def deciding(self, goal: str) -> set[str]:
        """Steps of the chain that decides the day of a step."""
        found = set()
        at: str | None = goal
        while at is not None and at in self.links:
            found.add(at)
            link = self.links[at]
            before = [key for key in _needed(self.gates, at) if key in self.links]
            last = max(before, key=lambda key: self.links[key].ends, default=None)
            if last is None or link.decides is not None:
                break
            at = last
        return found
