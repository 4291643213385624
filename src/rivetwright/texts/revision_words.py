"""Two revisions in words: what differs, how far it is, what is to be done."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rivetwright.bench.revision import Revision
from rivetwright.engines.revise.compare import (
    Aspect,
    Change,
    Difference,
    Kind,
    PartChange,
    StepChange,
)
from rivetwright.engines.revise.matching import By
from rivetwright.engines.revise.outlook import Doing, Done, Doubt, Question, Task
from rivetwright.engines.stock.times import HERE
from rivetwright.model.columns import Holes
from rivetwright.record.ranges import write_ranges
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import Said, System, say_value
from rivetwright.texts.stock_words import say_arrivals

SECTION, ASPECT, TASK, DOUBT = (
    "revision",
    "revision_aspect",
    "revision_task",
    "revision_doubt",
)
HOUR_MIN = 60


@dataclass(frozen=True)
class DifferenceWords:
    """One aspect as it was and as it is, each with the other unit beside."""

    title: str
    before: Said
    after: Said


def revision_word(key: str, **values: object) -> str:
    """Words about a revision, filled in."""
    return catalogue().word(SECTION, key).format_map(values)


def system_of(revision: Revision) -> System:
    """The later plan's unit."""
    return "mm" if revision.new.unit == "mm" else "in"


def hole_names(holes: Holes, found: Iterable[int]) -> str:
    """Holes as the trade writes them: `B9:1-4, B10:1-4`."""
    names = ((holes.row_of(h).name, int(holes.number[h])) for h in found)
    return ", ".join(write_ranges(names))


def say_minutes(minutes: float) -> str:
    """A time as one plans an evening: `1 h 54 min`."""
    whole = round(minutes)
    if whole < HOUR_MIN:
        return revision_word("minutes", count=whole)
    hours, left = divmod(whole, HOUR_MIN)
    return revision_word("hours_minutes", hours=hours, minutes=left)


def say_summary(revision: Revision) -> list[str]:
    """What a revision comes to, in a few sentences."""
    found, asks = revision.found, revision.asks
    if found.is_same:
        return [revision_word("same")]
    counts = {str(kind): found.count(kind) for kind in Kind}
    out = asks.out_count
    said = [f"{revision_word('counts', **counts)}."]
    if not out:
        said.append(revision_word("out_none"))
    elif out == 1:
        said.append(revision_word("out_one"))
    else:
        said.append(revision_word("out", count=out))
    low, likely, high = asks.minutes
    if likely:
        times = {
            "low": say_minutes(low),
            "likely": say_minutes(likely),
            "high": say_minutes(high),
        }
        said.append(revision_word("hours", basis=revision_word("own"), **times))
    said.append(_before(revision))
    return said


def _before(revision: Revision) -> str:
    name = revision.asks.before
    for step in revision.new.steps:
        if step.name == name:
            return revision_word("before", step=name, title=step.title)
    return revision_word("before_none")


def say_change(revision: Revision, change: Change) -> str:
    """The holes of a change, by the plan that has them."""
    old, new = revision.found.old.worked.holes, revision.found.new.worked.holes
    if change.new:
        return hole_names(new, change.new)
    return hole_names(old, change.old)


def say_kind(kind: Kind) -> str:
    """Added, gone or changed."""
    words = catalogue().section("revision_kind")
    by_kind = {
        Kind.ADDED: words["added"],
        Kind.GONE: words["gone"],
        Kind.CHANGED: words["changed"],
    }
    return str(by_kind[kind])


def say_difference(one: Difference, system: System) -> DifferenceWords:
    """One aspect, before and after."""
    title = catalogue().word(ASPECT, one.aspect.replace("-", "_"))
    before, after = (_value(one.aspect, v, system) for v in (one.before, one.after))
    return DifferenceWords(title, before, after)


def _value(aspect: Aspect, value: str | float, system: System) -> Said:
    """A value of an aspect; `none` where there is none."""
    if aspect is Aspect.GRIP:
        return say_value("grip_mm", value, system)
    if aspect is Aspect.LENGTH:
        said = say_value("wanted_length_16ths", value, system)
        return Said(f"-{said.main}") if value == value else _none()
    if aspect is Aspect.DRILL:
        return say_value("drill_name", value, system)
    text = str(value)
    if not text:
        return _none()
    if aspect is Aspect.SET_UP:
        yoke, _, gap_mm = text.rpartition(" ")
        gap = say_value("die_gap_mm", float(gap_mm), system)
        sentence = catalogue().word(ASPECT, "gap")
        return Said(sentence.format(yoke=yoke, gap=gap.main), gap.other)
    if aspect is Aspect.PLACE:
        spots = [say_value("place_u_mm", float(mm), system) for mm in text.split(",")]
        return Said(
            ", ".join(one.main for one in spots), ", ".join(one.other for one in spots)
        )
    return Said(text)


def _none() -> Said:
    return Said(catalogue().word(ASPECT, "nothing"))


