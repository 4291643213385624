"""Heads put together by what made them: trend, changes, alarms, how many go wrong."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from rivetwright.bench.head_history import HeadHistory, HeadMade, MadeBy
from rivetwright.engines.heads.called import Called, called_at
from rivetwright.engines.learning.capability import OfHundred, capability
from rivetwright.engines.learning.told import FIRST_HEADS, DiesTold, Raised
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.taught import SCATTER_MM, Taught
from rivetwright.errors import OutsideTable
from rivetwright.units.tolerance import is_less

# What may change between two heads of a group, in the order in which it is told.
CHANGES = ("die_gap", "dies", "shims", "pressure", "rivets", "people")
Limit = float | None


@dataclass(frozen=True)
class SizeLimits:
    """Least, aimed at and most of a size [mm]; None where there is no such line."""

    least_mm: Limit = None
    aim_mm: Limit = None
    most_mm: Limit = None

    def is_outside(self, size_mm: Limit) -> bool:
        """Whether a size breaks a limit [mm]; one not measured breaks none."""
        if size_mm is None:
            return False
        is_low = self.least_mm is not None and is_less(size_mm, self.least_mm)
        return is_low or (self.most_mm is not None and is_less(self.most_mm, size_mm))


@dataclass(frozen=True)
class GroupChange:
    """What differs before a head of a group: words of `CHANGES`, or an alarm on it."""

    at: int
    what: tuple[str, ...] = ()
    raised: Raised | None = None


@dataclass(frozen=True)
class HeadGroup:
    """Heads of one tool and one kind of rivet, in the order of the looks.

    `kind` is the callout without its length. `heights` and `widths` say how many of a
    hundred like those since the last change would be out; None with too few heads.
    `counted` are those. `untaught` counts why heads teach nothing. `lift_mm` is how
    much thicker than in a rigid tool they come out, with half its band.
    """

    made_by: MadeBy
    kind: str
    heads: tuple[HeadMade, ...]
    limit_set: str
    height: SizeLimits
    width: SizeLimits
    changes: tuple[GroupChange, ...]
    told: DiesTold
    taught: Taught
    lift_mm: tuple[float, float] | None
    counted: tuple[HeadMade, ...]
    heights: OfHundred | None
    widths: OfHundred | None
    untaught: tuple[tuple[str, int], ...]

    @property
    def outside(self) -> tuple[HeadMade, ...]:
        """Those counted of which a size breaks its limit."""
        return tuple(
            one
            for one in self.counted
            if self.height.is_outside(one.seen.height_mm)
            or self.width.is_outside(one.seen.width_mm)
        )

    @property
    def measured(self) -> tuple[HeadMade, ...]:
        """Heads of which a size was taken: those of the picture."""
        return tuple(one for one in self.heads if is_measured(one))


def is_measured(one: HeadMade) -> bool:
    """Whether a head's width or height was taken."""
    return one.seen.width_mm is not None or one.seen.height_mm is not None


def head_groups(
    history: HeadHistory, plans: Iterable[WorkedPlan], assembly: str = ""
) -> tuple[HeadGroup, ...]:
    """Heads of the record by what made them, those with most heads first.

    Args:
        history: all heads.
        plans: the worked plans that they are of.
        assembly: only groups that have a head of this plan; empty: all.
    """
    known = {one.worked.plan.id: one for one in plans}
    found = [
        _group(history, known[heads[0].assembly], made_by, heads)
        for made_by, heads in history.groups().items()
        if heads[0].assembly in known
        and (not assembly or any(one.assembly == assembly for one in heads))
    ]
    return tuple(sorted(found, key=lambda one: -len(one.measured)))


