"""The commands about the record: begin, verify, back up, restore, write out."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from rivetwright.bench.exports import exported
from rivetwright.bench.issue import issue as issue_revision
from rivetwright.bench.issue import pending
from rivetwright.bench.keep import Sender
from rivetwright.bench.workshop import BACKUPS, RECORD, Workshop
from rivetwright.cli.options import Database, Folder
from rivetwright.cli.screen import results
from rivetwright.cli.words import counted, say
from rivetwright.record.backup import back_up, refold, restore, verify
from rivetwright.record.devices import OWNER

record = typer.Typer(
    name="record",
    help="Begin, verify, back up, restore and write out the record of a folder.",
    no_args_is_help=True,
)


class Form(StrEnum):
    """Ways to write the record out."""

    TEXT = "text"
    CSV = "csv"


@record.command()
def begin(folder: Folder = Path("."), database: Database = "") -> None:
    """Begin the record: what the files say had happened becomes facts, once.

    \b
    Example:
      rivetwright record begin examples/ostrel
    """
    workshop = Workshop(folder, database)
    try:
        is_new = workshop.begin()
        facts = counted("record.fact", workshop.position())
        line = (
            say("record.begun", facts=facts)
            if is_new
            else say("record.nothing_new", facts=facts)
        )
        results().print(line, markup=False)
    finally:
        workshop.close()


@record.command()
def issue(
    folder: Folder,
    assembly: Annotated[str, typer.Argument(help="Its id.", metavar="ASSEMBLY")],
    same: Annotated[
        list[str] | None,
        typer.Option(help="A row that is the same under its new id.", metavar="ROW"),
    ] = None,
    other: Annotated[
        list[str] | None,
        typer.Option(help="A row that is another of the same name.", metavar="ROW"),
    ] = None,
    database: Database = "",
) -> None:
    """Store a changed plan file as a new revision; from then on it counts.

    Rows are matched by their permanent ids. A row of the same name and another id
    is doubtful: say with --same or --other which it is.

    \b
    Example:
      rivetwright record issue build/demo flap
    """
    workshop = Workshop(folder, database)
    try:
        change = pending(workshop, assembly)
        asked = {
            **dict.fromkeys(same or (), True),
            **dict.fromkeys(other or (), False),
        }
        decided = {
            one.old_id: asked[one.name]
            for one in (change.doubtful if change else ())
            if one.name in asked
        }
        sender = Sender("laptop-command", workshop.builder, OWNER)
        done = issue_revision(workshop, sender, assembly, decided, workshop.position())
        for _, refusal in done.refused:
            raise refusal
        assert change is not None, "what was issued had changed"
        line = say("record.issued", assembly=assembly, revision=change.revision)
        results().print(line, markup=False)
        if change.added:
            line = say("record.added", rows=", ".join(change.added))
            results().print(line, markup=False)
        if change.gone:
            line = say("record.gone", rows=", ".join(change.gone))
            results().print(line, markup=False)
    finally:
        workshop.close()


@record.command(name="verify")
def verify_record(
    folder: Annotated[
        Path,
        typer.Argument(help="Folder with plan files, or a backup.", metavar="FOLDER"),
    ] = Path("."),
    database: Database = "",
) -> None:
    """Follow the chain from end to end, photos and snapshots too.

    Compare the digest it prints with one kept elsewhere: on paper, or in a backup.

    \b
    Example:
      rivetwright record verify build/demo
    """
    photos = folder / RECORD / "photos"
    found = verify(database, photos=photos) if database else verify(folder)
    screen = results()
    parts = {"photos": found.photos, "snapshots": found.snapshots}
    facts = counted("record.fact", found.facts)
    screen.print(say("record.verified", facts=facts, **parts), markup=False)
    for project, head in found.heads.items():
        line = say("record.head", project=project, at=head.seq, digest=head.digest)
        screen.print(line, markup=False, soft_wrap=True)


@record.command(name="back-up")
def back_up_record(
    folder: Folder = Path("."),
    to: Annotated[
        Path | None,
        typer.Option(
            help="Folder of backups; left out, record/backups beside the plans.",
            metavar="FOLDER",
            show_default=False,
        ),
    ] = None,
    database: Database = "",
) -> None:
    """Copy the record, also while it is served; the copy is verified.

    Keep backups on another disk too: one beside the record burns with it.

    \b
    Example:
      rivetwright record back-up build/demo --to backups
    """
    into = to if to is not None else folder / RECORD / BACKUPS
    made = back_up(folder, into, database=database)
    found = verify(made)
    facts = counted("record.fact", found.facts)
    line = say("record.backed_up", file=made, facts=facts, photos=found.photos)
    results().print(line, markup=False, soft_wrap=True)


@record.command(name="restore")
def restore_record(
    backup: Annotated[
        Path, typer.Argument(help="A backup's folder.", metavar="BACKUP")
    ],
    folder: Annotated[
        Path, typer.Argument(help="Folder with plan files.", metavar="FOLDER")
    ],
    database: Database = "",
) -> None:
    """Put a backup in the place of a folder's record.

    Refused where the record has facts that the backup has not. The record that was
    there is kept beside it; a torn one is replaced too. A PostgreSQL database is
    given the facts that it has not.

    \b
    Example:
      rivetwright record restore backups/record-20261125T190311000000Z build/demo
    """
    found = restore(backup, folder, database=database)
    facts = counted("record.fact", found.facts)
    results().print(say("record.restored", facts=facts), markup=False)


@record.command(name="refold")
def refold_record(folder: Folder = Path("."), database: Database = "") -> None:
    """Throw kept snapshots away, so that the facts are folded anew at the next opening.

    \b
    Example:
      rivetwright record refold build/demo
    """
    thrown = refold(database or folder)
    results().print(say("record.thrown_away", snapshots=thrown), markup=False)


@record.command(name="write")
def write_record(
    folder: Folder = Path("."),
    form: Annotated[Form, typer.Option(help="Plain text, or a table.")] = Form.TEXT,
    out: Annotated[
        Path | None,
        typer.Option(
            help="File to write; left out, the standard output.",
            metavar="FILE",
            show_default=False,
        ),
    ] = None,
    database: Database = "",
) -> None:
    """Write the whole record as text that outlives this program, or as CSV.

    The text holds every fact in words and as it is stored, with how to follow the
    chain without this program.

    \b
    Example:
      rivetwright record write build/demo --out record.txt
    """
    lines = exported(folder, database, as_csv=form is Form.CSV)
    if out is None:
        sys.stdout.writelines(lines)
        return
    with out.open("w", encoding="utf-8", newline="") as file:
        file.writelines(lines)
    results().print(say("files.written", file=out), markup=False, soft_wrap=True)
