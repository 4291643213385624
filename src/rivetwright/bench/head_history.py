"""All measured heads of the record, by the dies that made them: to learn from, to show.

A head teaches a set-up only where the record says with which squeezer, yoke and gap it
was set, where its rivet is the one called for, and where nothing but its size is off.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

import numpy as np

from rivetwright.bench.now import HoleIds
from rivetwright.engines.learning.measured import Measured, measured_at, metal_of
from rivetwright.engines.learning.told import (
    NOTHING_TOLD,
    HeadsTold,
    NamedHead,
    Raised,
    heads_told,
)
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.batch import yokes_of
from rivetwright.engines.squeeze.taught import DieSet
from rivetwright.model.plan import Callout
from rivetwright.model.shop import Shop
from rivetwright.record.state import HeadSeen, HeadSettled, HoleNow, State
from rivetwright.standards.codes import RivetCode

MM_PER_32ND = Fraction(254, 320)
# What may be seen on a head whose height still tells what its dies make.
SIZE_COUNTS = frozenset(
    {
        *("low", "high", "off centre", "cracked"),
        *("tool mark", "tool mark, shallow to the eye"),
    }
)
# Why nothing is learnt of a head, the first that holds.
NOT_MEASURED, NOT_SQUEEZED, OTHER_RIVET = "not measured", "not squeezed", "other rivet"
OUT_OF_SHAPE, STALLED = "out of shape", "stalled"
GAP_NOT_TOLD, TOOL_NOT_TOLD = "gap not told", "tool not told"


@dataclass(frozen=True)
class MadeBy:
    """What heads are put together by: tool and yoke, size and kind of rivet.

    `tool` is a squeezer's title, else what the record calls the set-up; `yoke` is empty
    where it was not told or there is none.
    """

    tool: str
    yoke: str
    diameter_32nds: int
    is_flush: bool
    is_dimpled: bool

    @property
    def dies(self) -> DieSet:
        """The set of dies that learning knows them by."""
        size = self.diameter_32nds, self.is_flush, self.is_dimpled
        return DieSet(self.tool, self.yoke, *size)


@dataclass(frozen=True)
class HeadMade:
    """One look at a head: where, what was seen, and what became of its rivet.

    `where` is its row's permanent id and its number: of another revision of the plan
    `hole` may be another index. `is_out`: that rivet was taken out since. `teaches` is
    empty where it is learnt from, else why not.
    """

    assembly: str
    hole: int
    name: str
    where: tuple[str, int]
    made_by: MadeBy
    seen: HeadSeen
    settled: HeadSettled | None
    is_out: bool
    teaches: str = ""

    @property
    def is_good_size(self) -> bool:
        """Whether its sizes tell what the set-up makes: measured and in shape."""
        return self.teaches not in (NOT_MEASURED, OUT_OF_SHAPE, OTHER_RIVET)


@dataclass(frozen=True)
class HeadHistory:
    """Every head of the record in the order of the looks, and what they tell.

    `last` is the last head of each set of dies that was learnt from.
    """

    heads: tuple[HeadMade, ...] = ()
    told: HeadsTold = NOTHING_TOLD
    last: Mapping[DieSet, Measured] = field(default_factory=dict)

    def of(self, assembly: str) -> tuple[HeadMade, ...]:
        """The heads of one plan."""
        return tuple(one for one in self.heads if one.assembly == assembly)

    def of_hole(self, assembly: str, where: tuple[str, int]) -> tuple[HeadMade, ...]:
        """The heads that one hole had, in the order of the looks."""
        return tuple(one for one in self.of(assembly) if one.where == where)

    def lift(self, dies: DieSet) -> tuple[float, float] | None:
        """How much thicker heads of some dies come out than in a rigid tool.

        At the force of their last head, with half a band of 95 % [mm]; None where
        none was learnt from.
        """
        one = self.last.get(dies)
        if one is None:
            return None
        force_n = float(metal_of([one]).spring_force_n(np.array([one.height_mm]))[0])
        taught, spring = self.told.taught.of(dies), self.told.taught.springs
        opens = spring[dies.yoke].mm_n if dies.yoke in spring else 0.0
        lift_mm = taught.offset_mm + force_n * opens
        return lift_mm, taught.middle_half_mm(force_n)

    def standing(self, fact: str) -> Raised | None:
        """The alarm that the dies of one look raised; None where none stands."""
        for one in self.heads:
            if fact and one.seen.fact == fact:
                return self.told.of(one.made_by.dies).standing
        return None

    def groups(self) -> dict[MadeBy, tuple[HeadMade, ...]]:
        """Heads by what made them, each in the order of the looks."""
        found: dict[MadeBy, list[HeadMade]] = {}
        for one in self.heads:
            found.setdefault(one.made_by, []).append(one)
        return {key: tuple(heads) for key, heads in found.items()}


NO_HEADS = HeadHistory()


def head_history(
    plans: Iterable[WorkedPlan], shop: Shop | None, state: State
) -> HeadHistory:
    """Every head of the record, and what it tells the set-ups.

    Args:
        plans: the worked plans of the folder, one for each id.
        shop: what the builder owns; without it nothing is learnt.
        state: what the record says.
    """
    reading = _Reading(shop)
    made = [one for plan in plans for one in reading.heads(plan, state)]
    made.sort(key=lambda one: (one.seen.at, one.assembly, one.hole))
    if shop is None:
        return HeadHistory(tuple(made))
    strokes = _Strokes(reading.rivets)
    learnt = [
        NamedHead(one.name, measured, strokes.before(one, reading.callout(one)))
        for one, measured in reading.learnt(made)
    ]
    last = {one.measured.dies: one.measured for one in learnt}
    return HeadHistory(tuple(made), heads_told(learnt, yokes_of(shop)), last)


def heads_key(state: State) -> tuple[tuple[object, ...], ...]:
    """What tells whether a head was added or a rivet that was looked at is another."""
    return tuple(
        (
            *(name, row_id, number, _rivet_of(hole)),
            *(len(hole.heads), hole.heads[-1].fact, len(hole.settled)),
        )
        for name, assembly in state.assemblies.items()
        for row_id, numbers in assembly.rows.items()
        for number, hole in numbers.items()
        if hole.heads
    )


def _rivet_of(hole: HoleNow) -> str:
    """The fact that set the rivet in a hole; empty where none sits."""
    return hole.rivet.fact if hole.rivet else ""


class _Reading:
    """Heads and rivets of the record as they are read, plan by plan."""

    def __init__(self, shop: Shop | None) -> None:
        self.shop = shop
        self.yokes = {one.id for one in yokes_of(shop)} if shop else set()
        self.squeezers = {one.title for one in shop.squeezers} if shop else set()
        # Callout and moment of every rivet that sits in a hole.
        self.rivets: list[tuple[str, str]] = []
        self.plans: dict[str, WorkedPlan] = {}
        # A head of each class as it would be with no gap: what lies under it.
        self._under: dict[tuple[str, int], Measured | None] = {}

    def heads(self, plan: WorkedPlan, state: State) -> Iterator[HeadMade]:
        """The heads of one plan."""
        worked, ids = plan.worked, HoleIds(plan.worked.holes)
        self.plans[worked.plan.id] = plan
        for row_id, numbers in state.assembly(worked.plan.id).rows.items():
            for number, hole in numbers.items():
                at = ids.index(row_id, number)
                if at is None:
                    continue
                if hole.rivet is not None:
                    self.rivets.append((str(worked.holes.callout(at)), hole.rivet.at))
                if hole.heads:
                    yield from self._of_hole(plan, at, hole)

    def _of_hole(self, plan: WorkedPlan, at: int, hole: HoleNow) -> Iterator[HeadMade]:
        """The heads that one hole had."""
        holes = plan.worked.holes
        settled = {one.body.check: one for one in hole.settled}
        now = _rivet_of(hole)
        for seen in hole.heads:
            one = HeadMade(
                plan.worked.plan.id,
                at,
                holes.name(at),
                (holes.row_of(at).id, int(holes.number[at])),
                self._made_by(plan, at, seen),
                seen,
                settled.get(seen.fact),
                bool(seen.rivet) and seen.rivet != now,
            )
            yield replace(one, teaches=self._why_not(one, holes.callout(at)))

    def _made_by(self, plan: WorkedPlan, at: int, seen: HeadSeen) -> MadeBy:
        """What made a head, as far as its look and its rivet tell."""
        tools = [one.strip() for one in seen.setup.rpartition("|")[2].split(",")]
        yokes = [one for one in tools if one in self.yokes]
        yoke = seen.body.yoke or (yokes[0] if len(yokes) == 1 else "")
        tool = seen.body.squeezer or ("" if yoke else ", ".join(filter(None, tools)))
        code, under = plan.worked.holes.callout(at), self._rivet(plan, at)
        is_dimpled = under is not None and under.dies.is_dimpled
        return MadeBy(tool, yoke, _size_32nds(code), code.is_flush, is_dimpled)

    def _rivet(self, plan: WorkedPlan, at: int) -> Measured | None:
        """A head at a hole were there no gap; None where nothing can be reckoned."""
        mine = int(plan.worked.stacks.class_of[at])
        key = (plan.worked.plan.id, mine)
        if key not in self._under:
            aim_mm = float(plan.worked["squeeze_aim_mm"][mine])
            self._under[key] = measured_at(
                plan.worked, at, "", "", gap_mm=0.0, height_mm=aim_mm
            )
        return self._under[key]

    def _why_not(self, one: HeadMade, code: Callout) -> str:
        """Why nothing is learnt of a head, the first that holds; empty where it is."""
        seen, body, made_by = one.seen, one.seen.body, one.made_by
        is_told = body.squeezer in self.squeezers and made_by.yoke in self.yokes
        is_other = bool(seen.callout) and seen.callout != str(code)
        whys = {
            NOT_MEASURED: not seen.height_mm,
            OTHER_RIVET: is_other,
            OUT_OF_SHAPE: not SIZE_COUNTS.issuperset(seen.looks),
            NOT_SQUEEZED: not isinstance(code, RivetCode) or _is_other_tool(made_by),
            TOOL_NOT_TOLD: not is_told,
            GAP_NOT_TOLD: body.die_gap_mm is None,
            STALLED: body.is_stalled,
        }
        return next((why for why, is_so in whys.items() if is_so), "")

    def callout(self, one: HeadMade) -> str:
        """What the plan calls for where a head sits."""
        return str(self.plans[one.assembly].worked.holes.callout(one.hole))

    def learnt(self, made: Iterable[HeadMade]) -> Iterator[tuple[HeadMade, Measured]]:
        """Heads that are learnt from; of one measured twice the last figure."""
        last: dict[tuple[str, int, str, float | None], HeadMade] = {}
        for one in made:
            if not one.teaches:
                gap_mm = one.seen.body.die_gap_mm
                key = (one.assembly, one.hole, one.seen.rivet, gap_mm)
                last.pop(key, None)
                last[key] = one
        for one in last.values():
            under = self._rivet(self.plans[one.assembly], one.hole)
            gap_mm, height_mm = one.seen.body.die_gap_mm, one.seen.height_mm
            if under is None or gap_mm is None or height_mm is None:
                continue
            yield (
                one,
                replace(
                    under,
                    dies=one.made_by.dies,
                    height_mm=height_mm,
                    rigid_mm=gap_mm + under.rigid_mm,
                ),
            )


def _size_32nds(code: Callout) -> int:
    """The diameter of a rivet, solid or blind [1/32 in]."""
    if isinstance(code, RivetCode):
        return code.diameter_32nds
    return round(code.diameter_mm / MM_PER_32ND)


def _is_other_tool(made_by: MadeBy) -> bool:
    """Whether the record names another tool than a squeezer."""
    is_squeezer = made_by.yoke or "squeezer" in made_by.tool.lower()
    return bool(made_by.tool) and not is_squeezer


class _Strokes:
    """How many rivets of a size and kind had been set by a moment."""

    def __init__(self, rivets: Iterable[tuple[str, str]]) -> None:
        self._at: dict[str, list[str]] = {}
        for callout, at in rivets:
            self._at.setdefault(_kind(callout), []).append(at)
        for moments in self._at.values():
            moments.sort()

    def before(self, one: HeadMade, callout: str) -> int:
        """Rivets like a head's that had been set when it was looked at."""
        return bisect_right(self._at.get(_kind(callout), []), one.seen.at)


def _kind(callout: str) -> str:
    """A callout without its length: those share the dies."""
    return callout.rpartition("-")[0]