def say_done(one: Done) -> str:
    """How far the holes of a change were."""
    said = []
    of = len(one.change.old)
    if one.set_holes:
        said.append(revision_word("set", count=len(one.set_holes), of=of))
    elif one.drilled:
        said.append(revision_word("drilled", count=len(one.drilled)))
    if one.dimpled:
        said.append(revision_word("dimpled", count=len(one.dimpled)))
    if one.countersunk:
        said.append(revision_word("countersunk", count=len(one.countersunk)))
    if one.closed_by:
        said.append(revision_word("closed", steps=", ".join(one.closed_by)))
    return ", ".join(said) or revision_word("untouched")


def say_task(revision: Revision, task: Task) -> str:
    """One thing to do, as a sentence with its tools."""
    side = revision.found.new if task.is_new else revision.found.old
    limit = "" if task.limit_mm is None else _both(task.limit_mm, system_of(revision))
    words = _task(task.doing).format(
        step=task.step,
        count=task.count,
        code=task.code,
        part=task.part,
        holes=hole_names(side.worked.holes, task.holes),
        limit=limit,
    )
    more = []
    if task.tools:
        more.append(revision_word("tools", tools=" / ".join(task.tools)))
    if task.people > 1:
        more.append(revision_word("two"))
    return f"{words.rstrip('.')}, {', '.join(more)}." if more else words


def _both(length_mm: float, system: System) -> str:
    said = say_value("limit_mm", length_mm, system)
    return f"{said.main} ({said.other})"


def _task(doing: Doing) -> str:
    words = catalogue().section(TASK)
    by_doing = {
        Doing.OPEN_UP: words["open_up"],
        Doing.TAKE_OUT: words["take_out"],
        Doing.MEASURE: words["measure"],
        Doing.DRILL: words["drill"],
        Doing.DEBURR: words["deburr"],
        Doing.DIMPLE: words["dimple"],
        Doing.COUNTERSINK: words["countersink"],
        Doing.PRIME: words["prime"],
        Doing.SET: words["set"],
        Doing.CHECK: words["check"],
        Doing.RECORD: words["record"],
    }
    return str(by_doing[doing])


def say_question(revision: Revision, one: Question) -> str:
    """What has to be asked before anything is done."""
    side = revision.found.old if one.is_old else revision.found.new
    words = catalogue().section(DOUBT)
    by_doubt = {
        Doubt.SAME_ROW: words["same_row"],
        Doubt.EMPTY_HOLE: words["empty_hole"],
        Doubt.PREPARED: words["prepared"],
        Doubt.SMALLER_HOLE: words["smaller_hole"],
        Doubt.STOPS: words["stops"],
    }
    what = _found_by(one.what) if one.doubt is Doubt.SAME_ROW else one.what
    holes = hole_names(side.worked.holes, one.holes)
    return str(by_doubt[one.doubt]).format(holes=holes, what=what)


def _found_by(by: str) -> str:
    if by == By.PLACE:
        return revision_word("found_by_place")
    return revision_word("found_by_name")


def say_needs(revision: Revision) -> list[str]:
    """Rivets and parts that the changed holes take, and where they are."""
    said = [_code(revision, code, count) for code, count in revision.asks.codes]
    for one in revision.deliveries:
        if one.state in HERE:
            said.append(revision_word("part_here", part=one.part))
        elif one.due:
            due = {"state": one.state, "day": one.due.isoformat()}
            said.append(revision_word("part_due", part=one.part, **due))
        elif one.state:
            said.append(revision_word("part_state", part=one.part, state=one.state))
        else:
            said.append(revision_word("part_unknown", part=one.part))
    return said


def _code(revision: Revision, code: str, count: int) -> str:
    """One code: how many it takes, and whether they are there."""
    need = revision.need(code)
    if need is None or need.drawer.on_hand is None:
        return revision_word("code_uncounted", code=code, count=count)
    arrivals = say_arrivals(need.drawer.arrivals)
    coming = revision_word("code_coming", coming=arrivals) if arrivals else ""
    values = {
        "code": code,
        "count": count,
        "on_hand": need.drawer.on_hand,
        "coming": coming,
    }
    if need.short:
        return revision_word("code_short", short=need.short, **values)
    return revision_word("code_enough", **values)


def say_part(one: PartChange) -> str:
    """A part that is new, gone or described otherwise."""
    values = {"name": one.name, "title": one.title}
    if one.kind is Kind.ADDED:
        return revision_word("part_added", **values)
    if one.kind is Kind.GONE:
        return revision_word("part_gone", **values)
    return revision_word("part_changed", before=one.before, after=one.after, **values)


def say_step(one: StepChange) -> str:
    """A step that is new, gone, or needs or closes something else."""
    values = {"name": one.name, "title": one.title}
    if one.kind is Kind.ADDED:
        said = [revision_word("step_added", **values)]
    elif one.kind is Kind.GONE:
        said = [revision_word("step_gone", **values)]
    else:
        said = [revision_word("step_changed", **values)]
    if one.needs_more:
        said.append(revision_word("step_needs", needs=", ".join(one.needs_more)))
    if one.needs_less:
        said.append(revision_word("step_needs_not", needs=", ".join(one.needs_less)))
    if one.closes_more:
        said.append(revision_word("step_closes", faces=", ".join(one.closes_more)))
    if one.closes_less:
        said.append(revision_word("step_closes_not", faces=", ".join(one.closes_less)))
    return "; ".join(said)
