"""Made-up projects whose true course follows another model than the forecast's.

Here a builder's rates are evenly spread and not logarithmic; learning stops at a
plateau; evenings drag on or go well in stretches; bad rivets come in bad evenings; work
that nobody put down comes piece by piece; weeks off come in holidays; parts come a
little early, or badly late; the builder follows the manual's order and not the most
urgent. INVENTED, all from seeds.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from rivetwright.engines.forecast.rates import Lot
from rivetwright.engines.forecast.tasks import Task, WorkAhead
from rivetwright.engines.network.calendar import Weekly
from rivetwright.engines.work.rates import Logged, default_rates
from rivetwright.engines.work.waits import PART, Wait

START = date(2026, 1, 5)
WEEK_PLANS = ((1, 3, 5), (2, 5), (0, 2, 4, 5), (5, 6), (1, 2, 3, 5))
EVENING_MIN, MORNING_MIN = 120.0, 180.0
# The builder books what he did in one go; a line of the log is at most an evening.
WAYS = ("squeezer", "gun and bar", "back-riveting", "puller")
PREPARING = ("match-drill", "deburr", "dimple", "prime")
REPLACE, BESIDE = "drill out and replace", "clean, put away"
YEARS = 12


@dataclass
class Builder:
    """The truth about one builder; nobody knows it."""

    factor: dict[str, float]
    slope: float
    plateau: float
    rework: float
    bad_evening: float
    unforeseen: float
    beside: float
    keeps: float
    length: float
    done: dict[str, float] = field(default_factory=dict)


@dataclass
class Portion:
    """What is left of a lot."""

    lot: Lot
    count: float


@dataclass
class Course:
    """What happened: lines of the log with their days, and what is left when."""

    log: list[tuple[date, Logged]] = field(default_factory=list)
    minutes: float = 0.0
    usual_done: float = 0.0
    rivets: int = 0
    removed: int = 0
    last: date = START


@dataclass(frozen=True)
class Project:
    """One project at the moment of its forecast, and how it ended."""

    weekly: Weekly
    today: date
    log: tuple[tuple[date, Logged], ...]
    ahead: WorkAhead
    rivets: int
    removed: int
    share_done: float
    true_minutes: float
    true_days: float


def projects(count: int, seed: int) -> Iterator[Project]:
    """So many projects that are begun and not finished."""
    for k in range(count):
        yield made_project(np.random.default_rng([seed, k]))


def made_project(rng: np.random.Generator) -> Project:
    """One project: made, worked on for a while, and to its end."""
    days = WEEK_PLANS[rng.integers(len(WEEK_PLANS))]
    minutes = tuple(
        (MORNING_MIN if k > 4 else EVENING_MIN) if k in days else 0.0 for k in range(7)
    )
    weekly = Weekly(minutes, (5,) if 5 in days else (6,))
    tasks = made_tasks(rng)
    builder = made_builder(rng)
    share = rng.uniform(0.15, 0.7)
    return _Simulated(weekly, tasks, builder, rng).run(share)


def made_builder(rng: np.random.Generator) -> Builder:
    """A builder: all of it evenly spread about what the table says."""
    common = rng.uniform(0.65, 1.7)
    factor = {name: common * rng.uniform(0.6, 1.5) for name in default_rates()}
    return Builder(
        factor,
        slope=rng.uniform(0.88, 1.0),
        plateau=rng.uniform(0.2, 0.6),
        rework=rng.uniform(0.0, 0.03),
        bad_evening=rng.uniform(0.0, 0.15),
        unforeseen=rng.uniform(0.0, 0.2),
        beside=rng.uniform(0.02, 0.12),
        keeps=rng.uniform(0.45, 0.98),
        length=rng.uniform(0.5, 1.15),
    )


def made_tasks(rng: np.random.Generator) -> list[Task]:
    """Two to five assemblies of four to seven steps; some wait for parts."""
    tasks: list[Task] = []
    for a in range(rng.integers(2, 6)):
        holes = int(rng.integers(80, 400))
        name = f"a{a}"
        preparing = tuple(_lot(one, _count_of(one, holes)) for one in PREPARING)
        before = f"{name}/prepare"
        tasks.append(Task(before, name, "prepare", preparing, 0, (), (), False, False))
        left = holes
        for k in range(steps := int(rng.integers(3, 7))):
            rivets = left // (steps - k)
            left -= rivets
            way = WAYS[rng.integers(len(WAYS))]
            lots = (_lot(way, rivets), _lot("check heads", rivets))
            wait: tuple[Wait, ...] = ()
            if rng.random() < 0.15:
                due = START + timedelta(days=int(rng.integers(60, 420)))
                wait = (Wait(PART, f"{name}-{k}", "", due, "on order"),)
            key = f"{name}/step-{k}"
            two = way == "gun and bar"
            needs = (before,)
            tasks.append(
                Task(key, name, f"step-{k}", lots, rivets, needs, wait, two, False)
            )
            before = key
        visit = (_lot("inspection", 1),)
        tasks.append(
            Task(f"{name}/visit", name, "visit", visit, 0, (before,), (), False, True)
        )
    return tasks


def _count_of(operation: str, holes: int) -> int:
    return {"dimple": 2 * holes, "prime": max(holes // 7, 1)}.get(operation, holes)


def _lot(operation: str, count: float) -> Lot:
    return Lot(operation, 0, count, default_rates()[operation].minutes * count)


class _Simulated:
    """One project, sitting by sitting."""

    def __init__(
        self,
        weekly: Weekly,
        tasks: list[Task],
        builder: Builder,
        rng: np.random.Generator,
    ) -> None:
        self.weekly, self.tasks, self.builder, self.rng = weekly, tasks, builder, rng
        self.left = {t.key: [Portion(o, o.count) for o in t.lots] for t in tasks}
        self.course = Course()
        self.ended: dict[str, date] = {}
        self.usual = sum(task.usual_minutes for task in tasks)
        self.arrives = {
            wait.key: self._arrival(wait) for t in tasks for wait in t.waits
        }
        self.visit_late = {t.key: int(rng.integers(0, 11)) for t in tasks}
        self.mood = 1.0

    def _arrival(self, wait: Wait) -> date:
        """Mostly within days of the one told, sometimes weeks late."""
        rng = self.rng
        late = rng.integers(-2, 3) if rng.random() < 0.65 else rng.integers(3, 36)
        return (wait.until or START) + timedelta(days=int(late))

    def run(self, share: float) -> Project:
        """Work to a share of all usual minutes, note what is known, and to the end."""
        days = self._days()
        for day, minutes in days:
            if self.course.usual_done >= share * self.usual:
                break
            self._sit(day, minutes)
        today = self.course.last + timedelta(days=1)
        log, ahead = tuple(self.course.log), self._ahead()
        done = self.course.usual_done / self.usual
        rivets, removed = self.course.rivets, self.course.removed
        before = self.course.minutes
        for day, minutes in days:
            self._sit(day, minutes)
            if len(self.ended) == len(self.tasks):
                break
        return Project(
            self.weekly,
            today,
            log,
            ahead,
            rivets,
            removed,
            done,
            self.course.minutes - before,
            (self.course.last - today).days,
        )

    def _days(self) -> Iterator[tuple[date, float]]:
        """Sittings that take place; holidays of one to four weeks between them."""
        rng, builder = self.rng, self.builder
        away_until = START
        for k in range(YEARS * 365):
            day = START + timedelta(days=k)
            planned = self.weekly.minutes[day.weekday()]
            if day.weekday() == 0 and rng.random() < 0.03:
                away_until = day + timedelta(weeks=int(rng.integers(1, 4)))
            if not planned or day < away_until or rng.random() > builder.keeps:
                continue
            if rng.random() < 0.1:
                # Evenings go well or drag on in stretches.
                self.mood = rng.uniform(0.75, 1.3)
            yield day, planned * builder.length * rng.triangular(0.4, 1.0, 1.6)

    def _sit(self, day: date, minutes: float) -> None:
        """One sitting: the first thing in the manual's order that can be done."""
        room = minutes
        is_bad = self.rng.random() < self.builder.bad_evening
        while room > 1:
            task = self._next(day)
            if task is None:
                break
            room = self._work(task, day, room, is_bad)
        spent = minutes - max(room, 0.0)
        if spent <= 1:
            return
        self.course.last = day
        extra = self.rng.poisson(self.builder.unforeseen * spent / 40) * 40.0
        beside = spent * self.builder.beside / (1 - self.builder.beside) + extra
        if beside > 1:
            self._note(day, BESIDE, beside, 0, "")

    def _next(self, day: date) -> Task | None:
        for task in self.tasks:
            if task.key in self.ended or not set(task.needs) <= self.ended.keys():
                continue
            if any(self.arrives[wait.key] > day for wait in task.waits):
                continue
            if task.takes_two and day.weekday() not in self.weekly.second_days:
                continue
            if task.is_visit:
                last = max(self.ended[one] for one in task.needs)
                wait_days = 10 + self.visit_late[task.key]
                if (day - last).days < wait_days:
                    continue
            return task
        return None

    def _work(self, task: Task, day: date, room: float, is_bad: bool) -> float:
        """Work at a task until it or the sitting ends; gives the minutes left."""
        for portion in self.left[task.key]:
            lot, count = portion.lot, portion.count
            if count <= 0:
                continue
            each = self._each(lot)
            doable = min(count, room / each)
            whole = count if doable >= count else float(int(doable))
            if whole < 1:
                return 0.0
            portion.count = count - whole
            spent = whole * each
            self._count(lot, whole, spent)
            counted = default_rates()[lot.operation].counted
            self._note(day, lot.operation, spent, round(whole), counted)
            room -= spent
            if lot.operation in WAYS:
                room -= self._replace(day, round(whole), is_bad)
            if portion.count > 0:
                return 0.0
        if all(one.count <= 0 for one in self.left[task.key]):
            self.ended[task.key] = day
        return room

    def _count(self, lot: Lot, whole: float, spent: float) -> None:
        done = self.builder.done
        done[lot.operation] = done.get(lot.operation, 0.0) + whole
        self.course.usual_done += whole * lot.minutes / lot.count
        if lot.operation in WAYS:
            self.course.rivets += round(whole)

    def _each(self, lot: Lot) -> float:
        """Minutes for each of the next: a plateau that practice comes down to."""
        builder = self.builder
        done = builder.done.get(lot.operation, 0.0)
        known = {"prime": 15.0, "inspection": 1.0}.get(lot.operation, 150.0)
        fall = ((done + 5) / known) ** np.log2(builder.slope)
        practice = builder.plateau + (1 - builder.plateau) * fall
        usual = default_rates()[lot.operation].minutes
        noise = self.rng.gamma(12.0, 1 / 12.0)
        return float(
            usual * builder.factor[lot.operation] * practice * noise * self.mood
        )

    def _replace(self, day: date, rivets: int, is_bad: bool) -> float:
        """Bad rivets come out at once; bad evenings have many."""
        chance = 0.1 if is_bad else self.builder.rework
        bad = int(self.rng.binomial(rivets, chance))
        if not bad:
            return 0.0
        self.course.removed += bad
        spent = bad * default_rates()[REPLACE].minutes * self.builder.factor[REPLACE]
        spent *= self.rng.uniform(0.6, 1.4)
        self._note(day, REPLACE, spent, bad, "rivet")
        return float(spent)

    def _note(
        self, day: date, operation: str, minutes: float, count: int, counted: str
    ) -> None:
        self.course.minutes += minutes
        words = f"{count} {counted}s" if count else ""
        self.course.log.append((day, Logged(operation, round(minutes), count, words)))

    def _ahead(self) -> WorkAhead:
        """What is left, as a plan would say it."""
        here = {t.key for t in self.tasks if t.key not in self.ended}
        return WorkAhead(
            tuple(
                Task(
                    t.key,
                    t.assembly,
                    t.step,
                    tuple(
                        _lot(one.lot.operation, one.count)
                        for one in self.left[t.key]
                        if one.count > 0
                    ),
                    sum(
                        round(one.count)
                        for one in self.left[t.key]
                        if one.lot.operation in WAYS
                    ),
                    tuple(one for one in t.needs if one in here),
                    tuple(w for w in t.waits if self.arrives[w.key] > self.course.last),
                    t.takes_two,
                    t.is_visit,
                )
                for t in self.tasks
                if t.key in here
            ),
            (),
        )
