"""Tools as pages show them: at a hole, along rows, owned, and wanted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rivetwright.bench.open import Assembly
from rivetwright.bench.tools import (
    NeededTools,
    RowTools,
    ToolAtHole,
    ToolsAtHole,
    WaitingHoles,
    row_tools,
    tools_at_hole,
)
from rivetwright.engines.reach.fit import ToolFit
from rivetwright.engines.squeeze.cover import Job
from rivetwright.model.shop import Die, GunSet, Shop, Tool
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import NOTHING, Said, System
from rivetwright.texts.shop_words import say_mass
from rivetwright.texts.tool_words import (
    say_die,
    say_fit,
    say_largest,
    say_size,
    say_state,
    say_tools,
    say_way,
)
from rivetwright.web.addresses import hole_address, hole_words
from rivetwright.web.figures import system_of

SIZES = ("reach_mm", "gap_mm", "nose_mm", "half_width_mm", "closed_height_mm")


@dataclass(frozen=True)
class ToolLine:
    """One tool at a hole: how it fits, what decides, how it is used."""

    id: str
    title: str
    state: str
    fit: str
    why: Said
    ways: tuple[str, ...]
    is_planned: bool


@dataclass(frozen=True)
class PreparingLine:
    """One operation on one sheet before the parts go together."""

    part: str
    operation: str
    tools: tuple[tuple[str, str, Said], ...]


@dataclass(frozen=True)
class ShownTools:
    """The tools of a hole card."""

    there: tuple[ToolLine, ...]
    others: tuple[ToolLine, ...]
    preparing: tuple[PreparingLine, ...]
    has_gun: bool


@dataclass(frozen=True)
class RowLine:
    """The tools of some like holes of a row, in words."""

    holes: str
    address: str
    planned: str
    clear: str
    tight: str
    on_order: str
    verdict: str
    why: Said
    is_tight_at_best: bool
    takes_two: bool


@dataclass(frozen=True)
class HoleLinks:
    """Holes of one assembly with the page of the first, what they wait for, and why."""

    assembly: str
    holes: str
    address: str
    tools: str
    why: Said


def shown_tools(assembly: Assembly, hole: int) -> ShownTools | None:
    """The tools of a hole for its card; None without a shop."""
    known = tools_at_hole(assembly.worked_plan, hole)
    return _shown(known, system_of(assembly.worked_plan)) if known else None


def _shown(known: ToolsAtHole, system: System) -> ShownTools:
    """Every tool in words."""
    return ShownTools(
        tuple(_line(one, system) for one in known.there),
        tuple(_line(one, system) for one in known.others),
        tuple(
            PreparingLine(
                work.part,
                work.operation,
                tuple((t.tool.id, t.fit, _why(t, system)) for t in work.tools),
            )
            for work in known.preparing
        ),
        known.has_gun,
    )


def _line(one: ToolAtHole, system: System) -> ToolLine:
    """One tool in words."""
    tool = one.fit.tool
    return ToolLine(
        tool.id,
        tool.title,
        say_state(tool),
        one.fit.fit,
        _why(one.fit, system),
        tuple(say_way(way) for way in one.ways),
        one.is_planned,
    )


def _why(fit: ToolFit | None, system: System) -> Said:
    """The one thing that decides; nothing where nothing limits it."""
    return say_fit(fit, system) if fit else Said("")


def row_lines(assembly: Assembly) -> list[RowLine]:
    """The tools of every row of an assembly."""
    system = system_of(assembly.worked_plan)
    return [_row_line(assembly, row, system) for row in row_tools(assembly.worked_plan)]


def _row_line(assembly: Assembly, row: RowTools, system: System) -> RowLine:
    """One line of the table of rows."""
    worked_plan = assembly.worked_plan
    first = worked_plan.worked.holes.name(row.holes[0])
    is_asked = not row.owned_clear
    return RowLine(
        hole_words(worked_plan, row.holes),
        hole_address(assembly.key, first),
        ", ".join(row.planned),
        say_tools(row.owned_clear),
        say_tools(row.owned_tight),
        say_tools(row.on_order),
        row.verdict,
        _why(row.nearest, system) if is_asked else Said(""),
        is_asked and bool(row.owned_tight),
        row.takes_two,
    )


def waiting_lines(some: Iterable[WaitingHoles]) -> list[HoleLinks]:
    """Holes that wait, with what they wait for."""
    return [
        _links(
            one.assembly,
            one.holes,
            say_tools(one.tools),
            _why(one.nearest, system_of(one.assembly.worked_plan)),
        )
        for one in some
    ]


def job_links(needs: NeededTools, jobs: Iterable[Job]) -> list[HoleLinks]:
    """Holes of some jobs, with the yokes that reach them."""
    found = ((job, *needs.holes_of(job)) for job in jobs)
    return [
        _links(assembly, holes, ", ".join(sorted(job.yokes)), Said(""))
        for job, assembly, holes in found
        if holes
    ]


def _links(
    assembly: Assembly, holes: tuple[int, ...], tools: str, why: Said
) -> HoleLinks:
    """Some holes of an assembly, and the page of the first."""
    plan = assembly.worked_plan.worked
    return HoleLinks(
        plan.plan.name,
        hole_words(assembly.worked_plan, holes),
        hole_address(assembly.key, plan.holes.name(holes[0])),
        tools,
        why,
    )


@dataclass(frozen=True)
class OwnedTable:
    """Tools of one kind: which sizes they have, and a line for each."""

    kind: str
    sizes: tuple[str, ...]
    has_mass: bool
    lines: tuple[tuple[Tool, tuple[Said, ...], Said, str, str], ...]


def owned_tables(shop: Shop, system: System) -> list[OwnedTable]:
    """The tools of a shop by kind; a size that none of a kind has is left out."""
    kinds = dict.fromkeys(tool.kind for tool in shop.tools)
    return [_table(shop, kind, system) for kind in kinds]


def _table(shop: Shop, kind: str, system: System) -> OwnedTable:
    """One kind of tool."""
    tools = [tool for tool in shop.tools if tool.kind == kind]
    sizes = tuple(
        name for name in SIZES if any(getattr(t, name) is not None for t in tools)
    )
    lines = tuple(
        (
            tool,
            tuple(_size(tool, name, system) for name in sizes),
            say_mass(tool.mass_kg, system) if tool.mass_kg else Said(NOTHING),
            say_largest(tool.diameter_32nds_max),
            say_state(tool),
        )
        for tool in tools
    )
    return OwnedTable(kind, sizes, any(tool.mass_kg for tool in tools), lines)


def _size(tool: Tool, name: str, system: System) -> Said:
    """A size of a tool: a closed height that is left out was not measured."""
    nothing = "not_measured" if name == "closed_height_mm" else "open"
    return say_size(getattr(tool, name), system, nothing)


def die_lines(dies: Iterable[Die], system: System) -> list[tuple[str, Said, Said]]:
    """Dies in words, with length and face."""
    unknown = Said(NOTHING)
    return [
        (
            say_die(die),
            say_size(die.length_mm, system),
            say_size(die.face_mm, system) if die.face_mm else unknown,
        )
        for die in dies
    ]


def sizes_in_words(lengths_mm: Iterable[float], system: System) -> str:
    """Lengths of shims or pins in one line; nothing for none."""
    said = [say_size(one, system).main for one in lengths_mm]
    return ", ".join(said) or catalogue().word("tool", "none")


def gun_set_words(gun_set: GunSet) -> str:
    """A set for the gun, and the rivet that a cup fits."""
    words = catalogue().word("gun_set", gun_set.kind)
    size = gun_set.diameter_32nds
    return f"{words} {say_largest(size)}" if size is not None else words
