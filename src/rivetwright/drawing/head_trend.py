"""Heads of one set-up in the order they were set: height and width against limits.

Every head has its column, its name below it; changes of the set-up stand as numbered
lines through both curves, with their words in a list below. A long run goes on in
further strips. Shape tells inside from outside before colour does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rivetwright.drawing.frame import wrap
from rivetwright.drawing.ink import stylesheet
from rivetwright.drawing.labels import LETTER_WIDTH, width_of
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.drawing.trend_signs import (
    BADGE_MM,
    BADGES,
    SIGN_WIDTH_MM,
    THIN_MM,
    WORDS_MM,
    add_cross,
    add_far,
    add_ring,
    write,
)
from rivetwright.drawing.words import say
from rivetwright.model.pattern import Point
from rivetwright.units.tolerance import is_less
from rivetwright.units.wording import UnitSystem, show_length

# Millimetres as drawn.
LEFT_MM, RIGHT_MM, COLUMN_MM = 24.0, 5.0, 5.0
TITLE_MM, LINE_MM, TITLE_LINE_MM = 3.8, 3.6, 4.6
TOP_MM, DAY_MM, PANEL_MM, BETWEEN_MM = 9.0, 8.0, 27.0, 6.0
BOTTOM_MM, STRIP_GAP_MM = 4.0, 4.0
LEAST_COLUMNS = 12
DASH, DOTS = "1.6 1", "0.4 1"
A_STRIP = 30
# Room beyond the outermost line or head, as a share of what is shown.
ROOM_SHARE = 0.12
# A head further beyond a limit than this share of it stands at the rim, with an arrow.
FAR_SHARE = 0.35


@dataclass(frozen=True)
class Band:
    """Least, aimed at and most of a size [mm]; None where there is no such line."""

    least_mm: float | None = None
    aim_mm: float | None = None
    most_mm: float | None = None

    def is_outside(self, size_mm: float) -> bool:
        """Whether a size breaks a limit [mm]."""
        is_low = self.least_mm is not None and is_less(size_mm, self.least_mm)
        is_high = self.most_mm is not None and is_less(self.most_mm, size_mm)
        return is_low or is_high


@dataclass(frozen=True)
class TrendHead:
    """One head: its hole, the day as the project writes it, and what was measured."""

    hole: str
    day: str
    height_mm: float | None = None
    width_mm: float | None = None


@dataclass(frozen=True)
class Change:
    """What was changed before a head, or the alarm that it raised.

    `at` counts heads from nought; a change stands before that head, an alarm on it.
    """

    at: int
    words: str
    is_alarm: bool = False


@dataclass(frozen=True)
class Trend:
    """What the picture shows of one set-up; `limit_set` names whose limits they are."""

    title: str
    limit_set: str
    heads: tuple[TrendHead, ...]
    height: Band
    width: Band
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True)
class _Panel:
    """One curve: which size, its lines, and what its ends stand for."""

    name: str
    band: Band
    sizes: tuple[float | None, ...]
    low_mm: float
    high_mm: float
    top: float

    def y(self, size_mm: float) -> float:
        """Where a size stands; one beyond the ends at the rim."""
        share = (size_mm - self.low_mm) / (self.high_mm - self.low_mm)
        return self.top + PANEL_MM * (1 - min(max(share, 0.0), 1.0))

    def is_far(self, size_mm: float) -> bool:
        """Whether a size lies beyond what is shown."""
        return not self.low_mm <= size_mm <= self.high_mm


def head_trend_svg(
    trend: Trend,
    *,
    system: UnitSystem = "in",
    for_paper: bool = False,
    a_strip: int = A_STRIP,
) -> str:
    """Height and width of the heads of a set-up over time, against their limits.

    Args:
        trend: what to show.
        system: the project's unit.
        for_paper: for print instead of the screen.
        a_strip: heads in one strip; fewer for a narrow screen.
    """
    columns = max(min(len(trend.heads), a_strip), LEAST_COLUMNS)
    wide = LEFT_MM + columns * COLUMN_MM + RIGHT_MM
    title = say("trend.title", title=trend.title)
    titles = wrap(title, _letters(wide, TITLE_MM))
    notes = [*_change_lines(trend, wide), *_key_lines(trend, wide)]
    names_mm = _names_mm(trend)
    start = TOP_MM + (len(titles) - 1) * TITLE_LINE_MM
    strip_mm = DAY_MM + 2 * PANEL_MM + BETWEEN_MM + names_mm + STRIP_GAP_MM
    strips = range(0, len(trend.heads), a_strip)
    notes_y = start + max(len(strips) * strip_mm, LINE_MM)
    high = notes_y + len(notes) * LINE_MM + BOTTOM_MM
    style = stylesheet(for_paper=for_paper)
    box = (0.0, 0.0, wide, high)
    picture = new_picture("head-trend", title, _about(trend), box, style)
    world = add(picture, "g", class_="world")
    for line, words in enumerate(titles):
        y = 5.5 + line * TITLE_LINE_MM
        write(world, words, 3.0, y, size=TITLE_MM, class_="strong")
    if not trend.heads:
        write(world, say("trend.empty"), 3.0, start + WORDS_MM)
    for k, first in enumerate(strips):
        top = start + k * strip_mm
        _add_strip(world, trend, range(first, first + a_strip), top, system)
    for line, words in enumerate(notes):
        write(world, words, 3.0, notes_y + (line + 0.7) * LINE_MM, class_="note")
    return written(picture)


# --- words --------------------------------------------------------------------------


def _about(trend: Trend) -> str:
    """The picture in words, for a person who does not see it."""
    if not trend.heads:
        return say("trend.empty")
    sides = (("height", trend.height), ("width", trend.width))
    out = [
        one.hole
        for one in trend.heads
        if any(
            size is not None and band.is_outside(size)
            for name, band in sides
            for size in (getattr(one, f"{name}_mm"),)
        )
    ]
    said = say("trend.about", count=len(trend.heads), limits=trend.limit_set)
    outside = say("trend.outside", holes=", ".join(out)) if out else ""
    changes = [_change_words(trend, k) for k in range(len(trend.changes))]
    return " ".join(filter(None, (said, outside or say("trend.inside"), *changes)))


def _change_words(trend: Trend, k: int) -> str:
    """One change or alarm in words, with its number and its head."""
    one = trend.changes[k]
    last = len(trend.heads) - 1
    key = "alarm" if one.is_alarm else "change" if one.at <= last else "change_after"
    hole = trend.heads[min(one.at, last)].hole
    return say(f"trend.{key}", number=k + 1, hole=hole, words=one.words)


def _change_lines(trend: Trend, wide: float) -> Iterator[str]:
    """The list of changes, in lines as wide as the picture."""
    if trend.heads:
        for k in range(len(trend.changes)):
            yield from wrap(_change_words(trend, k), _letters(wide))


def _key_lines(trend: Trend, wide: float) -> list[str]:
    """What the signs mean, and whose limits the lines are."""
    return wrap(say("trend.key", limits=trend.limit_set), _letters(wide))


def _letters(wide: float, height: float = WORDS_MM) -> int:
    """Letters of a height that fit in a line."""
    return int((wide - 6.0) / (height * LETTER_WIDTH))


def _names_mm(trend: Trend) -> float:
    """Room for the longest name of a hole, written upward."""
    longest = max((one.hole for one in trend.heads), key=len, default="")
    return width_of(longest, WORDS_MM) + 2.0


# --- one strip ----------------------------------------------------------------------


def _add_strip(
    world: Element, trend: Trend, which: range, top: float, system: UnitSystem
) -> None:
    """Both curves of some heads, with days above and names below."""
    group = add(world, "g", class_="strip")
    panels = _panels(trend, top + DAY_MM)
    shown = range(which.start, min(which.stop, len(trend.heads)))
    right = LEFT_MM + len(shown) * COLUMN_MM
    for panel in panels:
        _add_lines(group, panel, right, system)
        for run in _runs(trend, shown):
            _add_curve(group, panel, shown, run)
    _add_days(group, trend, shown, top)
    _add_changes(group, trend, shown, panels, top)
    foot = panels[-1].top + PANEL_MM + 1.5
    for at in shown:
        x = _x(at, shown)
        _add_head(group, trend.heads[at], at, x, panels, system)
        name = trend.heads[at].hole
        write(group, name, x - WORDS_MM / 3, foot, class_="quiet", turned=True)


def _panels(trend: Trend, top: float) -> tuple[_Panel, ...]:
    """Height above, width below, with what their ends stand for over all heads."""
    made = []
    for k, (name, band) in enumerate(
        (("height", trend.height), ("width", trend.width))
    ):
        sizes = tuple(getattr(one, f"{name}_mm") for one in trend.heads)
        low, high = _ends_mm(band, [size for size in sizes if size is not None])
        at = top + k * (PANEL_MM + BETWEEN_MM)
        made.append(_Panel(name, band, sizes, low, high, at))
    return tuple(made)


def _ends_mm(band: Band, sizes: Sequence[float]) -> tuple[float, float]:
    """What a curve shows: all lines, and all heads that are not far beyond them."""
    lines = [x for x in (band.least_mm, band.aim_mm, band.most_mm) if x is not None]
    shown = [*lines, *sizes] or [0.0]
    low, high = min(shown), max(shown)
    if band.least_mm is not None:
        low = max(low, band.least_mm * (1 - FAR_SHARE))
    if band.most_mm is not None:
        high = min(high, band.most_mm * (1 + FAR_SHARE))
    room = ROOM_SHARE * (high - low) or 1.0
    return low - room, high + room


def _x(at: int, shown: range) -> float:
    """The middle of a head's column."""
    return LEFT_MM + (at - shown.start + 0.5) * COLUMN_MM


