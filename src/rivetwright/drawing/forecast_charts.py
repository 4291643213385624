"""Charts of the forecast: when it may be done, where hours go, what was foretold.

Drawn narrow enough for a phone; every figure stands in the table beside it as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

from rivetwright.drawing.ink import stylesheet
from rivetwright.drawing.labels import width_of
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.drawing.trend_signs import add_cross, add_ring, write
from rivetwright.drawing.words import say

# Millimetres as drawn.
WIDE_MM, EDGE_MM = 104.0, 3.0
WORDS_MM, LINE_MM = 3.0, 4.2
THIN_MM, BAR_MM = 0.3, 4.0
FINISH_MM, REPLAY_MM = 30.0, 46.0
ROW_MM, NAMES_MM, FIGURES_MM = 6.4, 34.0, 15.0
# A replayed line further off than this ratio stands at the rim.
FAR_RATIO = 4.0
DOTS = "0.5 1"
# Words with few capitals are so much narrower than reckoned.
NARROW = 0.88


@dataclass(frozen=True)
class Week:
    """A span of days, by the day it begins with, and its share of the futures."""

    begins: str
    share: float


@dataclass(frozen=True)
class Mark:
    """A day that is told: where among the weeks it lies, and its words."""

    at: float
    words: str
    is_middle: bool = False


@dataclass(frozen=True)
class HoursBar:
    """Hours spent and left at one thing."""

    name: str
    spent_hours: float
    left_hours: float


@dataclass(frozen=True)
class Told:
    """What was foretold against what it took: ratios to the likely one."""

    name: str
    low_ratio: float
    took_ratio: float
    high_ratio: float
    held: bool


def finish_svg(
    weeks: Sequence[Week], marks: Sequence[Mark], *, for_paper: bool = False
) -> str:
    """Share of the futures that end in each week, with the days that are told.

    Args:
        weeks: without gaps, in order.
        marks: the days told; `at` counts weeks from the first one's beginning.
        for_paper: for print instead of the screen.
    """
    about = "; ".join(mark.words for mark in marks)
    top = EDGE_MM + LINE_MM * len(marks)
    high = top + FINISH_MM + 2 * LINE_MM
    picture, world = _picture("finish", say("finish.title"), about, high, for_paper)
    most = max((one.share for one in weeks), default=1.0) or 1.0
    step = (WIDE_MM - 2 * EDGE_MM) / max(len(weeks), 1)
    base = top + FINISH_MM
    for k, one in enumerate(weeks):
        tall = FINISH_MM * one.share / most
        if tall > 0:
            corner = EDGE_MM + k * step, base - tall
            _add_bar(world, *corner, step * 0.86, tall, is_full=True)
    _add_line(world, EDGE_MM, base, WIDE_MM - EDGE_MM, base)
    _add_weeks(world, weeks, step, base)
    for k, mark in enumerate(marks):
        x = EDGE_MM + mark.at * step
        y = EDGE_MM + LINE_MM * (k + 0.8)
        _add_line(world, x, y + 0.8, x, base, dash=None if mark.is_middle else DOTS)
        wide = NARROW * width_of(mark.words, WORDS_MM)
        is_right = x + wide > WIDE_MM - EDGE_MM
        write(
            world,
            mark.words,
            x - 1.0 if is_right else x + 1.0,
            y,
            size=WORDS_MM,
            class_="strong halo" if mark.is_middle else "halo",
            anchor="end" if is_right else None,
        )
    return written(picture)


def hours_svg(bars: Sequence[HoursBar], *, for_paper: bool = False) -> str:
    """Hours spent (full) and left (open) at each thing.

    Args:
        bars: in the order in which they are shown.
        for_paper: for print instead of the screen.
    """
    most = max((one.spent_hours + one.left_hours for one in bars), default=0.0) or 1.0
    room = WIDE_MM - 2 * EDGE_MM - NAMES_MM - FIGURES_MM
    high = 2 * EDGE_MM + ROW_MM * len(bars) + 1.5 * LINE_MM
    about = "; ".join(
        say(
            "hours.bar",
            name=o.name,
            spent=_hours(o.spent_hours),
            left=_hours(o.left_hours),
        )
        for o in bars
    )
    picture, world = _picture("hours", say("hours.title"), about, high, for_paper)
    for k, one in enumerate(bars):
        y = EDGE_MM + k * ROW_MM
        write(world, one.name, EDGE_MM, y + WORDS_MM + 0.6, size=WORDS_MM)
        x = EDGE_MM + NAMES_MM
        spent = room * one.spent_hours / most
        left = room * one.left_hours / most
        if spent > 0:
            _add_bar(world, x, y, spent, BAR_MM, is_full=True)
        if left > 0:
            _add_bar(world, x + spent, y, left, BAR_MM, is_full=False)
        words = _hours(one.spent_hours + one.left_hours)
        end = x + spent + left + 1.2
        write(world, words, end, y + WORDS_MM + 0.6, size=WORDS_MM, class_="quiet")
    key = EDGE_MM + ROW_MM * len(bars) + LINE_MM
    write(world, say("hours.key"), EDGE_MM, key, size=WORDS_MM, class_="quiet")
    return written(picture)


def replay_svg(lines: Sequence[Told], *, for_paper: bool = False) -> str:
    """What was foretold of each line of the log, and what it took.

    Args:
        lines: oldest first.
        for_paper: for print instead of the screen.
    """
    high = EDGE_MM + REPLAY_MM + 2.2 * LINE_MM
    held = sum(one.held for one in lines)
    about = say("replay.about", held=held, count=len(lines))
    picture, world = _picture("replay", say("replay.title"), about, high, for_paper)
    left = EDGE_MM + 15.0
    for ratio, words in ((0.5, "half"), (1.0, "as"), (2.0, "twice")):
        y = _ratio_y(ratio)
        _add_line(
            world, left, y, WIDE_MM - EDGE_MM, y, dash=None if ratio == 1 else DOTS
        )
        write(world, say(f"replay.{words}"), EDGE_MM, y + 1.0, class_="quiet")
    step = (WIDE_MM - EDGE_MM - left) / max(len(lines), 1)
    for k, one in enumerate(lines):
        x = left + (k + 0.5) * step
        group = add(world, "g", class_="told")
        add(group, "title", one.name)
        low, top = _ratio_y(one.low_ratio), _ratio_y(one.high_ratio)
        _add_bar(group, x - 0.5, top, 1.0, low - top, is_full=True)
        (add_ring if one.held else add_cross)(group, x, _ratio_y(one.took_ratio))
    key = EDGE_MM + REPLAY_MM + LINE_MM
    write(world, say("replay.key"), EDGE_MM, key, size=WORDS_MM, class_="quiet")
    return written(picture)


def _picture(
    kind: str, title: str, about: str, high: float, for_paper: bool
) -> tuple[Element, Element]:
    """An empty chart, and where its signs go."""
    box = (0.0, 0.0, WIDE_MM, high)
    picture = new_picture(kind, title, about, box, stylesheet(for_paper=for_paper))
    return picture, add(picture, "g", class_="world")


def _add_bar(
    group: Element, x: float, y: float, wide: float, tall: float, *, is_full: bool
) -> None:
    """A bar: full, or an outline alone."""
    add(
        group,
        "rect",
        x=x,
        y=y,
        width=wide,
        height=tall,
        class_="dot" if is_full else "line",
        stroke_width=None if is_full else THIN_MM * 1.5,
    )


def _add_line(
    group: Element, x0: float, y0: float, x1: float, y1: float, dash: str | None = None
) -> None:
    add(
        group,
        "path",
        d=path_through([(x0, y0), (x1, y1)]),
        class_="line",
        stroke_width=THIN_MM,
        stroke_dasharray=dash,
    )


def _add_weeks(world: Element, weeks: Sequence[Week], step: float, base: float) -> None:
    """The days at which weeks begin, where there is room."""
    free = 0.0
    for k, one in enumerate(weeks):
        x = EDGE_MM + k * step
        wide = width_of(one.begins, WORDS_MM)
        if x >= free and x + wide <= WIDE_MM:
            _add_line(world, x, base, x, base + 1.2)
            write(world, one.begins, x, base + LINE_MM, size=WORDS_MM, class_="quiet")
            free = x + wide + 2.0


def _ratio_y(ratio: float) -> float:
    """Where a ratio stands: double as far up as half is down."""
    held = min(max(ratio, 1 / FAR_RATIO), FAR_RATIO)
    return EDGE_MM + REPLAY_MM / 2 * (1 - log(held) / log(FAR_RATIO))


def _hours(hours: float) -> str:
    return say("hours.figure", hours=f"{hours:.1f}")
