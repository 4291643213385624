"""Tools at a hole, along the rows of an assembly, and what a whole project needs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from rivetwright.bench.open import Assembly
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.reach.fit import (
    CLEAR,
    NO,
    NOT_JUDGED,
    OWNED,
    TIGHT,
    Fits,
    ToolFit,
    fits,
    tool_at,
    tools_at,
)
from rivetwright.engines.reach.preparing import SheetWork, preparing_at
from rivetwright.engines.reach.throat import YOKE
from rivetwright.engines.reach.tool_columns import NONE, ON_ORDER, VERDICT_TIGHT
from rivetwright.engines.reach.ways import ways_of
from rivetwright.engines.squeeze.cover import Cover, Job, cover
from rivetwright.engines.worked import Worked
from rivetwright.errors import NotFound
from rivetwright.model.shop import Shop, Tool
from rivetwright.standards.reach import Way

BARS = ("bar", "back-rivet")


@dataclass(frozen=True)
class ToolAtHole:
    """One tool at a hole: how it fits, by which ways, whether the plan names it."""

    fit: ToolFit
    ways: tuple[Way, ...]
    is_planned: bool


@dataclass(frozen=True)
class ToolsAtHole:
    """Every tool of the shop at a hole, those that get there first.

    `preparing` is what drill, cage and dimple dies find before the parts go together.
    """

    there: tuple[ToolAtHole, ...]
    others: tuple[ToolAtHole, ...]
    preparing: tuple[SheetWork, ...]

    @property
    def has_gun(self) -> bool:
        """Whether a bar or a plate gets there."""
        return any(one.fit.tool.kind in BARS for one in self.there)


def tools_at_hole(worked_plan: WorkedPlan, hole: int) -> ToolsAtHole | None:
    """Every tool at a hole; None without a shop."""
    worked = worked_plan.worked
    shop = worked.shop
    if shop is None:
        return None
    access = worked.holes.row_of(hole).access
    planned = access.tools if access else ()
    every = [
        ToolAtHole(
            fit,
            tuple(way.value for way in ways_of(fit.tool, shop)),
            fit.tool.id in planned,
        )
        for fit in tools_at(worked, hole)
    ]
    every.sort(key=_rank)
    return ToolsAtHole(
        tuple(one for one in every if one.fit.gets_there),
        tuple(one for one in every if not one.fit.gets_there),
        preparing_at(worked, hole),
    )


def _rank(one: ToolAtHole) -> tuple[bool, int, bool, float]:
    """Owned and clear first; of those that do not fit, what lacks least."""
    order = ("clear", "tight", "not judged", "no")
    lacks = one.fit.slack_mm < 0
    is_owned = one.fit.tool.state == OWNED
    slack = -one.fit.slack_mm if lacks else 0.0
    return (
        not one.fit.gets_there,
        (0 if is_owned else 2) + order.index(one.fit.fit) if not lacks else 9,
        not one.is_planned,
        slack,
    )


@dataclass(frozen=True)
class RowTools:
    """Holes of a row that the same tools get to.

    `nearest` is what decides for the tool that fits best or lacks least: of those
    owned, or of all where none gets there. None where nothing limits it.
    """

    holes: tuple[int, ...]
    planned: tuple[str, ...]
    clear: tuple[Tool, ...]
    tight: tuple[Tool, ...]
    unjudged: tuple[Tool, ...]
    nearest: ToolFit | None
    verdict: str
    takes_two: bool

    @property
    def owned_clear(self) -> tuple[Tool, ...]:
        """Owned tools that get there clear."""
        return tuple(tool for tool in self.clear if tool.state == OWNED)

    @property
    def owned_tight(self) -> tuple[Tool, ...]:
        """Owned tools that get there tightly."""
        return tuple(tool for tool in self.tight if tool.state == OWNED)

    @property
    def on_order(self) -> tuple[Tool, ...]:
        """Tools on order that get there."""
        return tuple(t for t in (*self.clear, *self.tight) if t.state != OWNED)


def row_tools(worked_plan: WorkedPlan) -> tuple[RowTools, ...]:
    """The tools of every row in the order of the plan; empty without a shop."""
    worked = worked_plan.worked
    if worked.shop is None or not fits(worked).tools:
        return ()
    found = fits(worked)
    _, of_hole = found.patterns
    runs: list[list[int]] = []
    for hole in range(len(worked.holes)):
        before = runs[-1][-1] if runs else -1
        same = (
            before >= 0
            and worked.holes.row[hole] == worked.holes.row[before]
            and of_hole[hole] == of_hole[before]
            and worked.at("tool_verdict", hole) == worked.at("tool_verdict", before)
        )
        if same:
            runs[-1].append(hole)
        else:
            runs.append([hole])
    return tuple(_row_tools(worked, found, run) for run in runs)


def _row_tools(worked: Worked, found: Fits, holes: Sequence[int]) -> RowTools:
    """The tools of some like holes; what decides is told of the tightest of them."""
    first = holes[0]
    by_fit = {
        kind: tuple(
            tool
            for tool, fit in zip(found.tools, found.fit[:, first], strict=True)
            if fit == kind
        )
        for kind in (CLEAR, TIGHT, NOT_JUDGED)
    }
    access = worked.holes.row_of(first).access
    return RowTools(
        tuple(holes),
        access.tools if access else (),
        by_fit[CLEAR],
        by_fit[TIGHT],
        by_fit[NOT_JUDGED],
        _nearest(worked, found, holes),
        str(worked.at("tool_verdict", first)),
        bool(worked.at("takes_two", first) == 1),
    )


def _nearest(worked: Worked, found: Fits, holes: Sequence[int]) -> ToolFit | None:
    """The best of the tools that count, at the hole where it is tightest."""
    fit = found.fit[:, holes[0]]
    owned = found.is_owned & (fit != NO)
    counts = owned if owned.any() else fit != NO
    if not counts.any():
        counts = np.ones(len(fit), dtype=bool)
    slack = np.where(counts[:, None], found.slack_mm[:, list(holes)], -np.inf)
    least = slack.min(axis=1)
    k = int(np.where(counts, least, -np.inf).argmax())
    if np.isinf(least[k]) and least[k] > 0:
        return None
    return tool_at(worked, found.tools[k], holes[int(slack[k].argmin())])


@dataclass(frozen=True)
class WaitingHoles:
    """Holes of one assembly that wait for tools, or that no tool reaches."""

    assembly: Assembly
    holes: tuple[int, ...]
    tools: tuple[Tool, ...]
    nearest: ToolFit | None


@dataclass(frozen=True)
class NeededTools:
    """What a project needs of a shop.

    `cover` is the smallest set that does every set-up which owned yokes reach;
    `waiting` are holes that only a tool on order reaches, `nobody` those that no tool
    does, `tight` those to be tried dry first. What is set is left out.
    """

    shop: Shop
    assemblies: tuple[Assembly, ...]
    cover: Cover
    waiting: tuple[WaitingHoles, ...]
    nobody: tuple[WaitingHoles, ...]
    tight: tuple[WaitingHoles, ...]

    def holes_of(self, job: Job) -> tuple[Assembly, tuple[int, ...]]:
        """The holes of a job, and the assembly they belong to."""
        assembly = self.assemblies[job.plan]
        worked = assembly.worked_plan.worked
        here = np.flatnonzero(worked.stacks.class_of == job.hole_class).tolist()
        return assembly, tuple(h for h in here if reached_by(worked, h) == job.yokes)


def needed_tools(assemblies: Iterable[Assembly], shop: Shop | None) -> NeededTools:
    """What the assemblies of a project need; plans after a bulletin are left out.

    Raises:
        NotFound: there is no shop.
    """
    if shop is None:
        raise NotFound(
            asked="look at the tools",
            found="no shop file in this folder",
            allowed="a folder with a shop file: tools, squeezers, dies, shims",
            do="write one as docs/shop-file.md says",
        )
    now = tuple(one for one in assemblies if one.bulletin is None)
    plans = [one.worked_plan.worked for one in now]
    lines = [(one, list(_still_to_set(one.worked_plan))) for one in now]
    return NeededTools(
        shop,
        now,
        cover(plans, shop, reaching=reached_by),
        _gathered(lines, ON_ORDER),
        _gathered(lines, NONE),
        _gathered(lines, VERDICT_TIGHT),
    )


def reached_by(worked: Worked, hole: int) -> frozenset[str]:
    """Ids of the owned yokes that reach a hole."""
    found = fits(worked)
    return frozenset(
        tool.id
        for tool, fit in zip(found.tools, found.fit[:, hole], strict=True)
        if tool.kind == YOKE and tool.state == OWNED and fit >= TIGHT
    )


def _still_to_set(worked_plan: WorkedPlan) -> Iterator[RowTools]:
    """Rows with the holes that are not set yet."""
    is_set = worked_plan.worked.holes.is_set
    for row in row_tools(worked_plan):
        if not all(is_set[hole] for hole in row.holes):
            yield row


def _gathered(
    lines: Iterable[tuple[Assembly, Sequence[RowTools]]], verdict: str
) -> tuple[WaitingHoles, ...]:
    """Holes with a verdict, those together that wait for the same for one reason."""
    found: dict[tuple[object, ...], tuple[Assembly, list[int], RowTools]] = {}
    for assembly, rows in lines:
        is_set = assembly.worked_plan.worked.holes.is_set
        for row in rows:
            if row.verdict != verdict:
                continue
            near = row.nearest
            why = (near.tool.id, near.limit, near.has_mm, near.needs_mm) if near else ()
            key = (assembly.key, row.on_order, why)
            there = found.setdefault(key, (assembly, [], row))
            there[1].extend(hole for hole in row.holes if not is_set[hole])
    return tuple(
        WaitingHoles(assembly, tuple(holes), row.on_order, row.nearest)
        for assembly, holes, row in found.values()
    )
