"""Serve the pages of a folder: to this machine's browser, and to phones if wished."""

from __future__ import annotations

import sys
from contextlib import closing
from pathlib import Path

import uvicorn

from rivetwright.bench.workshop import RECORD, Workshop
from rivetwright.errors import Refusal
from rivetwright.record.devices import CODE_MINUTES, MARKS
from rivetwright.web.app import create_app
from rivetwright.web.network import STOP_SECONDS, NetworkDoor, settings_of
from rivetwright.web.pages.downloads import PackBytes
from rivetwright.web.qr import print_qr
from rivetwright.web.sockets import ADDRESS, free_socket

__all__ = ["ADDRESS", "STOP_SECONDS", "free_socket", "serve"]


def serve(
    folder: Path,
    port: int,
    *,
    pack_bytes: PackBytes | None = None,
    lan: bool = False,
    https: bool = False,
    database: str = "",
) -> None:
    """Serve a folder until told to stop.

    Args:
        folder: the folder with the plan files.
        port: the port wished for; where it is taken, the next free one.
        pack_bytes: makes the print pack, as for `create_app`.
        lan: let the workshop network in at once.
        https: serve the network encrypted, with a certificate made here.
        database: address of a PostgreSQL database for the record.

    Raises:
        Refusal: the folder is not there, or no port is free.
        StoreRefused: another program writes in the record.
    """
    if not folder.is_dir():
        raise Refusal(
            asked="serve a folder of plans",
            found=f"no folder {folder}",
            allowed="a folder that exists, empty or with plan files",
            do="name the folder your plan files are in",
        )
    workshop = Workshop(folder, database)
    try:
        app = create_app(workshop, pack_bytes)
        keys = folder / RECORD / "keys"
        next_port = port + 1 if port else 0
        door = NetworkDoor(app, app.state.gate, next_port, keys, is_encrypted=https)
        app.state.network_door = door
        with free_socket(port) as listener, closing(door):
            taken = listener.getsockname()[1]
            print(f"Open http://{ADDRESS}:{taken} in a browser here. Stop: Ctrl-C.")
            if lan or https:
                _let_in(workshop, door)
            sys.stdout.flush()
            uvicorn.Server(settings_of(app)).run(sockets=[listener])
    finally:
        workshop.close()


def _let_in(workshop: Workshop, door: NetworkDoor) -> None:
    """Open the network door, and show a code that pairs one phone."""
    workshop.begin()
    network = door.open()
    doors = door.doors
    assert doors is not None, "a record that was begun has doors"
    code = doors.make_code(MARKS, workshop.builder)
    address = f"{network.root}/pair/{code}"
    print(f"Pair one phone within {CODE_MINUTES} minutes: {address}")
    print_qr(address)
