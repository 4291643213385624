"""The command that compares two revisions of a plan."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from rivetwright.bench.revision import Revision, compare_files
from rivetwright.bench.revision_result import revision_result
from rivetwright.bench.workshop import Workshop
from rivetwright.cli.options import Database
from rivetwright.cli.screen import results
from rivetwright.cli.words import say
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.revision_words import (
    say_change,
    say_difference,
    say_done,
    say_kind,
    say_minutes,
    say_needs,
    say_part,
    say_question,
    say_step,
    say_summary,
    say_task,
    system_of,
)

INDENT = "  "


def compare(
    old: Annotated[Path, typer.Argument(help="The earlier plan file.", metavar="OLD")],
    new: Annotated[
        Path,
        typer.Argument(help="The later plan file, or a bulletin's.", metavar="NEW"),
    ],
    as_json: Annotated[
        bool, typer.Option("--json", help="Write JSON, lengths in mm.")
    ] = False,
    database: Database = "",
) -> None:
    """Compare two revisions: what differs, what must come out, what it needs.

    What is done already is read from the record beside the earlier file; where none
    was begun, from that file. The shop file beside it says which tools there are.

    \b
    Examples:
      rivetwright compare examples/ostrel/root-rib.yaml examples/ostrel/sb-07.yaml
      rivetwright compare flap.yaml flap-revision-2.yaml --json
    """
    workshop = Workshop(old.parent, database)
    try:
        found = compare_files(workshop, old, new)
    finally:
        workshop.close()
    if as_json:
        json.dump(revision_result(found), sys.stdout, allow_nan=False)
        sys.stdout.write("\n")
    else:
        _show(results(), found)


def _show(screen: Console, found: Revision) -> None:
    """A comparison on the terminal."""

    def tell(text: str, style: str = "") -> None:
        screen.print(text, style=style, markup=False, soft_wrap=True)

    title = say(
        "compare.title",
        assembly=found.new.name,
        old=found.old.revision,
        new=found.new.revision,
    )
    tell(title, "bold")
    for sentence in say_summary(found):
        tell(sentence)
    asks = found.asks
    groups = (
        ("compare.ask", [say_question(found, one) for one in asks.questions]),
        ("compare.order", _tasks(found)),
        ("compare.needs", say_needs(found)),
        ("compare.differs", _changes(found)),
        (
            "compare.parts",
            [*map(say_part, found.found.parts), *map(say_step, found.found.steps)],
        ),
    )
    for key, lines in groups:
        if lines:
            tell(f"\n{say(key)}", "bold")
        for line in lines:
            tell(f"{INDENT}{line}")
    tell(f"\n{catalogue().word('caution', 'advice')}")


def _tasks(found: Revision) -> list[str]:
    """What to do, numbered, with its minutes."""
    said = []
    for k, task in enumerate(found.asks.tasks, start=1):
        spent = f" {say_minutes(task.minutes.likely)}" if task.minutes else ""
        said.append(f"{k}. {say_task(found, task)}{spent}")
    return said


def _changes(found: Revision) -> list[str]:
    """What differs, a line for the holes and one for each aspect."""
    said = []
    system = system_of(found)
    for one in found.asks.done:
        change = one.change
        head = f"{say_change(found, change)} {say_kind(change.kind)}"
        said.append(f"{head}, {change.count}; {say_done(one)}")
        for difference in change.differences:
            words = say_difference(difference, system)
            turned = say(
                "compare.turned",
                title=words.title,
                before=words.before.main,
                after=words.after.main,
            )
            said.append(f"{INDENT}{turned}")
    return said
