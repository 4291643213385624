"""A head against its limits: the project's named set, and all others beside it.

Width and height are held against every set that prints the diameter, each with its
own row; what is seen on the head is held against what the sources say of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum

from rivetwright.engines.heads.called import Called
from rivetwright.engines.heads.entry import Head, Known, Question, questions
from rivetwright.engines.heads.seen import Level, Remark, remarks
from rivetwright.errors import OutsideTable
from rivetwright.standards.shop_heads import Breach, HeadLimits, limit_sets
from rivetwright.standards.source import Source, Status, weakest
from rivetwright.units.tolerance import is_less


class Standing(StrEnum):
    """How a head stands against one set of limits.

    A set that prints one figure without a tolerance is a target: a head beside it
    neither passes nor fails.
    """

    PASSES = "passes"
    FAILS = "fails"
    OFF_TARGET = "off a single figure"
    CANNOT_TELL = "cannot tell"
    NOT_PRINTED = "not printed"


class Overall(IntEnum):
    """A head as a whole; the higher, the worse."""

    PASSES = 0
    MEASURE = 1
    ASK = 2
    FAILS = 3
    NOT_JUDGED = 4


@dataclass(frozen=True)
class Broken:
    """A limit that the head breaks, by how much.

    `found_mm` is the nearest that the size can be to the limit.
    """

    breach: Breach
    found_mm: float
    limit_mm: float

    @property
    def by_mm(self) -> float:
        """How far beyond the limit [mm]."""
        return abs(self.found_mm - self.limit_mm)


@dataclass(frozen=True)
class Against:
    """A head against one named set; `row` and `source` are the set's for its size.

    `unknown` names the limits that the measurement does not decide.
    """

    limit_set: str
    standing: Standing
    limits: HeadLimits | None = None
    broken: tuple[Broken, ...] = ()
    unknown: tuple[Breach, ...] = ()
    row: str = ""
    source: Source | None = None


@dataclass(frozen=True)
class HeadVerdict:
    """What is to be said of a head; while there are questions it is not judged."""

    head: Head
    called: Called
    questions: tuple[Question, ...]
    chosen: Against
    others: tuple[Against, ...]
    remarks: tuple[Remark, ...]

    @property
    def overall(self) -> Overall:
        """The head as a whole, the worst of its sizes and of what is seen."""
        if self.questions:
            return Overall.NOT_JUDGED
        of_sizes = {
            Standing.PASSES: Overall.PASSES,
            Standing.FAILS: Overall.FAILS,
            Standing.OFF_TARGET: Overall.ASK,
            Standing.CANNOT_TELL: Overall.MEASURE,
            Standing.NOT_PRINTED: Overall.ASK,
        }[self.chosen.standing]
        of_level = {
            Level.FINE: Overall.PASSES,
            Level.MEASURE: Overall.MEASURE,
            Level.ASK: Overall.ASK,
            Level.REPLACE: Overall.FAILS,
        }
        return max([of_sizes, *(of_level[one.level] for one in self.remarks)])

    @property
    def status(self) -> Status:
        """The weakest status that the verdict rests on."""
        limits = self.chosen.source
        first = limits.status if limits else Status.JUDGEMENT
        return weakest(first, *(one.source.status for one in self.remarks))

    def has(self, breach: Breach) -> bool:
        """Whether the head breaks this limit of the chosen set."""
        return any(one.breach == breach for one in self.chosen.broken)

    @property
    def passes(self) -> tuple[str, ...]:
        """Names of all sets that the head passes, the chosen one first."""
        return self._sets(Standing.PASSES)

    @property
    def fails(self) -> tuple[str, ...]:
        """Names of all sets that the head fails, the chosen one first."""
        return self._sets(Standing.FAILS)

    def _sets(self, standing: Standing) -> tuple[str, ...]:
        """Names of the sets against which it stands so."""
        every = (self.chosen, *self.others)
        return tuple(one.limit_set for one in every if one.standing is standing)


def judge(head: Head, called: Called) -> HeadVerdict:
    """Judge a head against the project's limits and show it against all others.

    Args:
        head: as measured and seen.
        called: what was called for at the hole.

    Returns:
        The verdict; a doubtful size is asked about and nothing is judged.
    """
    sets = (called.limit_set, *(s for s in limit_sets() if s != called.limit_set))
    chosen, *others = (against(head, called, one) for one in sets)
    asked = questions(head, called)
    seen = () if asked else remarks(head, called)
    return HeadVerdict(head, called, asked, chosen, tuple(others), seen)


def against(head: Head, called: Called, limit_set: str) -> Against:
    """Hold a head against one named set of limits.

    Args:
        head: as measured.
        called: what was called for at the hole.
        limit_set: a name of `limit_sets()`.
    """
    try:
        looked = called.limits(limit_set)
    except OutsideTable:
        return Against(limit_set, Standing.NOT_PRINTED)
    limits = looked.value
    broken, unknown = [], []
    for breach, known, limit_mm, is_least in _sides(head, limits):
        if limit_mm is None:
            continue
        nearest = known.high_mm if is_least else known.low_mm
        farthest = known.low_mm if is_least else known.high_mm
        if _is_beyond(nearest, limit_mm, is_least):
            broken.append(Broken(breach, nearest, limit_mm))
        elif _is_beyond(farthest, limit_mm, is_least):
            unknown.append(breach)
    standing = Standing.CANNOT_TELL if unknown else Standing.PASSES
    return Against(
        limit_set,
        _failing(limits) if broken else standing,
        limits,
        tuple(broken),
        tuple(unknown),
        looked.row,
        looked.source,
    )


def _failing(limits: HeadLimits) -> Standing:
    """What a broken limit means: nothing more than off where there is no tolerance."""
    is_target = limits.width_least_mm == limits.width_most_mm is not None
    return Standing.OFF_TARGET if is_target else Standing.FAILS


def _sides(
    head: Head, limits: HeadLimits
) -> tuple[tuple[Breach, Known, float | None, bool], ...]:
    """The four limits of a set, each with what is known of its size."""

    def mm(limit: object) -> float | None:
        return None if limit is None else float(limit)  # type: ignore[arg-type]

    return (
        ("too narrow", head.width, mm(limits.width_least_mm), True),
        ("too wide", head.width, mm(limits.width_most_mm), False),
        ("too low", head.height, mm(limits.height_least_mm), True),
        ("too high", head.height, mm(limits.height_most_mm), False),
    )


def _is_beyond(size_mm: float, limit_mm: float, is_least: bool) -> bool:
    """Whether a size breaks its limit by more than the one tolerance."""
    if is_least:
        return is_less(size_mm, limit_mm)
    return is_less(limit_mm, size_mm)
