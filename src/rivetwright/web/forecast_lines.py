"""Hours and days as the pages show them: charts, and lines in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from markupsafe import Markup

from rivetwright.bench.forecast import Outlook, weeks_of
from rivetwright.bench.step_network import AssemblySteps, StepView
from rivetwright.drawing.forecast_charts import (
    HoursBar,
    Mark,
    Told,
    Week,
    finish_svg,
    hours_svg,
    replay_svg,
)
from rivetwright.drawing.steps_picture import StepBox, steps_svg
from rivetwright.engines.forecast.backtest import Replayed
from rivetwright.texts.forecast_words import (
    forecast_word,
    say_day,
    say_hours_range,
    say_left_out,
    say_operation,
    say_spare,
    say_spare_days,
    say_state,
    say_step_lines,
    say_thing,
    say_wait,
)
from rivetwright.web.pictures import sized

# More bars than these are drawn four weeks at a time.
MOST_WEEKS = 40
SPAN_WEEKS = 4
# The last links of the chain: who wants all reads the network.
LAST_LINKS = 8
# Futures rarer than this at both ends are not drawn.
TAIL = 0.002
HOUR = 60.0


@dataclass(frozen=True)
class SpareLine:
    """Something that must come: when, and how late it may be."""

    thing: str
    expected: str
    spare: str


@dataclass(frozen=True)
class StepLine:
    """A step in words, for the table beside the picture."""

    name: str
    title: str
    state: str
    is_chain: bool
    needs: str
    hours: str
    likely: str
    range: tuple[str, str] | None
    waits: str
    spare: str


def finish_picture(found: Outlook) -> Markup:
    """When it may be done, week by week."""
    shares = weeks_of(found.told)
    first = min(shares, default=found.today)
    last = max(shares, default=found.today)
    held = [day for day, share in shares.items() if share >= TAIL]
    first, last = min(held, default=first), max(held, default=last)
    count = (last - first).days // 7 + 1
    span = SPAN_WEEKS if count > MOST_WEEKS else 1
    weeks = []
    for k in range(0, count, span):
        days = [first + timedelta(weeks=k + j) for j in range(span)]
        share = sum(shares.get(day, 0.0) for day in days)
        weeks.append(Week(days[0].isoformat(), share))
    keys = ("low_mark", "middle_mark", "high_mark")
    marks = [
        Mark(_place(day, first, span), forecast_word(key, day=say_day(day)), k == 1)
        for k, (key, day) in enumerate(zip(keys, found.days, strict=True))
        if day is not None
    ]
    return sized(finish_svg(weeks, marks))


def _place(day: date, first: date, span: int) -> float:
    """Where a day lies among the bars."""
    return ((day - first).days + 0.5) / 7 / span


def hours_picture(found: Outlook) -> Markup:
    """Where the hours go, by operation."""
    return sized(
        hours_svg(
            [
                HoursBar(say_operation(o.operation), o.spent_hours, o.left_hours)
                for o in found.operations
            ]
        )
    )


def replay_picture(found: Outlook) -> Markup:
    """What was foretold of each line of the log, and what it took."""
    return sized(replay_svg([_told(one) for one in found.replay.lines]))


def _told(one: Replayed) -> Told:
    likely = max(one.told_minutes.likely, 1e-9)
    name = f"{one.day.isoformat()} {say_operation(one.operation)}"
    return Told(
        name,
        one.told_minutes.low / likely,
        one.took_minutes / likely,
        one.told_minutes.high / likely,
        one.held,
    )


def spare_lines(found: Outlook) -> list[SpareLine]:
    """What must come, the most pressing first."""
    return [
        SpareLine(say_thing(one.wait), say_day(found.day(one.from_day)), say_spare(one))
        for one in found.course.spares
    ]


def left_out_lines(found: Outlook) -> list[tuple[str, str, str]]:
    """Assembly, step and reason of what has no date."""
    names = found.work.names
    return [
        (names.get(one.assembly, one.assembly), one.step, say_left_out(one))
        for one in found.told.ahead.left_out
    ]


def steps_picture(assembly: AssemblySteps) -> Markup:
    """The steps of an assembly from top to bottom."""
    boxes = [
        StepBox(
            step.name,
            step.title,
            step.state,
            say_step_lines(step),
            step.needs,
            step.is_inspection,
            bool(step.closes),
            step.is_chain,
        )
        for step in assembly.steps
    ]
    return sized(steps_svg(assembly.name, boxes, assembly.depth))


def step_lines(steps: Sequence[StepView]) -> list[StepLine]:
    """The same steps as a table."""
    return [_step_line(step) for step in steps]


def _step_line(step: StepView) -> StepLine:
    waits = "; ".join(say_wait(one) for one in step.waits)
    if step.no_date is not None:
        waits = "; ".join(filter(None, (waits, say_left_out(step.no_date))))
    ends = step.ends
    return StepLine(
        step.name,
        step.title,
        say_state(step.state),
        step.is_chain,
        ", ".join(step.needs),
        say_hours_range(step.hours) if step.hours else "",
        say_day(ends[1]) if ends else "",
        (say_day(ends[0]), say_day(ends[2])) if ends else None,
        waits,
        say_spare_days(step),
    )