def _group(
    history: HeadHistory,
    plan: WorkedPlan,
    made_by: MadeBy,
    heads: tuple[HeadMade, ...],
) -> HeadGroup:
    """One group with everything that is told of it."""
    called = called_at(plan.worked, heads[0].hole)
    height, width, limit_set = _limits(called)
    told = history.told.of(made_by.dies)
    shown = [one for one in heads if is_measured(one)]
    changed = (*_changes(shown), *_alarms(shown, told))
    good = [one for one in shown[_last_change(changed) :] if one.is_good_size]
    heights = [mm for one in good if (mm := one.seen.height_mm) is not None]
    widths = [mm for one in good if (mm := one.seen.width_mm) is not None]
    whys = Counter(one.teaches for one in heads if one.teaches)
    return HeadGroup(
        made_by,
        str(plan.worked.holes.callout(heads[0].hole)).rpartition("-")[0],
        heads,
        limit_set,
        height,
        width,
        tuple(sorted(changed, key=lambda one: one.at)),
        told,
        history.told.taught.of(made_by.dies),
        history.lift(made_by.dies),
        tuple(good),
        _of_hundred(heights, height, SCATTER_MM),
        _of_hundred(widths, width, _width_scatter_mm(heights, widths)),
        tuple(whys.most_common()),
    )


def _limits(called: Called | None) -> tuple[SizeLimits, SizeLimits, str]:
    """Limits of height and width by the project's set; none where none are printed."""
    if called is None:
        return SizeLimits(), SizeLimits(), ""
    try:
        limits = called.limits().value
    except OutsideTable:
        return SizeLimits(), SizeLimits(), called.limit_set

    def mm(limit: object) -> Limit:
        return None if limit is None else float(limit)  # type: ignore[arg-type]

    aim = called.aim_mm if called.aim_mm == called.aim_mm else None
    return (
        SizeLimits(mm(limits.height_least_mm), aim, mm(limits.height_most_mm)),
        SizeLimits(mm(limits.width_least_mm), None, mm(limits.width_most_mm)),
        called.limit_set,
    )


def _of_hundred(
    sizes_mm: Sequence[float], limits: SizeLimits, scatter_mm: float
) -> OfHundred | None:
    """How many of a hundred would be out; None with too few heads, or no limits."""
    ends = (limits.least_mm, limits.most_mm)
    if len(sizes_mm) < FIRST_HEADS or ends == (None, None):
        return None
    return capability(sizes_mm, ends, scatter_mm=scatter_mm)


def _width_scatter_mm(heights: Sequence[float], widths: Sequence[float]) -> float:
    """Usual scatter of a width: width / (2 height) times that of a height [mm]."""
    if not heights or not widths:
        return SCATTER_MM
    return SCATTER_MM * median(widths) / (2 * median(heights))


def conditions(one: HeadMade) -> dict[str, str]:
    """What a head was set with, as far as it was told; sizes in mm."""
    body = one.seen.body

    def mm(size: float | None) -> str:
        return "" if size is None else f"{size:.4f}"

    return {
        "die_gap": mm(body.die_gap_mm),
        "dies": ", ".join(body.dies),
        "shims": ", ".join(mm(shim) for shim in body.shims_mm),
        "pressure": mm(body.pressure_kpa),
        "rivets": body.tin,
        "people": " + ".join(one.seen.people),
    }


def _changes(heads: Sequence[HeadMade]) -> Iterator[GroupChange]:
    """Where something differs from what was told before."""
    carried: dict[str, str] = {}
    for at, one in enumerate(heads):
        now = conditions(one)
        what = tuple(
            name
            for name in CHANGES
            if now[name] and carried.get(name) and now[name] != carried[name]
        )
        if what:
            yield GroupChange(at, what)
        carried |= {name: words for name, words in now.items() if words}


def _alarms(heads: Sequence[HeadMade], told: DiesTold) -> Iterator[GroupChange]:
    """The alarms on the heads that raised them."""
    for raised in told.alarms:
        at = next(
            (
                k
                for k in reversed(range(len(heads)))
                if heads[k].name == raised.at and not heads[k].teaches
            ),
            None,
        )
        if at is not None:
            yield GroupChange(at, raised=raised)


def _last_change(changed: Iterable[GroupChange]) -> int:
    """The head from which on things stand as they do: after a change, or an alarm."""
    starts = [
        one.at + 1 - one.raised.alarm.delay_count if one.raised else one.at
        for one in changed
    ]
    return max(starts, default=0)


def standing_alarms(
    groups: Iterable[HeadGroup],
) -> tuple[tuple[HeadGroup, Raised], ...]:
    """The alarms that stand now, with their groups."""
    found: list[tuple[HeadGroup, Raised]] = []
    for group in groups:
        raised = group.told.standing
        if raised is not None:
            found.append((group, raised))
    return tuple(found)
