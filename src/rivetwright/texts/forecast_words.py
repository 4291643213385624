"""Hours, days and what is waited for, in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from rivetwright.bench.forecast import Outlook, RateLine
from rivetwright.bench.step_network import StepView
from rivetwright.engines.forecast.course import LATER_DAYS, Spare
from rivetwright.engines.forecast.tasks import LeftOut
from rivetwright.engines.forecast.trials import Range
from rivetwright.engines.network.chain import Because, Link
from rivetwright.engines.work.waits import (
    ANSWER,
    BULLETIN,
    DELIVERY,
    FINDING,
    HOLD,
    PART,
    TOOL,
    Wait,
)
from rivetwright.texts.catalogue import catalogue

SECTION, OPERATION = "forecast", "operation"
# From so many hours on nobody wants tenths.
WHOLE_HOURS = 10.0
KNOWN_WAITS: Mapping[str, str] = {
    ANSWER: "wait_answer",
    FINDING: "wait_finding",
    PART: "wait_part",
    TOOL: "wait_tool",
    BULLETIN: "wait_bulletin",
    HOLD: "wait_hold",
    DELIVERY: "wait_delivery",
}
WHY: Mapping[Because, str] = {
    Because.HANDS: "because_hands",
    Because.NEED: "because_need",
    Because.VISIT: "because_visit",
    Because.SECOND: "because_second",
    Because.DAY: "because_day",
    Because.TODAY: "because_today",
}
STATES: Mapping[str, str] = {
    "done": "state_done",
    "under way": "state_under_way",
    "not started": "state_not_started",
}
# Own rates hold from this share of the log on; below it the table has its say.
MOSTLY_OWN = 0.5


def forecast_word(key: str, **values: object) -> str:
    """Words of the forecast, filled in."""
    return catalogue().word(SECTION, key).format_map(values)


def say_operation(name: str) -> str:
    """An operation as the pages name it."""
    return catalogue().word(OPERATION, name)


def _figure(hours: float) -> str:
    """Hours: tenths under ten."""
    return f"{hours:.0f}" if hours >= WHOLE_HOURS else f"{hours:.1f}"


def say_hours(hours: float) -> str:
    """Hours in words [h]."""
    return forecast_word("hours", hours=_figure(hours))


def say_hours_range(hours: Range) -> str:
    """A range of hours [h]."""
    low, high = _figure(hours.low), _figure(hours.high)
    if low == high:
        return forecast_word("hours", hours=low)
    return forecast_word("hours_range", low=low, high=high)


def say_day(day: date | None) -> str:
    """A day as it is written everywhere; in words where there is none."""
    return day.isoformat() if day else forecast_word("no_day")


def say_days(low: date | None, high: date | None) -> str:
    """From one day to another."""
    return forecast_word("from_to", low=say_day(low), high=say_day(high))


def say_each(line: RateLine) -> tuple[str, str]:
    """A rate, and its range for one evening's work."""
    rate = line.rate
    each = forecast_word("each", minutes=_minutes(rate.minutes), counted=line.counted)
    low, high = rate.minutes * rate.low_ratio, rate.minutes * rate.high_ratio
    return each, forecast_word("from_to", low=_minutes(low), high=_minutes(high))


def _minutes(minutes: float) -> str:
    """Minutes: two digits where there are few."""
    return f"{minutes:.0f}" if minutes >= WHOLE_HOURS else f"{minutes:.2g}"


def say_basis(line: RateLine) -> str:
    """What a rate rests on."""
    if line.rate.entries == 1:
        return forecast_word("own_one")
    if line.rate.entries:
        return forecast_word("own", entries=line.rate.entries)
    return forecast_word("usual_own" if line.own_share > 0 else "usual")


def say_thing(wait: Wait) -> str:
    """What is waited for."""
    key = KNOWN_WAITS.get(wait.kind, "wait_stock")
    return forecast_word(key, name=wait.name)


def say_wait(wait: Wait) -> str:
    """What is waited for, and the day that was told."""
    name = say_thing(wait)
    if wait.until is not None:
        return forecast_word("until", name=name, day=wait.until.isoformat())
    if wait.kind in (ANSWER, FINDING):
        return name
    return forecast_word("undated", name=name)


def say_waits(waits: Iterable[Wait]) -> str:
    """All that is waited for, in one line; empty for nothing."""
    names = "; ".join(say_wait(one) for one in waits)
    return forecast_word("waits", names=names) if names else ""


def say_left_out(one: LeftOut) -> str:
    """Why a step has no date."""
    if not one.waits:
        return forecast_word("after", step=one.after)
    said = []
    for wait in one.waits:
        words = "not_ordered" if wait.state else "nobody"
        said.append(forecast_word(words, name=say_thing(wait), state=wait.state))
    return "; ".join(said)


def say_spare(one: Spare) -> str:
    """By how many days something may come later than expected."""
    if one.days is None:
        return forecast_word("spare_more", days=LATER_DAYS[-1])
    return forecast_word("spare", days=one.days) if one.days else _no_spare()


def _no_spare() -> str:
    return forecast_word("spare_none")


def say_spare_days(step: StepView) -> str:
    """By how much a step may be late; empty where nothing is left of it."""
    if step.spare_days is None:
        return ""
    if step.spare_days < 1:
        return _no_spare()
    return forecast_word("spare", days=round(step.spare_days))


def say_link(found: Outlook, link: Link) -> tuple[str, str, str]:
    """A task of the chain: its step, its days, and why it was begun no sooner."""
    task = found.told.ahead.tasks[link.place]
    begin, days = say_day(found.day(link.begin_day)), say_day(found.day(link.end_day))
    if begin != days:
        days = forecast_word("begin_end", begin=begin, end=days)
    names = "; ".join(say_wait(one) for one in task.waits)
    return task.step, days, forecast_word(WHY[link.because], names=names)


def say_state(state: str) -> str:
    """How far a step is."""
    return forecast_word(STATES[state]) if state in STATES else state


def say_step_lines(step: StepView) -> tuple[str, ...]:
    """What stands in the box of a step below its title."""
    lines = [say_state(step.state)]
    if step.is_inspection:
        lines.append(forecast_word("inspection"))
    if step.hours is not None and step.ends is not None:
        hours = say_hours(step.hours.likely)
        lines.append(
            forecast_word("done_hours", hours=hours, day=say_day(step.ends[1]))
        )
    if step.waits:
        lines.append(say_waits(step.waits))
    if step.no_date is not None:
        lines.append(say_left_out(step.no_date))
    if step.closes:
        lines.append(forecast_word("closes", faces=", ".join(step.closes)))
    return tuple(lines)