def _runs(trend: Trend, shown: range) -> Iterator[range]:
    """Heads between two changes: a curve is not drawn through a change."""
    changed = {one.at for one in trend.changes if not one.is_alarm}
    cuts = [at for at in shown if at in changed and at > shown.start]
    for start, end in zip([shown.start, *cuts], [*cuts, shown.stop], strict=True):
        yield range(start, end)


def _add_lines(group: Element, panel: _Panel, right: float, system: UnitSystem) -> None:
    """The name of a curve, its limits and its aim, each with its figure."""
    write(
        group,
        say(f"trend.{panel.name}", unit=system),
        3.0,
        panel.top + WORDS_MM,
        class_="strong",
    )
    lines = (
        ("most", panel.band.most_mm, None),
        ("aim", panel.band.aim_mm, DOTS),
        ("least", panel.band.least_mm, None),
    )
    taken = panel.top + WORDS_MM
    for name, size_mm, dash in lines:
        if size_mm is None:
            continue
        y = panel.y(size_mm)
        path = path_through([(LEFT_MM, y), (right, y)])
        add(
            group,
            "path",
            d=path,
            class_=f"line {name}",
            stroke_width=THIN_MM if dash else SIGN_WIDTH_MM,
            stroke_dasharray=dash,
        )
        # Words of two lines that lie close are moved apart, not over each other.
        taken = max(y + WORDS_MM / 3, taken + WORDS_MM * 1.15)
        words = say(f"trend.{name}", length=show_length(size_mm, system=system))
        write(group, words, LEFT_MM - 1.0, taken, class_="quiet", anchor="end")


