"""The commands about the shop: which tool gets there, and what the air gives."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.text import Text

from rivetwright.bench.air import AirNow, air_now
from rivetwright.bench.open import open_plan, open_shop
from rivetwright.bench.shop_result import air_result, tools_result
from rivetwright.bench.tools import RowTools, ToolAtHole, row_tools, tools_at_hole
from rivetwright.cli.columns import NOTHING, Column, hanging, lay_out
from rivetwright.cli.screen import progress_bar, results
from rivetwright.cli.tables import holes_words, print_table, unit_system
from rivetwright.cli.words import say
from rivetwright.engines.plan import WorkedPlan
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import System
from rivetwright.texts.shop_words import (
    say_figure,
    say_limit,
    say_shop_title,
    say_suspect,
)
from rivetwright.texts.tool_words import say_fit, say_tools, say_way
from rivetwright.units.force import parse_pressure_kpa

LABEL = 12
AsJson = Annotated[bool, typer.Option("--json", help="Write JSON, in mm, kPa, m3/s.")]


def tools(
    file: Annotated[Path, typer.Argument(help="A plan file.", metavar="FILE")],
    hole: Annotated[
        str | None,
        typer.Argument(help="Row and number, such as A19:8.", metavar="HOLE"),
    ] = None,
    shop: Annotated[
        Path | None,
        typer.Option(
            help="The shop file; left out, shop.yaml beside the plan.", metavar="FILE"
        ),
    ] = None,
    bulletin: Annotated[
        list[Path] | None,
        typer.Option("--bulletin", metavar="FILE", help="Apply a bulletin first."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """List the tools that get to each row, or every tool at one hole.

    \b
    Examples:
      rivetwright tools examples/ostrel/aileron.yaml
      rivetwright tools examples/ostrel/aileron.yaml A19:8
      rivetwright tools flap.yaml --shop shop.yaml --json
    """
    place = shop or file.parent / "shop.yaml"
    with progress_bar() as progress:
        worked_plan = open_plan(file, bulletin or (), progress, place)
    index = None if hole is None else worked_plan.worked.holes.index(hole)
    if as_json:
        _dump(tools_result(worked_plan, index))
    elif index is None:
        _rows(worked_plan)
    else:
        _at_hole(worked_plan, index)


def air(
    shop: Annotated[Path, typer.Argument(help="A shop file.", metavar="SHOP")],
    needed: Annotated[
        str,
        typer.Option(
            help="Pressure the tool needs, such as 70 psi; left out, its rating.",
            metavar="PRESSURE",
        ),
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Work out what the air gives the squeezer, and what may starve it.

    \b
    Examples:
      rivetwright air examples/ostrel/shop.yaml
      rivetwright air shop.yaml --needed "70 psi" --json
    """
    needed_kpa = float(parse_pressure_kpa(needed)) if needed else None
    now = air_now(open_shop(shop), needed_kpa=needed_kpa)
    if as_json:
        _dump(air_result(now))
    else:
        _air(now)


def _dump(value: object) -> None:
    """Write JSON on stdout, in letters that every terminal takes."""
    json.dump(value, sys.stdout, allow_nan=False)
    sys.stdout.write("\n")


def _rows(worked_plan: WorkedPlan) -> None:
    """The table of rows with their tools."""
    screen, system = results(), unit_system(worked_plan)
    rows = row_tools(worked_plan)

    def cells(written: Any) -> list[str]:
        return [written(row) or NOTHING for row in rows]

    table = lay_out(
        (
            Column(
                say("heading.holes"), cells(lambda r: holes_words(worked_plan, r.holes))
            ),
            Column(
                say("heading.planned"), cells(lambda r: ", ".join(r.planned)), goes=2
            ),
            Column(say("heading.clear"), cells(_ids_clear), narrow=12),
            Column(say("heading.tight"), cells(_ids_tight), narrow=9),
            Column(
                say("heading.on_order"),
                cells(lambda r: say_tools(r.on_order)),
                narrow=12,
                goes=1,
            ),
            Column(
                say("heading.in_the_way"),
                cells(lambda r: _in_the_way(r, system)),
                narrow=24,
            ),
        ),
        screen.width,
    )
    print_table(screen, table)
    screen.print("\n" + say("tools.sizes"), markup=False)


