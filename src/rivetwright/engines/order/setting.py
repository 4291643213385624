"""By which setups each hole of a plan can be set: from reach and squeeze.

A squeezer counts where its yoke gets there and the pieces owned hold the head in its
band. Tools that are tight are taken where the plan names them, or nothing else gets
there clear of everything.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from weakref import WeakKeyDictionary

import numpy as np

from rivetwright.engines.order.figures import Figures
from rivetwright.engines.reach.fit import CLEAR, NO, TIGHT, Fits, fits
from rivetwright.engines.reach.throat import YOKE
from rivetwright.engines.reach.ways import ways_of
from rivetwright.engines.squeeze.set_up import SetUp, Verdict
from rivetwright.engines.squeeze.set_ups import SetUps, set_ups
from rivetwright.engines.squeeze.shared import share_gaps
from rivetwright.engines.squeeze.stacking import Pieces
from rivetwright.engines.squeeze.taught import UNTAUGHT, ShopTaught
from rivetwright.engines.worked import Worked
from rivetwright.model.shop import Die, Shop, Tool
from rivetwright.model.stage import Setup
from rivetwright.standards.reach import Way, squeezer_way
from rivetwright.standards.source import Looked

OWNED = "owned"
SQUEEZED = "squeezed"
HAND_SQUEEZER = "hand squeezer"
_BAND_HELD, _BAND_UNKNOWN, _BAND_LOST = 0, 1, 2


@dataclass(frozen=True)
class SetBy:
    """One setup as a person rigs it.

    `tool` is the squeezer's title or the tool's id, `yoke` the yoke's id; `pieces` is
    None where nothing is put in or nothing is known. `holds` tells whether the head
    comes out in its band: True, or None where that is not known, False where not.
    """

    way: str
    tool: str
    yoke: str
    dies: str
    pieces: Pieces | None
    gap_mm: float | None
    callout: str
    people: int
    is_noisy: bool
    needs_both_hands: bool
    is_tight: bool
    holds: bool | None

    @property
    def tools(self) -> tuple[str, ...]:
        """Tools by id, as a plan names them."""
        return (self.yoke,) if self.yoke else (self.tool,) if self.tool else ()

    @property
    def recorded(self) -> tuple[str, ...]:
        """Tools as a run names them: with the squeezer where it is one by hand."""
        return (*self.tools, self.tool) if self.way == HAND_SQUEEZER else self.tools

    def setup(self, figures: Figures) -> Setup:
        """As a stage asks for it."""
        return Setup(
            self.tool,
            self.yoke or None,
            self.dies,
            self.gap_mm,
            self.callout,
            self.people,
            figures.rivet_s(self.way),
        )


@dataclass(frozen=True)
class Limits:
    """What is left out tonight.

    Args:
        alone: nothing that takes two people.
        quiet: nothing noisy.
        left_out: tools by id or title that are broken or lent.
    """

    alone: bool = False
    quiet: bool = False
    left_out: frozenset[str] = frozenset()

    def allows(self, one: SetBy) -> bool:
        """Whether a setup may be used tonight."""
        return not (
            (self.alone and one.people > 1)
            or (self.quiet and one.is_noisy)
            or one.tool in self.left_out
            or one.yoke in self.left_out
        )


# Classes that each yoke gets to among the holes that are set in one go.
Together = tuple[tuple[str, tuple[int, ...]], ...]


@dataclass
class _Found:
    """Set-ups of a plan, each class by itself and as they share gaps."""

    shop: Shop
    taught: ShopTaught
    alone: SetUps
    shared: dict[Together, SetUps] = field(default_factory=dict)


_SET_UPS: WeakKeyDictionary[Worked, _Found] = WeakKeyDictionary()


def _set_ups(
    worked: Worked, shop: Shop, taught: ShopTaught, together: Together
) -> tuple[SetUps, SetUps]:
    """The set-ups of a plan, alone and sharing gaps, found once."""
    known = _SET_UPS.get(worked)
    if known is None or (known.shop, known.taught) != (shop, taught):
        found = set_ups(worked, shop, taught=taught)
        known = _SET_UPS[worked] = _Found(shop, taught, found)
    if together not in known.shared:
        by_yoke = dict(together)
        batches = [
            share_gaps(batch, np.flatnonzero(np.isin(batch.needs.classes, inside)))
            for batch in known.alone.batches
            for inside in (by_yoke.get(batch.yoke.id, ()),)
        ]
        known.shared[together] = SetUps(worked, batches)
    return known.alone, known.shared[together]


class Setting:
    """Setups for the holes of a plan; equal holes are asked once.

    Args:
        worked: the worked-out plan.
        shop: what is owned; None: as the plan names tools.
        limits: what is left out tonight.
        taught: what measured heads taught of dies and yokes.
        holes: those that are set in one go, which may share a gap.
    """

    def __init__(
        self,
        worked: Worked,
        shop: Shop | None,
        limits: Limits,
        taught: ShopTaught = UNTAUGHT,
        holes: Sequence[int] = (),
    ) -> None:
        self.worked, self.shop, self.limits = worked, shop, limits
        self.taught, self.holes = taught, np.array(holes, dtype=np.int64)
        self.found: Fits | None = None
        tools = shop.tools if shop else ()
        self.owned = {tool.id for tool in tools if tool.state == OWNED}
        if worked.shop is not None:
            self.found = fits(worked)
        self._known: dict[tuple[object, ...], tuple[SetBy, ...]] = {}

    def at(self, hole: int) -> tuple[SetBy, ...]:
        """Every setup that may set a hole tonight; empty: none.

        Args:
            hole: index of the hole.
        """
        key = (
            int(self.worked.stacks.class_of[hole]),
            self._fit(hole),
            self._planned(hole),
            self._takes_two(hole),
        )
        if key not in self._known:
            self._known[key] = self._ways(hole)
        return self._known[key]

    def _fit(self, hole: int) -> bytes:
        return b"" if self.found is None else self.found.fit[:, hole].tobytes()

    def _planned(self, hole: int) -> tuple[str, ...]:
        access = self.worked.holes.row_of(hole).access
        return access.tools if access else ()

    def _takes_two(self, hole: int) -> bool:
        """Whether the plan's step needs a helper; asked only where reach is not."""
        step = int(self.worked.holes.step[hole])
        needs = self.worked.plan.steps[step].needs if step >= 0 else ()
        return any(need.kind == "helper" for need in needs)

    def _ways(self, hole: int) -> tuple[SetBy, ...]:
        if self.shop is None or self.found is None or not self.found.tools:
            return tuple(filter(self.limits.allows, self._as_planned(hole)))
        ways = [way for way in self._by_tools(hole) if self.limits.allows(way)]
        ways = self._as_meant(hole, ways)
        held = [_band(way) for way in ways]
        best = min(held, default=_BAND_HELD)
        kept = [way for way, one in zip(ways, held, strict=True) if one == best]
        # A tight tool that the plan names is what its maker set it with.
        planned = set(self._planned(hole))
        best_fit = [
            way for way in kept if not way.is_tight or planned.intersection(way.tools)
        ]
        return tuple(best_fit or kept)

    def _as_meant(self, hole: int, ways: list[SetBy]) -> list[SetBy]:
        """By the way that the plan's tool works, else squeezed where that can be.

        Any yoke may do what the plan names a yoke for; a gun is another matter.
        """
        planned = set(self._planned(hole))
        meant = {_family(way) for way in ways if planned.intersection(way.tools)}
        if not meant and any(_family(way) == SQUEEZED for way in ways):
            meant = {SQUEEZED}
        return [way for way in ways if not meant or _family(way) in meant]

    def _as_planned(self, hole: int) -> Iterator[SetBy]:
        """Without a shop to judge by: the tool that the plan names."""
        solid = bool(self.worked.of_holes("is_solid")[hole])
        planned = self._planned(hole)
        yield SetBy(
            way="squeezer" if solid else "puller",
            tool=planned[0] if planned else "",
            yoke="",
            dies="",
            pieces=None,
            gap_mm=None,
            callout=str(self.worked.holes.callout(hole)),
            people=2 if self._takes_two(hole) else 1,
            is_noisy=False,
            needs_both_hands=False,
            is_tight=False,
            holds=None,
        )

    def _by_tools(self, hole: int) -> Iterator[SetBy]:
        assert self.found is not None
        assert self.shop is not None
        for tool, fit in zip(self.found.tools, self.found.fit[:, hole], strict=True):
            # What reach could not judge, the plan may name all the same.
            is_named = tool.id in self._planned(hole)
            gets_there = fit in (TIGHT, CLEAR) or (fit != NO and is_named)
            if not gets_there or tool.id not in self.owned:
                continue
            if tool.kind == YOKE and self.shop.squeezers:
                yield from self._by_yoke(hole, tool, fit == TIGHT)
                continue
            for way in ways_of(tool, self.shop):
                yield self._by_tool(hole, tool, way, fit == TIGHT)

    def _by_yoke(self, hole: int, yoke: Tool, is_tight: bool) -> Iterator[SetBy]:
        for one in self._squeezed(hole):
            if one.yoke.id == yoke.id:
                way = squeezer_way(one.squeezer.kind)
                yield replace(
                    self._by_tool(hole, yoke, way, is_tight),
                    tool=one.squeezer.title,
                    yoke=yoke.id,
                    dies=_dies(one.pieces),
                    pieces=one.pieces,
                    gap_mm=None if one.gap_mm is None else round(one.gap_mm, 3),
                    holds=_holds(one),
                )

    def _squeezed(self, hole: int) -> Iterator[SetUp]:
        """Set-ups of a hole, with a shared gap where that holds its head as well."""
        assert self.shop is not None
        alone, shared = _set_ups(self.worked, self.shop, self.taught, self._together)
        for own, one in zip(alone.of_hole(hole), shared.of_hole(hole), strict=True):
            yield one if one.verdict is own.verdict else own

    @cached_property
    def _together(self) -> Together:
        """Classes that each yoke gets to among the holes set in one go."""
        assert self.found is not None
        class_of, fit = self.worked.stacks.class_of, self.found.fit
        return tuple(
            (tool.id, tuple(np.unique(class_of[self.holes[fit[k, self.holes] != NO]])))
            for k, tool in enumerate(self.found.tools)
            if tool.kind == YOKE
        )

    def _by_tool(
        self, hole: int, tool: Tool, way: Looked[Way], is_tight: bool
    ) -> SetBy:
        code = str(self.worked.holes.callout(hole))
        return SetBy(
            way=way.value.name,
            tool=tool.id,
            yoke="",
            dies=self._set_of(hole, way.value.name),
            pieces=None,
            gap_mm=None,
            callout=code,
            people=2 if way.value.takes_two else 1,
            is_noisy=way.value.is_noisy,
            needs_both_hands=way.value.needs_both_hands,
            is_tight=is_tight,
            holds=True,
        )

    def _set_of(self, hole: int, way: str) -> str:
        """The set that goes into the gun, by kind and size."""
        if way == "back-riveting":
            return "back-rivet set"
        if way != "gun and bar":
            return ""
        if bool(self.worked.of_holes("is_flush")[hole]):
            return "flush set"
        size = float(self.worked.of_holes("shank_diameter_mm")[hole])
        return f"cupped set {size:.1f}" if np.isfinite(size) else "cupped set"


