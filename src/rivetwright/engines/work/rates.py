"""Minutes by operation: the builder's own where the log has them, else the table's."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from rivetwright.standards.source import Status
from rivetwright.standards.work import UsualRate, usual_rates

OWN, DEFAULT, PLAN = "own", "default", "plan"
_COUNTED = re.compile(r"(\d+)\s+([a-z]+?)s?\b")


@dataclass(frozen=True)
class WorkRate:
    """Minutes for each of what is counted, and what that rests on.

    `basis` is own (the builder's log), default (the table) or plan (the manual's
    guess). `entries` are lines of the log, `count` what they counted in all.
    """

    operation: str
    counted: str
    minutes: float
    low_ratio: float
    high_ratio: float
    basis: str
    entries: int
    count: int
    status: Status


@dataclass(frozen=True)
class Logged:
    """One line of the log: minutes at an operation, and what was counted, in words."""

    operation: str
    minutes: float
    count: int | None = None
    counted: str = ""


def default_rates() -> dict[str, WorkRate]:
    """The table's rates by operation.

    Source: work_rates.csv; status per row.
    """
    return {
        one.value.name: WorkRate(
            one.value.name,
            one.value.counted,
            one.value.minutes,
            one.value.low_ratio,
            one.value.high_ratio,
            DEFAULT,
            0,
            0,
            one.status,
        )
        for one in usual_rates()
    }


def own_rates(log: Iterable[Logged]) -> dict[str, WorkRate]:
    """Rates of the log, all minutes over all counts; the table's for the others.

    The range keeps the table's ratios until a better one is known.

    Args:
        log: lines of the log [min].

    Returns:
        A rate for every operation of the table [min].

    Source: the builder's log; work_rates.csv for what it lacks.
    """
    found = default_rates()
    minutes: dict[str, float] = {}
    counts: dict[str, list[int]] = {}
    for line in log:
        name = operation_named(line.operation)
        count = counted_in(line, found[name].counted) if name else 0
        if count:
            minutes[name] = minutes.get(name, 0.0) + line.minutes
            counts.setdefault(name, []).append(count)
    for name, total in minutes.items():
        usual, number = found[name], sum(counts[name])
        found[name] = WorkRate(
            name,
            usual.counted,
            total / number,
            usual.low_ratio,
            usual.high_ratio,
            OWN,
            len(counts[name]),
            number,
            Status.OWN_TEST,
        )
    return found


def operation_named(text: str) -> str:
    """The operation that a log or a manual means; empty for none that is known.

    Args:
        text: as written, such as "set, squeezer" [-].

    Source: work_rates.csv, the words of each row.
    """
    said = text.strip().lower()
    for rate in _usual():
        if said == rate.name or said in rate.words:
            return rate.name
    named = [rate.name for rate in _usual() if any(w in said for w in rate.words)]
    return named[0] if named else ""


def operations_named(text: str) -> tuple[str, ...]:
    """Every operation that the words of a step name, in the order of the table.

    Args:
        text: the title or text of a step [-].

    Source: work_rates.csv, the words of each row.
    """
    said = text.lower()
    return tuple(r.name for r in _usual() if any(word in said for word in r.words))


def counted_in(line: Logged, wanted: str) -> int:
    """How many of what is wanted a line counted; 0 where it does not say.

    Args:
        line: a line of the log [-].
        wanted: hole, rivet, dimple, part or assembly [-].

    Source: the builder's log.
    """
    first = "" if line.count is None else f"{line.count} "
    told = _COUNTED.findall(first + line.counted.lower())
    said = {what: int(number) for number, what in told}
    if wanted in said:
        return said[wanted]
    if line.count is not None and not said:
        return line.count
    return 1 if wanted == "assembly" else 0


def rate_of(rates: Mapping[str, WorkRate], name: str) -> WorkRate:
    """The rate of an operation, the table's where none is given.

    Args:
        rates: rates by operation [min].
        name: the operation [-].

    Source: as `rates` says; work_rates.csv.
    """
    return rates.get(name) or default_rates()[name]


def _usual() -> Iterator[UsualRate]:
    return (one.value for one in usual_rates())
