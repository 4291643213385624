"""The picture of a group's heads over time, with changes of its set-up and alarms."""

from __future__ import annotations

from rivetwright.bench.head_groups import HeadGroup, SizeLimits
from rivetwright.bench.head_history import HeadMade
from rivetwright.drawing.head_trend import (
    A_STRIP,
    Band,
    Change,
    Trend,
    TrendHead,
    head_trend_svg,
)
from rivetwright.texts.head_group_words import name_group, say_change
from rivetwright.units.wording import UnitSystem

DAY_LETTERS = 10


def group_trend_svg(
    group: HeadGroup,
    *,
    system: UnitSystem = "in",
    for_paper: bool = False,
    a_strip: int = A_STRIP,
) -> str:
    """Height and width of a group's heads against their limits.

    Args:
        group: the heads.
        system: the project's unit.
        for_paper: for print instead of the screen.
        a_strip: heads in one strip; fewer for a narrow screen.
    """
    shown = group.measured
    changes = tuple(
        Change(one.at, say_change(one, shown[one.at], system), one.raised is not None)
        for one in group.changes
    )
    trend = Trend(
        name_group(group),
        group.limit_set,
        tuple(_head(one) for one in shown),
        _band(group.height),
        _band(group.width),
        changes,
    )
    return head_trend_svg(trend, system=system, for_paper=for_paper, a_strip=a_strip)


def _head(one: HeadMade) -> TrendHead:
    """One head of the picture."""
    seen = one.seen
    return TrendHead(one.name, seen.at[:DAY_LETTERS], seen.height_mm, seen.width_mm)


def _band(limits: SizeLimits) -> Band:
    """The lines of one curve."""
    return Band(limits.least_mm, limits.aim_mm, limits.most_mm)