def _holds(one: SetUp) -> bool | None:
    if one.verdict is Verdict.IN_BAND:
        return True
    return None if one.verdict is Verdict.NOT_MEASURED else False


def _family(way: SetBy) -> str:
    """Squeezed, whichever squeezer; else the way itself."""
    return SQUEEZED if way.yoke else way.way


def _band(way: SetBy) -> int:
    """Ways that hold the head in its band go before those of which it is not known."""
    if way.holds is None:
        return _BAND_UNKNOWN
    return _BAND_HELD if way.holds else _BAND_LOST


def _dies(pieces: Pieces | None) -> str:
    """Both dies as one word, to tell whether they have to be changed."""
    return f"{_die(pieces.fixed)}/{_die(pieces.ram)}" if pieces else ""


def _die(die: Die | None) -> str:
    if die is None:
        return "jaw"
    size = f"-{die.diameter_32nds}" if die.diameter_32nds else ""
    return f"{die.kind}{size}-{die.length_mm:.3f}"


def setups_of(ways: Iterable[SetBy]) -> dict[tuple[object, ...], SetBy]:
    """Setups by what has to be changed to get to them, the clear one of several.

    Args:
        ways: ways of setting.
    """
    found: dict[tuple[object, ...], SetBy] = {}
    for one in ways:
        key = rig_key(one)
        known = found.get(key)
        if known is None or (known.is_tight and not one.is_tight):
            found[key] = one
    return found


def rig_key(one: SetBy) -> tuple[object, ...]:
    """What makes two setups one and the same on the bench.

    Args:
        one: a way of setting.
    """
    return one.tool, one.yoke, one.dies, one.gap_mm, one.callout, one.people, one.way
