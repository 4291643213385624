"""The command about an evening: what can be done, and what the rest waits for."""

from __future__ import annotations

import json
import sys
from datetime import date, datetime, time
from pathlib import Path
from typing import Annotated

import typer

from rivetwright.bench.tonight import Asked, Tonight, chain_for, tonight
from rivetwright.bench.tonight_result import tonight_result
from rivetwright.bench.workshop import Workshop
from rivetwright.cli.columns import NOTHING, Column, lay_out
from rivetwright.cli.options import Database
from rivetwright.cli.screen import results
from rivetwright.cli.tables import print_table
from rivetwright.cli.words import say
from rivetwright.engines.work.chain import Chain
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.work_words import (
    say_answer,
    say_basis,
    say_day,
    say_held,
    say_held_work,
    say_range,
    say_things,
    say_time,
    say_turn,
    say_turn_count,
    say_unlock,
)

DAYS, CLOCKS = ["%Y-%m-%d"], ["%H:%M"]


Folder = Annotated[Path, typer.Argument(help="Folder with plan files.")]
Day = Annotated[
    datetime | None,
    typer.Option(
        "--date", formats=DAYS, help="The day; left out, the next of the calendar."
    ),
]
Begins = Annotated[
    datetime | None,
    typer.Option("--from", formats=CLOCKS, help="When it begins, such as 19:00."),
]
Hours = Annotated[float | None, typer.Option(help="Hours free.")]
Second = Annotated[
    bool | None,
    typer.Option(
        "--helper/--alone", help="A second person; left out, as the calendar says."
    ),
]
Out = Annotated[
    list[str] | None,
    typer.Option("--out", help="A tool that is broken or lent.", metavar="TOOL"),
]
Close = Annotated[
    str, typer.Option(help="What stands in the way of a step.", metavar="STEP")
]
By = Annotated[
    datetime | None,
    typer.Option("--by", formats=DAYS, help="The day asked about with --close."),
]
AsJson = Annotated[bool, typer.Option("--json", help="Write JSON, in minutes.")]


def tonight_command(
    folder: Folder = Path("."),
    day: Day = None,
    begins: Begins = None,
    hours: Hours = None,
    second: Second = None,
    out: Out = None,
    close: Close = "",
    by: By = None,
    as_json: AsJson = False,
    database: Database = "",
) -> None:
    """Say what can be done with the hours there are, and what the rest waits for.

    \b
    Examples:
      rivetwright tonight examples/ostrel --date 2026-11-25 --hours 2
      rivetwright tonight build/demo --date 2026-11-28 --helper
      rivetwright tonight build/demo --close aileron/aileron-8 --by 2026-11-28
    """
    asked = Asked(_day(day), hours, _clock(begins), second, tuple(out or ()))
    workshop = Workshop(folder, database)
    try:
        told = tonight(workshop, asked)
    finally:
        workshop.close()
    chain = chain_for(told.work, told.today, close, _day(by)) if close else None
    if as_json:
        json.dump(tonight_result(told, chain), sys.stdout, allow_nan=False)
        sys.stdout.write("\n")
        return
    _show(told, chain)


def _day(moment: datetime | None) -> date | None:
    return moment.date() if moment else None


def _clock(moment: datetime | None) -> time | None:
    return moment.time() if moment else None


def _tell(text: str, style: str = "") -> None:
    results().print(text, style=style, markup=False, soft_wrap=True)


def _show(told: Tonight, chain: Chain | None) -> None:
    """The whole evening on the terminal."""
    session, whole = told.session, told.now.minutes
    hands = say("tonight.with_helper" if session.has_second else "tonight.alone")
    free, clock = say_time(session.minutes), f"{session.begins:%H:%M}"
    day = say_day(session.begins.date())
    _tell(say("tonight.on", day=day, time=clock, free=free, hands=hands), "bold")
    if whole is None:
        _tell(say("tonight.nothing"), "bold")
    else:
        _turns(told)
        basis = say_basis(whole)
        _tell(say("tonight.whole", minutes=say_range(whole), basis=basis))
        _tell(catalogue().word("caution", "squeezer"))
    _held(told)
    _unlocks(told)
    if chain is not None:
        _chain(chain)


def _table(*columns: Column) -> None:
    console = results()
    print_table(console, lay_out(columns, console.width))


def _turns(told: Tonight) -> None:
    turns = told.now.turns
    _table(
        Column(say("tonight.what"), [say_turn(one) for one in turns], narrow=24),
        Column(say("tonight.count"), [say_turn_count(one) for one in turns]),
        Column(say("tonight.step"), [one.first.in_step for one in turns]),
        Column(say("tonight.minutes"), [say_range(o.minutes) for o in turns], True),
    )
    for turn in turns:
        stretch = told.fragile.get(turn.first.in_step)
        if stretch is not None:
            steps, waits = ", ".join(stretch.steps), say_things(stretch.waits)
            _tell(say("tonight.fragile", steps=steps, waits=waits))


def _held(told: Tonight) -> None:
    held = told.now.held
    if held:
        _tell(f"\n{say('tonight.held')}", "bold")
        what = [say_held_work(one) for one in held]
        _table(
            Column(say("tonight.step"), [one.pieces[0].in_step for one in held]),
            Column(say("tonight.what"), what, narrow=24),
            Column(say("tonight.waits"), [say_held(one) for one in held], narrow=24),
        )


def _unlocks(told: Tonight) -> None:
    found = told.unlocks
    if found:
        _tell(f"\n{say('tonight.unlocks')}", "bold")
        frees = [say_time(o.freed_minutes) if o.freed else NOTHING for o in found]
        behind = [say_time(one.behind_minutes) for one in found]
        _table(
            Column(say("tonight.thing"), [say_unlock(one) for one in found], narrow=24),
            Column(say("tonight.frees"), frees, True),
            Column(say("tonight.behind"), behind, True),
        )


def _chain(chain: Chain) -> None:
    links = chain.links
    _tell(f"\n{say('tonight.way', step=chain.goal)}", "bold")
    _tell(say_answer(chain), "bold")
    waits = [
        say_things([*filter(None, [link.decides]), *link.unknown]) or NOTHING
        for link in links
    ]
    _table(
        Column(say("tonight.step"), [link.step for link in links]),
        Column(say("tonight.minutes"), [say_time(o.minutes) for o in links], True),
        Column(say("tonight.begins"), [say_day(link.ready) for link in links]),
        Column(say("tonight.done"), [say_day(link.ends) for link in links]),
        Column(say("tonight.waits"), waits, narrow=24),
    )
