"""The command about the squeezer's set-ups: a table of them, or the card of one."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from rivetwright.bench.dimple_set_ups import dimple_lines
from rivetwright.bench.open import open_plan
from rivetwright.bench.set_up_card import set_up_card
from rivetwright.bench.set_up_result import set_ups_result
from rivetwright.bench.set_ups import SetUpLine, step_set_ups, stop_codes
from rivetwright.cli.columns import NOTHING, Column, lay_out
from rivetwright.cli.screen import progress_bar, results
from rivetwright.cli.tables import holes_words, print_table, unit_system
from rivetwright.cli.words import say
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.dimpling import DimpleSetUp
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.model.shop import Shop
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.set_up_card import say_set_up, verdict_words
from rivetwright.texts.set_up_words import Fact, bare, in_a_line

LABEL = 28


def set_ups(
    file: Annotated[Path, typer.Argument(help="A plan file.", metavar="FILE")],
    hole: Annotated[
        str | None,
        typer.Argument(
            help="Row and number, such as A5:1: the card of its set-up.",
            metavar="HOLE",
        ),
    ] = None,
    shop: Annotated[
        Path | None,
        typer.Option(
            help="The shop file; left out, shop.yaml beside the plan.", metavar="FILE"
        ),
    ] = None,
    yoke: Annotated[
        str, typer.Option(help="Another yoke of the shop.", metavar="NAME")
    ] = "",
    squeezer: Annotated[
        str, typer.Option(help="Another squeezer of the shop.", metavar="TITLE")
    ] = "",
    bulletin: Annotated[
        list[Path] | None,
        typer.Option("--bulletin", metavar="FILE", help="Apply a bulletin first."),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Write JSON, lengths in mm.")
    ] = False,
) -> None:
    """List the squeezer's set-ups, or show the card of one hole.

    \b
    Examples:
      rivetwright set-ups examples/ostrel/aileron.yaml
      rivetwright set-ups examples/ostrel/aileron.yaml A5:1
      rivetwright set-ups flap.yaml --shop shop.yaml --json
    """
    place = shop or file.parent / "shop.yaml"
    with progress_bar() as progress:
        worked_plan = open_plan(file, bulletin or (), progress, place)
    owned = worked_plan.worked.shop
    assert owned is not None, "a shop file was read"
    index = None if hole is None else worked_plan.worked.holes.index(hole)
    if as_json:
        json.dump(
            set_ups_result(worked_plan, owned, index), sys.stdout, allow_nan=False
        )
        sys.stdout.write("\n")
    elif hole is None:
        _list(worked_plan, owned)
    else:
        _card(worked_plan, owned, hole, yoke, squeezer)


def _list(worked_plan: WorkedPlan, shop: Shop) -> None:
    """The table of all set-ups, then of the dimpling ones."""
    screen = results()
    lines = [
        (step.name, line)
        for step in step_set_ups(worked_plan, shop)
        for line in (*step.lines, *step.without)
    ]
    every = [line.set_up for _, line in lines]
    stops = [stop_codes(worked_plan, line.holes) for _, line in lines]
    steps = [name or NOTHING for name, _ in lines]
    holes = [_holes(worked_plan, line) for _, line in lines]
    changes = [str(line.changes) if line.set_up else NOTHING for _, line in lines]
    table = lay_out(
        (
            Column(say("heading.step"), steps, goes=1),
            Column(say("heading.holes"), holes, narrow=14),
            Column(say("heading.callout"), [line.callout for _, line in lines]),
            *_tool_columns(worked_plan, every),
            Column(say("heading.finding"), [", ".join(one) for one in stops], narrow=9),
            Column(say("heading.changes"), changes, right=True, goes=2),
        ),
        screen.width,
    )
    print_table(screen, table)
    _dimples(screen, worked_plan, shop)
    screen.print(f"\n{catalogue().word('caution', 'squeezer')}")


def _holes(worked_plan: WorkedPlan, line: SetUpLine) -> str:
    """The holes of a line, row by row."""
    holes = worked_plan.worked.holes
    rows: dict[int, list[int]] = {}
    for hole in line.holes:
        rows.setdefault(int(holes.row[hole]), []).append(hole)
    return ", ".join(holes_words(worked_plan, some) for some in rows.values())


def _tool_columns(
    worked_plan: WorkedPlan, set_ups: Iterable[SetUp | DimpleSetUp | None]
) -> tuple[Column, ...]:
    """Yoke, pieces, gap, head and verdict of some set-ups."""
    every, system = list(set_ups), unit_system(worked_plan)

    def pieces(one: SetUp | DimpleSetUp | None) -> str:
        return in_a_line(one.pieces, system) if one and one.pieces else NOTHING

    def gap(one: SetUp | DimpleSetUp | None) -> str:
        gap_mm = one.gap_mm if one else None
        return NOTHING if gap_mm is None else bare(gap_mm, system)

    def head(one: SetUp | DimpleSetUp | None) -> str:
        made = one.head_mm if isinstance(one, SetUp) else None
        if made is None:
            return NOTHING
        low, high = bare(made.low, system), bare(made.high, system)
        return say("table.spread", least=low, most=high)

    squeezers = [one.squeezer.title if one else NOTHING for one in every]
    yokes = [one.yoke.id if one else NOTHING for one in every]
    verdicts = [
        verdict_words(one.verdict) if one else say("set_up.none") for one in every
    ]
    return (
        Column(say("heading.squeezer"), squeezers, goes=3),
        Column(say("heading.yoke"), yokes),
        Column(say("heading.put_in"), [pieces(one) for one in every], narrow=18),
        Column(say("heading.gap", unit=system), [gap(x) for x in every], right=True),
        Column(say("heading.makes", unit=system), [head(one) for one in every]),
        Column(say("heading.verdict"), verdicts, narrow=12),
    )


def _dimples(screen: Console, worked_plan: WorkedPlan, shop: Shop) -> None:
    """The table of dimpling set-ups, where anything is dimpled."""
    lines = dimple_lines(worked_plan, shop)
    if not lines:
        return
    screen.print()
    parts = [", ".join(line.parts) for line in lines]
    table = lay_out(
        (
            Column(say("heading.dimples"), parts, narrow=10),
            *_tool_columns(worked_plan, [x.set_up for x in lines]),
        ),
        screen.width,
    )
    print_table(screen, table)


def _card(
    worked_plan: WorkedPlan, shop: Shop, hole: str, yoke: str, squeezer: str
) -> None:
    """One card on the terminal."""
    screen = results()
    card = set_up_card(worked_plan, shop, hole, yoke=yoke, squeezer=squeezer)
    words = say_set_up(card, worked_plan)

    def tell(text: str, style: str = "") -> None:
        screen.print(text, style=style, markup=False, soft_wrap=True)

    tell(f"{words.name}  {words.callout}", "bold")
    tell(words.tool)
    tell(f"{words.verdict}. {words.do}".strip())
    for text in (
        words.reach,
        *words.look_at,
        *(say("set_up.stop", code=code) for code in card.stops),
    ):
        if text:
            tell(text, "bold")
    _facts(screen, say("set_up.put_in"), words.put_in)
    _facts(screen, say("set_up.makes"), words.makes)
    _facts(screen, say("set_up.needs"), words.needs)
    steps = [f"{k}. {text}" for k, text in enumerate(words.steps, 1)]
    for title, texts in (
        (say("set_up.changes"), words.changes),
        (say("set_up.first"), steps),
        (say("set_up.pedal"), words.pedal),
    ):
        if texts:
            tell(f"\n{title}", "bold")
        for text in texts:
            tell(f"  {text}")
    tell(f"\n{words.trust} {words.status}.")
    tell(" ".join(words.cautions))


def _facts(screen: Console, title: str, facts: Iterable[Fact]) -> None:
    """Lines of a card under their heading."""
    lines = list(facts)
    if lines:
        screen.print(f"\n{title}", style="bold", markup=False)
    for one in lines:
        beside = f" ({one.other})" if one.other else ""
        note = f"; {one.note}" if one.note else ""
        line = f"  {one.name:<{LABEL}}{one.main}{beside}{note}"
        screen.print(line, markup=False, soft_wrap=True)
