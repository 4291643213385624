"""The command about stock: what is needed, what is there, what to order."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from rivetwright.bench.stock import Stock, stock_of
from rivetwright.bench.stock_result import as_csv, stock_result
from rivetwright.bench.workshop import Workshop
from rivetwright.cli.columns import NOTHING, Column, lay_out
from rivetwright.cli.options import Database, Folder
from rivetwright.cli.screen import results
from rivetwright.cli.tables import print_table
from rivetwright.cli.words import say
from rivetwright.texts.stock_words import (
    order_cells,
    order_heading,
    say_arrivals,
    say_bite,
    say_doubted,
    say_kit,
    say_on_hand,
    say_order_by,
    say_stand_ins,
    say_unknown,
)

OrderPdf = Callable[[Stock], bytes]


def stock(
    context: typer.Context,
    folder: Folder = Path("."),
    as_json: Annotated[
        bool, typer.Option("--json", help="Write JSON, every code and step.")
    ] = False,
    csv: Annotated[
        Path | None,
        typer.Option("--csv", help="Write the order list as CSV.", metavar="FILE"),
    ] = None,
    pdf: Annotated[
        Path | None,
        typer.Option("--pdf", help="Write the order list as PDF.", metavar="FILE"),
    ] = None,
    database: Database = "",
) -> None:
    """Say what rivets are needed, what is there, what is short, what to order.

    By the folder's record where it was begun, else by the shop file's counts.

    \b
    Examples:
      rivetwright stock examples/ostrel
      rivetwright stock build/demo --csv order.csv --pdf order.pdf
    """
    workshop = Workshop(folder, database)
    try:
        found = stock_of(workshop)
    finally:
        workshop.close()
    if as_json:
        json.dump(stock_result(found), sys.stdout, allow_nan=False)
        sys.stdout.write("\n")
    # Paper is another face: the front door of the command line opens it.
    print_list: OrderPdf = context.obj
    for file, made in ((csv, _csv), (pdf, print_list)):
        if file is not None:
            file.write_bytes(made(found))
            line = say("files.written", file=file)
            if not as_json:
                results().print(line, markup=False, soft_wrap=True)
    if not as_json and csv is None and pdf is None:
        _show(results(), found)


def _csv(found: Stock) -> bytes:
    lines = [order_cells(found, line) for line in found.orders]
    return as_csv(order_heading(), lines).encode("utf-8")


def _show(screen: Console, found: Stock) -> None:
    """The codes, then what to order and what may stand in."""
    needs = found.needs

    def counts(values: list[int]) -> list[str]:
        return [str(one) if one else NOTHING for one in values]

    arrivals = [say_arrivals(one.drawer.arrivals) or NOTHING for one in needs]
    spoilt = counts([one.drawer.spoilt for one in needs])
    table = lay_out(
        (
            Column(say("heading.code"), [one.code for one in needs]),
            Column(say("heading.needed"), counts([n.needed for n in needs]), True),
            Column(say("heading.doubted"), [say_doubted(n) for n in needs], True),
            Column(say("heading.spare"), counts([n.spare for n in needs]), True),
            Column(say("heading.on_hand"), [say_on_hand(n) for n in needs], True),
            Column(say("heading.coming"), arrivals, narrow=14),
            Column(say("heading.short"), counts([n.short for n in needs]), True),
            Column(say("heading.spoilt"), spoilt, True, goes=1),
        ),
        screen.width,
    )
    print_table(screen, table)
    for text in (*map(say_kit, found.kits),):
        screen.print(text, style="bold", markup=False, soft_wrap=True)
    for one in found.unknown:
        screen.print(say_unknown(found, one), markup=False, soft_wrap=True)
    screen.print(f"\n{say('stock.orders')}", style="bold", markup=False)
    if not found.orders:
        screen.print(say("stock.nothing"), markup=False)
    for line in found.orders:
        order = say(
            "stock.order",
            code=line.code,
            count=line.count,
            short=line.short,
            when=say_order_by(found, line),
            bites=say_bite(found, line.bites),
        )
        screen.print(order, markup=False, soft_wrap=True)
        for text, source in say_stand_ins(line.need, found.stand_ins(line.need)):
            tail = f" ({source})" if source else ""
            screen.print(f"  {text}{tail}", markup=False, soft_wrap=True)
