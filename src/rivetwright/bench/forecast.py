"""How long still, and until when: the whole aircraft from plans, shop and record."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np

from rivetwright.bench.hours import Spent, day_of, spent_by, zone_of
from rivetwright.bench.open import Assembly
from rivetwright.bench.work import WorkLeft, work_left
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.forecast.backtest import Backtest, backtest
from rivetwright.engines.forecast.course import Course, usual_course
from rivetwright.engines.forecast.pace import pace_of
from rivetwright.engines.forecast.rates import OwnRates, operations, rates_from
from rivetwright.engines.forecast.tasks import work_ahead
from rivetwright.engines.forecast.trials import (
    Forecast,
    Known,
    Range,
    Rework,
    forecast,
)
from rivetwright.engines.network.calendar import weekly_of
from rivetwright.engines.work.calendar import notice_days
from rivetwright.engines.work.rates import Logged, WorkRate, operation_named
from rivetwright.model.shop import Shop
from rivetwright.record.state import Booked, State
from rivetwright.standards.forecast import forecast_figure
from rivetwright.standards.work import usual_rate

HOUR = 60.0
# Own rates count as such from so many hours of log (practice: until ten are logged).
OWN_HOURS = 10.0
# Ways of setting a rivet, as the table of rates names them: riveting itself.
RIVETING = ("squeezer", "hand squeezer", "gun and bar", "back-riveting", "puller")
KEPT = 8


@dataclass(frozen=True)
class RateLine:
    """One operation: hours spent and left, the rate, and what that rests on.

    `own_share` is how much of the rate rests on the log, `usual_minutes` the table's.
    """

    operation: str
    counted: str
    done: int
    spent_hours: float
    left_count: float
    left_hours: float
    rate: WorkRate
    usual_minutes: float
    own_share: float


@dataclass(frozen=True)
class AssemblyLine:
    """One assembly: hours spent and left, rivets set, and the day it may be done."""

    key: str
    name: str
    spent_hours: float
    left_hours: Range
    set_count: int
    hole_count: int
    end_day: Range


@dataclass(frozen=True)
class Outlook:
    """Everything that is told of hours and dates.

    `naive_hours` is what the simple rule would say is left: hours so far over the
    share of rivets set; None before the first rivet.
    """

    work: WorkLeft
    today: date
    told: Forecast
    course: Course
    replay: Backtest
    spent: tuple[Spent, ...]
    operations: tuple[RateLine, ...]
    assemblies: tuple[AssemblyLine, ...]
    naive_hours: float | None
    has_record: bool

    @property
    def rates(self) -> OwnRates:
        """The builder's rates."""
        return self.told.known.rates

    @property
    def spent_hours(self) -> float:
        """Hours booked so far [h]."""
        return self.rates.minutes / HOUR

    @property
    def is_own(self) -> bool:
        """Whether the log is long enough for rates to count as one's own."""
        return self.spent_hours >= OWN_HOURS

    @property
    def riveting_share(self) -> float | None:
        """Share of setting rivets in all hours so far; None without any [-]."""
        set_hours = sum(
            one.spent_hours for one in self.operations if one.operation in RIVETING
        )
        return set_hours / self.spent_hours if self.spent_hours else None

    @cached_property
    def days(self) -> tuple[date | None, date | None, date | None]:
        """Low, likely and high of the day on which all with a date is done."""
        last = self.told.last_day
        return self.day(last.low), self.day(last.likely), self.day(last.high)

    def day(self, days: float) -> date | None:
        """A day so many days from today; None where there is none [d]."""
        return self.told.day(days)


def outlook(workshop: Workshop) -> Outlook:
    """How long still, for the folder of a workshop.

    Nobody who marks a hole waits for it: the record is read first and let go.

    Raises:
        Refusal: the folder, or a file in it, cannot be read.
    """
    with workshop.lock:
        project, state = workshop.now().project, workshop.state()
        zone = workshop.time_zone
        today = workshop.clock().astimezone(zone_of(zone)).date()
        asked = _key(project.assemblies, project.shop, state, today)
        found = next((one for key, one in tuple(_KNOWN) if key.is_for(asked)), None)
        if found is not None:
            return found
        gathered = _gathered(work_left(project, state, zone), state, today, zone)
    found = _outlook(gathered)
    _KNOWN.append((asked, found))
    return found


@dataclass(frozen=True)
class _Key:
    """What a forecast was made from."""

    plans: tuple[object, ...]
    shop: Shop | None
    digest: tuple[int, str]
    today: date

    def is_for(self, other: _Key) -> bool:
        """Whether both are made from the same."""
        same = len(self.plans) == len(other.plans) and all(
            one is two for one, two in zip(self.plans, other.plans, strict=True)
        )
        return (
            same
            and self.shop == other.shop
            and (self.digest, self.today) == (other.digest, other.today)
        )


_KNOWN: deque[tuple[_Key, Outlook]] = deque(maxlen=KEPT)


def _key(
    assemblies: Iterable[Assembly], shop: Shop | None, state: State, today: date
) -> _Key:
    plans = tuple(one.worked_plan for one in assemblies)
    return _Key(plans, shop, (state.position, state.digest), today)


@dataclass(frozen=True)
class _Gathered:
    """What a forecast is made of, read out of plans and record."""

    work: WorkLeft
    known: Known
    log: list[tuple[date, Logged]]
    spent: tuple[Spent, ...]
    has_record: bool


def _gathered(work: WorkLeft, state: State, today: date, zone: str) -> _Gathered:
    log = log_of(work, state, zone)
    known = known_of(work, state, log, today)
    spent = spent_by(_booked(work, state))
    return _Gathered(work, known, log, spent, bool(state.position))


