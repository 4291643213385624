"""The commands about devices: list them, pair one, shut one out."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Annotated

import segno
import typer

from rivetwright.bench.workshop import DATABASE, RECORD, Workshop, utc_now
from rivetwright.cli.options import Database, Folder
from rivetwright.cli.screen import results
from rivetwright.cli.words import say
from rivetwright.errors import NotFound
from rivetwright.record.devices import CODE_MINUTES, LINK_DAYS, MARKS, READS, Doors
from rivetwright.record.store import open_store

devices = typer.Typer(
    name="devices",
    help="List the devices that were let in, pair one, shut one out.",
    no_args_is_help=True,
)


def _doors(workshop: Workshop) -> Doors:
    """Devices and codes of the record.

    Raises:
        NotFound: no record was begun.
    """
    if workshop.store is None:
        raise NotFound(
            asked="let a device in or out",
            found="no record in this folder yet",
            allowed="a folder whose record was begun",
            do="run rivetwright record begin",
        )
    return Doors(workshop.store)


@devices.command(name="list")
def list_devices(folder: Folder = Path("."), database: Database = "") -> None:
    """List the devices that were let in, also while the pages are served.

    \b
    Example:
      rivetwright devices list build/demo
    """
    place = database or folder / RECORD / DATABASE
    with open_store(place, clock=utc_now, read_only=True) as store:
        there = Doors(store).devices()
    for one in there:
        words = {"id": one.id, "name": one.name, "person": one.person or "-"}
        seen = one.seen_at[:16].replace("T", " ")
        line = (
            say("devices.shut", **words)
            if one.shut_at
            else say("devices.in", role=one.role, seen=seen, **words)
        )
        results().print(line, markup=False, soft_wrap=True)
    if not there:
        results().print(say("devices.none"), markup=False)


@devices.command()
def pair(
    folder: Folder = Path("."),
    person: Annotated[
        str,
        typer.Option(
            help="Whose device it is, by the shop file; left out, the builder's.",
            metavar="ID",
        ),
    ] = "",
    reads: Annotated[
        bool, typer.Option("--reads", help="A link that only reads, for an inspector.")
    ] = False,
    address: Annotated[
        str,
        typer.Option(
            help="Beginning of the address that phones use: a QR code is shown too.",
            metavar="ADDRESS",
        ),
    ] = "",
    database: Database = "",
) -> None:
    """Make a code that pairs one device, before the pages are served.

    While they are served the page Devices makes codes; serve --lan shows one itself.

    \b
    Example:
      rivetwright devices pair build/demo --address http://192.168.7.2:8766
    """
    workshop = Workshop(folder, database)
    try:
        doors = _doors(workshop)
        if reads:
            token = doors.add("link", "", READS, days=LINK_DAYS)[1]
            path, line = f"/look/{token}", say("devices.link", days=LINK_DAYS)
        else:
            code = doors.make_code(MARKS, _person(workshop, person))
            path, line = f"/pair/{code}", say("devices.code", minutes=CODE_MINUTES)
    finally:
        workshop.close()
    whole = address.rstrip("/") + path
    results().print(f"{line} {whole}", markup=False, soft_wrap=True)
    if address:
        with suppress(UnicodeEncodeError):  # a terminal that lacks the signs for it
            segno.make(whole, error="m").terminal(compact=True)


def _person(workshop: Workshop, person: str) -> str:
    """A person of the shop; the builder where none is named.

    Raises:
        NotFound: the shop file names no such person.
    """
    if not person:
        return workshop.builder
    shop = workshop.read().project.shop
    known = [one.id for one in shop.people] if shop else []
    if person not in known:
        raise NotFound(
            asked=f"make a code for {person}",
            found="nobody of that id",
            allowed=f"one of: {', '.join(known) or 'nobody is named'}",
            do="name one of them, or add the person to shop.yaml",
        )
    return person


@devices.command(name="shut-out")
def shut_out(
    device: Annotated[str, typer.Argument(help="Id from the list.", metavar="ID")],
    folder: Folder = Path("."),
    database: Database = "",
) -> None:
    """Shut a device out. While the pages are served use their page Devices.

    \b
    Example:
      rivetwright devices shut-out 3f2a9c01d4e5b677 build/demo
    """
    workshop = Workshop(folder, database)
    try:
        if not _doors(workshop).shut_out(device):
            raise NotFound(
                asked=f"shut out the device {device}",
                found="no device of that id",
                allowed="an id that rivetwright devices list shows",
                do="list them, then try again",
            )
        results().print(say("devices.was_shut", id=device), markup=False)
    finally:
        workshop.close()