def _add_curve(group: Element, panel: _Panel, shown: range, run: range) -> None:
    """A thin line through the heads of a run."""
    points: list[Point] = [
        (_x(at, shown), panel.y(size))
        for at in run
        if (size := panel.sizes[at]) is not None
    ]
    if len(points) > 1:
        path = path_through(points)
        add(group, "path", d=path, class_="leader curve", stroke_width=THIN_MM)


def _add_days(group: Element, trend: Trend, shown: range, top: float) -> None:
    """Each day over its first head, where there is room beside the one before."""
    free, before = 0.0, None
    for at in shown:
        day = trend.heads[at].day
        x = _x(at, shown) - COLUMN_MM / 2
        if day != before and x >= free:
            write(group, day, x, top + WORDS_MM, class_="quiet day")
            free = x + width_of(day, WORDS_MM) + 1.0
        before = day


def _add_changes(
    group: Element,
    trend: Trend,
    shown: range,
    panels: tuple[_Panel, ...],
    top: float,
) -> None:
    """Numbered lines through both curves: round for a change, pointed for an alarm."""
    ends = panels[0].top, panels[-1].top + PANEL_MM
    for k, one in enumerate(trend.changes):
        is_last = one.at == len(trend.heads) == shown.stop
        if one.at not in shown and not is_last:
            continue
        x = _x(one.at, shown) - (0.0 if one.is_alarm else COLUMN_MM / 2)
        kind = "alarm" if one.is_alarm else "changed"
        badge = add(group, "g", class_=kind, data_at=str(one.at))
        path = path_through([(x, ends[0]), (x, ends[1])])
        add(
            badge,
            "path",
            d=path,
            class_="line" + (" check" if one.is_alarm else ""),
            stroke_width=THIN_MM * 1.5,
            stroke_dasharray=DASH,
        )
        BADGES[kind](badge, x, top + DAY_MM - BADGE_MM - 0.3)
        y = top + DAY_MM - BADGE_MM + 0.5
        write(badge, str(k + 1), x, y, size=WORDS_MM * 0.85, anchor="middle")


# --- one head -----------------------------------------------------------------------


def _add_head(
    group: Element,
    head: TrendHead,
    at: int,
    x: float,
    panels: tuple[_Panel, ...],
    system: UnitSystem,
) -> None:
    """The signs of one head in both curves, and its figures in words."""
    measured = [
        (panel, size, show_length(size, system=system))
        for panel in panels
        if (size := panel.sizes[at]) is not None
    ]
    said = [say(f"trend.{one.name}_is", length=length) for one, _, length in measured]
    mine = add(group, "g", class_="head", data_head=str(at), data_hole=head.hole)
    add(mine, "title", ", ".join(filter(None, (head.hole, head.day, *said))))
    for panel, size, length in measured:
        sign, y = add(mine, "g", class_=panel.name), panel.y(size)
        (add_cross if panel.band.is_outside(size) else add_ring)(sign, x, y)
        if panel.is_far(size):
            add_far(sign, x, y, -1 if size > panel.high_mm else 1, length)