def _outlook(one: _Gathered) -> Outlook:
    """The forecast of the work that is left."""
    work, known = one.work, one.known
    told = forecast(work_ahead(work.pieces), known)
    holes = sum(len(stand.holes) for stand in work.stands)
    share = known.rework.set_count / holes if holes else 0.0
    naive = known.rates.minutes / HOUR * (1 - share) / share if share else None
    return Outlook(
        work,
        known.first_day,
        told,
        usual_course(told),
        backtest(one.log),
        one.spent,
        tuple(_rate_lines(told)),
        tuple(_assembly_lines(work, told, one.spent)),
        naive,
        one.has_record,
    )


def log_of(work: WorkLeft, state: State, zone: str) -> list[tuple[date, Logged]]:
    """Every line of the log with its day, the record's or the files'.

    Args:
        work: the work that is left.
        state: what the record says.
        zone: the shop's time zone.
    """
    return sorted(
        (
            (
                day_of(one, zone),
                Logged(one.operation, one.seconds / 60, one.count, one.counted),
            )
            for one in _booked(work, state)
        ),
        key=lambda line: line[0],
    )


def _booked(work: WorkLeft, state: State) -> list[Booked]:
    """Time booked, the record's, else as the files say."""
    if state.booked:
        return state.booked
    plans = [(one.key, one.worked_plan.worked.plan.opening) for one in work.assemblies]
    lines = [(key, line) for key, opening in plans for line in opening.hours]
    lines += [("", line) for line in (work.shop.hours if work.shop else ())]
    return [
        Booked(
            "",
            "",
            key,
            one.operation,
            one.minutes * 60,
            False,
            day=one.day.isoformat(),
            count=one.count,
            counted=one.counted,
        )
        for key, one in sorted(lines, key=lambda line: line[1].day)
    ]


def known_of(
    work: WorkLeft, state: State, log: list[tuple[date, Logged]], today: date
) -> Known:
    """What a forecast rests on.

    Args:
        work: the work that is left.
        state: what the record says.
        log: every line of the log with its day.
        today: the first day that counts.
    """
    by_day: dict[date, float] = {}
    for day, line in log:
        by_day[day] = by_day.get(day, 0.0) + line.minutes
    first = min(by_day, default=None)
    reorder = work.shop.reorder_days if work.shop else None
    return Known(
        rates_from(line for _, line in log),
        pace_of(weekly_of(work.shop), by_day, first, today),
        _rework(work, state, log),
        today,
        float(notice_days(work.shop)),
        float(reorder) if reorder is not None else forecast_figure("reorder days"),
    )


def _rework(work: WorkLeft, state: State, log: Iterable[tuple[date, Logged]]) -> Rework:
    """Rivets set, and those that came out again: by the record, else by the log."""
    sits = sum(int(np.sum(stand.is_set)) for stand in work.stands)
    removed = sum(
        hole.removed_count
        for assembly in state.assemblies.values()
        for numbers in assembly.rows.values()
        for hole in numbers.values()
    )
    if not state.position:
        removed = sum(
            line.count or _first_number(line.counted)
            for _, line in log
            if operation_named(line.operation) == "drill out and replace"
        )
    return Rework(sits, removed)


def _first_number(text: str) -> int:
    digits = text.split(" ", 1)[0]
    return int(digits) if digits.isdecimal() else 0


def _rate_lines(told: Forecast) -> Iterator[RateLine]:
    """Every operation that was logged or is left, most hours first."""
    rates = told.known.rates
    spent: dict[str, float] = {}
    for lot in rates.lots:
        spent[lot.operation] = spent.get(lot.operation, 0.0) + lot.minutes / HOUR
    left: dict[str, float] = {}
    usual: dict[str, float] = {}
    for task in told.ahead.tasks:
        for lot in task.lots:
            left[lot.operation] = left.get(lot.operation, 0.0) + lot.count
            usual[lot.operation] = usual.get(lot.operation, 0.0) + lot.minutes
    found = []
    for name in operations():
        if name in spent or name in left:
            rate, table = rates.rate(name), usual_rate(name).value.minutes
            hours = usual.get(name, 0.0) * rate.minutes / table / HOUR
            found.append(
                RateLine(
                    name,
                    rate.counted,
                    rates.done.get(name, 0),
                    spent.get(name, 0.0),
                    left.get(name, 0.0),
                    hours,
                    rate,
                    table,
                    rates.own_share(name),
                )
            )
    yield from sorted(found, key=lambda one: -(one.spent_hours + one.left_hours))


def _assembly_lines(
    work: WorkLeft, told: Forecast, spent: Iterable[Spent]
) -> Iterator[AssemblyLine]:
    hours: dict[str, float] = {}
    for one in spent:
        hours[one.assembly] = hours.get(one.assembly, 0.0) + one.minutes / HOUR
    for stand in work.stands:
        plan = stand.worked_plan.worked.plan
        mine = hours.get(plan.id, 0.0)
        if stand.key != plan.id:
            mine += hours.get(stand.key, 0.0)
        yield AssemblyLine(
            stand.key,
            plan.name,
            mine,
            told.hours_of(stand.key),
            int(np.sum(stand.is_set)),
            len(stand.holes),
            told.end_of(stand.key),
        )


def weeks_of(told: Forecast) -> Mapping[date, float]:
    """Share of the futures that end in each week, by the week's Monday [-].

    Args:
        told: the futures.
    """
    today = told.known.first_day
    monday = today - timedelta(days=today.weekday())
    last = told.done.last_day
    ends = last[np.isfinite(last)] + today.weekday()
    weeks, counts = np.unique((ends // 7).astype(int), return_counts=True)
    return {
        monday + timedelta(weeks=week): count / len(last)
        for week, count in zip(weeks.tolist(), counts.tolist(), strict=True)
    }
