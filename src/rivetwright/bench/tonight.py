"""Tonight: what can be done with the hours and hands there are, and what waits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import cached_property

from rivetwright.bench.hours import zone_of
from rivetwright.bench.work import WorkLeft, work_now
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.work.calendar import Week, beginning, notice_days, week_of
from rivetwright.engines.work.chain import Asking, Chain, chain_to
from rivetwright.engines.work.gates import Gates
from rivetwright.engines.work.now import Now, what_now
from rivetwright.engines.work.session import Session
from rivetwright.engines.work.stops import Places, Stretch, places_to_stop
from rivetwright.engines.work.unlocks import Unlock, unlocks
from rivetwright.errors import NotFound, Refusal, nearest_hint
from rivetwright.model.shop import Shop
from rivetwright.standards.work import work_constant

DAY_MIN, HOUR_MIN = 24 * 60, 60
_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Asked:
    """What the person says of the evening; None: as the calendar says.

    `out` are tools that are broken or lent.
    """

    day: date | None = None
    hours: float | None = None
    begins: time | None = None
    second: bool | None = None
    out: tuple[str, ...] = ()


@dataclass(frozen=True)
class Tonight:
    """What can be done at one time at the bench, and all that it rests on.

    `is_in_calendar`: the day is one of the shop's calendar.
    """

    work: WorkLeft
    today: date
    session: Session
    is_in_calendar: bool
    now: Now
    places: tuple[Places, ...]

    @cached_property
    def gates(self) -> Gates:
        """The pieces, with what this evening lacks."""
        return Gates(self.work.pieces, self.session.lacks)

    @cached_property
    def unlocks(self) -> tuple[Unlock, ...]:
        """Everything that is waited for, by the work that it frees."""
        return unlocks(self.gates)

    @cached_property
    def fragile(self) -> Mapping[str, Stretch]:
        """Stretches without a good place to stop, by the key of their first step."""
        return first_of_stretches(self.places)


def first_of_stretches(places: Iterable[Places]) -> dict[str, Stretch]:
    """Stretches without a good place to stop, by the key of their first step."""
    return {
        f"{one.assembly}/{one.steps[0]}": one
        for some in places
        for one in some.stretches
    }


def tonight(workshop: Workshop, asked: Asked | None = None) -> Tonight:
    """What can be done in a workshop on a day.

    Raises:
        Refusal: more hours than a day has, or none at all; a file cannot be read.
    """
    work = work_now(workshop)
    there = workshop.clock().astimezone(zone_of(workshop.time_zone))
    return tonight_of(work, there.replace(tzinfo=None), asked)


def tonight_of(work: WorkLeft, at: datetime, asked: Asked | None = None) -> Tonight:
    """The same from the work that is left.

    Args:
        work: the work that is left.
        at: the time now, by the clock of the shop.
        asked: what the person says of the evening.

    Raises:
        Refusal: more hours than a day has, or none at all.
    """
    wanted = asked or Asked()
    week = week_of(work.shop)
    day = wanted.day or day_next(week, at)
    places = tuple(places_to_stop(stand, work.pieces) for stand in work.stands)
    session = replace(
        _session(work, week, at, day, wanted),
        avoided=frozenset(first_of_stretches(places)),
    )
    return Tonight(
        work,
        at.date(),
        session,
        bool(work.shop and work.shop.calendar) and week.sitting(day) is not None,
        what_now(work.pieces, session, dict(work.rates)),
        places,
    )


def day_next(week: Week, at: datetime) -> date:
    """Today while there is a sitting today that is not over; else the next one."""
    for sitting in week.after(at.date()):
        ends = datetime.combine(sitting.day, sitting.begins) + timedelta(
            minutes=sitting.minutes
        )
        if ends > at:
            return sitting.day
    return at.date()


def _session(
    work: WorkLeft, week: Week, at: datetime, day: date, wanted: Asked
) -> Session:
    """The time at the bench on a day: as asked, else by the calendar, else an evening.

    Work that has begun by the clock begins now: what is over is over.
    """
    sitting = week.sitting(day)
    minutes = sitting.minutes if sitting else _usual_minutes()
    begins = datetime.combine(day, sitting.begins if sitting else beginning(""))
    ends = begins + timedelta(minutes=minutes)
    if wanted.begins is not None:
        begins = datetime.combine(day, wanted.begins)
    elif begins < at and at.date() == day and (at < ends or wanted.hours is not None):
        begins, minutes = at, (ends - at) / timedelta(minutes=1)
    if wanted.hours is not None:
        minutes = _checked(wanted.hours * HOUR_MIN)
    has_second = bool(sitting and sitting.has_second)
    return Session(
        begins=begins,
        minutes=minutes,
        quiet_after=quiet_time(work.shop),
        has_second=has_second if wanted.second is None else wanted.second,
        stock=work.stock,
        on_bench=work.on_bench,
        left_out=frozenset(wanted.out),
    )


def _usual_minutes() -> float:
    return work_constant("evening").value * HOUR_MIN


def _checked(minutes: float) -> float:
    if 0.0 < minutes <= DAY_MIN:
        return minutes
    raise Refusal(
        asked="plan the time at the bench",
        found=f"{minutes / HOUR_MIN:g} hours",
        allowed="more than nothing and at most 24 hours",
        do="give the hours that are free, such as 2 or 1.5",
    )


def quiet_time(shop: Shop | None) -> time | None:
    """From when the shop is quiet; None where its file does not say."""
    if shop is None or not shop.quiet_after:
        return None
    hours, _, minutes = shop.quiet_after.partition(":")
    if not hours.isdecimal() or not (minutes or "0").isdecimal():
        return None
    return time(int(hours) % 24, int(minutes or 0) % 60)


def asking_of(work: WorkLeft, today: date) -> Asking:
    """What the days of a chain are counted from.

    A visit is booked where a step's state says so and its note names the day.
    """
    booked = {}
    for one in work.assemblies:
        for told in one.worked_plan.worked.plan.opening.steps:
            day = _day_in(told.note) if told.state == "booked" else None
            if day is not None:
                booked[f"{one.key}/{told.step}"] = day
    return Asking(today, week_of(work.shop), notice_days(work.shop), booked)


def _day_in(text: str) -> date | None:
    """The first day written in a text as 2026-12-05."""
    for word in text.replace(",", " ").split():
        try:
            return date.fromisoformat(word)
        except ValueError:
            continue
    return None


def chain_for(work: WorkLeft, today: date, step: str, day: date | None = None) -> Chain:
    """The chain in the way of a step, by its key `assembly/step`.

    Raises:
        NotFound: no assembly has such a step.
    """
    if step not in work.titles:
        raise NotFound(
            asked=f"look for what stands in the way of {step or 'a step'}",
            found="no such step",
            allowed="assembly/step" + nearest_hint(step, work.titles),
            do="choose a step from the list",
        )
    return chain_to(work.gates, step, asking_of(work, today), day)


def steps_left(work: WorkLeft) -> tuple[str, ...]:
    """Keys of the steps in which something is left, in the order of the plans."""
    return tuple(dict.fromkeys(piece.in_step for piece in work.pieces))


def closing_steps(work: WorkLeft) -> tuple[str, ...]:
    """Keys of steps with something left that shut something in, inspections too."""
    return tuple(
        dict.fromkeys(
            piece.in_step
            for piece in work.pieces
            if piece.closes or piece.needs.has_inspector
        )
    )
