"""The command about hours: how long still, until when, and what that rests on."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.text import Text

from rivetwright.bench.forecast import Outlook, outlook
from rivetwright.bench.forecast_result import forecast_result
from rivetwright.bench.workshop import Workshop
from rivetwright.cli.columns import NOTHING, Column, lay_out
from rivetwright.cli.options import Database, Folder
from rivetwright.cli.screen import results
from rivetwright.cli.tables import print_table
from rivetwright.cli.words import say
from rivetwright.texts.forecast_words import (
    say_basis,
    say_day,
    say_days,
    say_each,
    say_hours,
    say_hours_range,
    say_left_out,
    say_operation,
    say_spare,
    say_thing,
)


def forecast(
    folder: Folder = Path("."),
    as_json: Annotated[
        bool, typer.Option("--json", help="Write JSON, in hours and dates.")
    ] = False,
    database: Database = "",
) -> None:
    """Say how many hours are left and until when, as ranges.

    From your own rates as far as hours were booked, else from usual figures.

    \b
    Examples:
      rivetwright forecast examples/ostrel
      rivetwright forecast build/demo --json
    """
    workshop = Workshop(folder, database)
    try:
        found = outlook(workshop)
    finally:
        workshop.close()
    if as_json:
        json.dump(forecast_result(found), sys.stdout, allow_nan=False)
        sys.stdout.write("\n")
    else:
        _show(results(), found)


def _show(screen: Console, found: Outlook) -> None:
    """Hours and days first, then assemblies, operations and what may be late."""
    hours, (low, likely, high) = found.told.hours, found.days
    spent = say("forecast.spent", hours=say_hours(found.spent_hours))
    if not found.told.ahead.tasks:
        screen.print(say("forecast.nothing"), markup=False)
    else:
        left = say(
            "forecast.left",
            likely=say_hours(hours.likely),
            hours=say_hours_range(hours),
        )
        screen.print(Text(left, style="bold"))
        done = say("forecast.done", day=say_day(likely), days=say_days(low, high))
        screen.print(Text(done, style="bold"))
    screen.print(spent, markup=False)
    _assemblies(screen, found)
    _operations(screen, found)
    _spares(screen, found)
    for one in found.told.ahead.left_out:
        words = say("forecast.without", step=one.step, why=say_left_out(one))
        screen.print(words, markup=False)


def _assemblies(screen: Console, found: Outlook) -> None:
    lines = found.assemblies
    columns = (
        Column(say("forecast.assembly"), [one.name for one in lines]),
        Column(
            say("forecast.hours_spent"), [say_hours(one.spent_hours) for one in lines]
        ),
        Column(
            say("forecast.hours_left"),
            [say_hours_range(one.left_hours) for one in lines],
        ),
        Column(
            say("forecast.ends"),
            [say_day(found.day(one.end_day.likely)) for one in lines],
            narrow=12,
        ),
    )
    screen.print()
    print_table(screen, lay_out(columns, screen.width))


def _operations(screen: Console, found: Outlook) -> None:
    lines = found.operations
    if not lines:
        return
    columns = (
        Column(
            say("forecast.operation"),
            [say_operation(one.operation) for one in lines],
            narrow=18,
        ),
        Column(say("forecast.rate"), [say_each(one)[0] for one in lines], narrow=14),
        Column(
            say("forecast.basis"), [say_basis(one) for one in lines], narrow=16, goes=1
        ),
        Column(
            say("forecast.to_do"),
            [f"{one.left_count:.0f}" if one.left_count else NOTHING for one in lines],
            right=True,
        ),
        Column(
            say("forecast.hours_left"),
            [say_hours(one.left_hours) if one.left_hours else NOTHING for one in lines],
        ),
    )
    screen.print()
    print_table(screen, lay_out(columns, screen.width))


def _spares(screen: Console, found: Outlook) -> None:
    lines = found.course.spares
    if not lines:
        return
    days = [say_day(found.day(one.from_day)) for one in lines]
    columns = (
        Column(say("forecast.thing"), [say_thing(o.wait) for o in lines], narrow=20),
        Column(say("forecast.expected"), days),
        Column(say("forecast.may_be_late"), [say_spare(one) for one in lines]),
    )
    screen.print()
    print_table(screen, lay_out(columns, screen.width))
    screen.print()