def _ids_clear(row: RowTools) -> str:
    """Owned tools that are clear."""
    return ", ".join(tool.id for tool in row.owned_clear)


def _ids_tight(row: RowTools) -> str:
    """Owned tools that are tight."""
    return ", ".join(tool.id for tool in row.owned_tight)


def _in_the_way(row: RowTools, system: System) -> str:
    """What decides where no owned tool is clear."""
    if row.owned_clear or row.nearest is None:
        return ""
    return say_fit(row.nearest, system).main


def _at_hole(worked_plan: WorkedPlan, hole: int) -> None:
    """Every tool at one hole, and what prepares it."""
    screen, system = results(), unit_system(worked_plan)
    holes = worked_plan.worked.holes
    screen.print(Text(f"{holes.name(hole)}  {holes.callout(hole)}", style="bold"))
    at = tools_at_hole(worked_plan, hole)
    for one in (*at.there, *at.others) if at else ():
        _tool_line(screen, one, system)
    if at and at.preparing:
        screen.print("\n" + say("tools.preparing"), markup=False)
    for work in at.preparing if at else ():
        operation = catalogue().word("preparing", work.operation)
        head = f"{work.part}, {operation}"
        said = (_fit_words(one, system) for one in work.tools)
        _hanging(screen, f"  {head}: ", "; ".join(said) or say("tools.not_drawn"))
    screen.print("\n" + say("tools.sizes"), markup=False)


def _tool_line(screen: Console, one: ToolAtHole, system: System) -> None:
    """One tool: how it fits, what decides, how it is used."""
    tool = one.fit.tool
    words = catalogue().word("tool_fit", one.fit.fit)
    told = [f"{say_tools((tool,))} {tool.title}".strip()]
    if one.fit.fit != "clear":
        told.append(say_fit(one.fit, system).main)
    if one.fit.gets_there:
        told += [say_way(way) for way in one.ways]
    _hanging(screen, f"  {words}".ljust(LABEL), "; ".join(filter(None, told)))


def _fit_words(fit: Any, system: System) -> str:
    """A tool that prepares, with what is in its way."""
    words = f"{fit.tool.id} {catalogue().word('tool_fit', fit.fit)}"
    why = say_fit(fit, system).main if fit.fit != "clear" else ""
    return f"{words} ({why})" if why else words


def _hanging(screen: Console, label: str, words: str) -> None:
    """A label, and words that go on below themselves."""
    said = hanging(label, words, screen.width, indent=min(len(label), LABEL))
    screen.print(Text(said), soft_wrap=True)


def _air(now: AirNow) -> None:
    """The air on the terminal: figures, what bounds it, what may starve the tool."""
    screen = results()
    system: System = "mm" if now.shop.unit == "mm" else "in"
    words = catalogue()
    for name in now.supply.missing:
        screen.print(say("air.missing", what=words.word("air_missing", name)))
    for title, figures in now.groups:
        screen.print(Text(words.word("shop_group", title), style="bold"))
        _figures(screen, [(say_shop_title(f.name), f) for f in figures], system)
    short = now.supply.first_short
    if short is not None:
        gives = say_figure(short.figure, system).main
        words_short = f"{say_limit(short, now.supply)} {gives}"
        _hanging(screen, say("air.short") + " ", words_short)
    screen.print(Text(say("air.starves"), style="bold"))
    for at, one in enumerate(now.suspects, start=1):
        told = say_suspect(one, now.supply, system)
        loss = f" ({told.loss})" if told.loss else ""
        _hanging(screen, f"{at:3} ", f"{told.title}{loss}. {told.test}")
    screen.print(f"\n{words.word('caution', 'squeezer')}", markup=False)


def _figures(
    screen: Console, figures: Iterable[tuple[str, Any]], system: System
) -> None:
    """Titles, figures and how far they can be trusted, below each other."""
    told = [
        (title, say_figure(one, system).main, str(one.status)) for title, one in figures
    ]
    titles, values, statuses = (list(column) for column in zip(*told, strict=True))
    table = lay_out(
        (
            Column("", titles, narrow=24),
            Column("", values, narrow=16),
            Column("", statuses, goes=1),
        ),
        screen.width,
    )
    for line in table.lines[1:]:
        screen.print(Text(f"  {line}"), soft_wrap=True)
