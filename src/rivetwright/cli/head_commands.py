"""The command about heads: all that were measured, and what they show together."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Annotated

import typer

from rivetwright.bench.head_groups import HeadGroup
from rivetwright.bench.head_result import heads_result
from rivetwright.bench.head_table import HeadTable, head_table
from rivetwright.bench.workshop import Workshop
from rivetwright.cli.columns import NOTHING, Column, lay_out
from rivetwright.cli.options import Database, Folder
from rivetwright.cli.screen import results
from rivetwright.cli.tables import print_table, unit_system
from rivetwright.cli.words import say
from rivetwright.texts.head_group_words import (
    say_capability,
    say_count,
    say_group,
    say_taught,
    say_warnings,
)
from rivetwright.texts.head_line import say_line
from rivetwright.texts.say import System


def heads(
    folder: Folder = Path("."),
    assembly: Annotated[
        str, typer.Option(help="One assembly alone.", metavar="NAME")
    ] = "",
    database: Database = "",
    as_json: Annotated[
        bool, typer.Option("--json", help="Write JSON, lengths in mm.")
    ] = False,
) -> None:
    """List the heads that were measured, what they teach, and what they warn of.

    From the record of the folder; where none was begun, from its files.

    \b
    Examples:
      rivetwright heads examples/ostrel
      rivetwright heads build/demo --assembly aileron --json
    """
    workshop = Workshop(folder, database)
    try:
        keys = (assembly,) if assembly else workshop.plan_ids
        tables = [head_table(workshop, key)[1] for key in keys]
    finally:
        workshop.close()
    if as_json:
        json.dump([heads_result(one) for one in tables], sys.stdout, allow_nan=False)
        sys.stdout.write("\n")
        return
    for table in tables:
        _print(table)


def _tell(text: str, style: str = "") -> None:
    results().print(text, style=style, markup=False, soft_wrap=True)


def _print(table: HeadTable) -> None:
    """The heads of one assembly on the terminal."""
    plan, system = table.worked_plan.worked.plan, unit_system(table.worked_plan)
    _tell(say("heads.title", assembly=plan.name), "bold")
    if not table.lines:
        _tell(say("heads.none"))
        return
    for group in table.groups:
        _group(group, system)
    lines = [say_line(one, system) for one in table.lines]
    columns = (
        Column(say("heading.hole"), [one.name for one in lines]),
        Column(say("heading.day"), [one.day for one in lines], goes=3),
        Column(say("heading.callout"), [one.rivet for one in lines], goes=2),
        Column(say("heading.width"), [one.width.main for one in lines], right=True),
        Column(say("heading.height"), [one.height.main for one in lines], right=True),
        Column(say("heading.seen"), [one.seen or NOTHING for one in lines], narrow=12),
        Column(say("heading.verdict"), [one.verdict for one in lines], narrow=24),
        Column(
            say("heading.decided"),
            [one.decided or one.became or NOTHING for one in lines],
            narrow=14,
            goes=1,
        ),
    )
    print_table(results(), lay_out(columns, results().width))


def _group(group: HeadGroup, system: System) -> None:
    """What one group of heads shows."""
    _tell(f"\n{say_group(group)} ({say_count(group)})", "bold")
    for text in say_warnings(group, system):
        _tell(f"  {text}", "bold")
    for text in (*say_capability(group), *say_taught(group, system)):
        _tell(f"  {text}")
