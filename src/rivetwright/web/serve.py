"""Serve the pages of a folder to this machine's browser."""

from __future__ import annotations

import errno
import socket
from pathlib import Path

import uvicorn

from rivetwright.errors import Refusal
from rivetwright.web.app import create_app
from rivetwright.web.pages.downloads import PackBytes

ADDRESS = "127.0.0.1"
STOP_SECONDS = 2
PORTS_TRIED = 20


def serve(folder: Path, port: int, *, pack_bytes: PackBytes | None = None) -> None:
    """Serve a folder on 127.0.0.1 alone, until told to stop.

    Args:
        folder: the folder with the plan files.
        port: the port wished for; where it is taken, the next free one.
        pack_bytes: makes the print pack, as for `create_app`.

    Raises:
        Refusal: the folder is not there, or no port is free.
    """
    if not folder.is_dir():
        raise Refusal(
            asked="serve a folder of plans",
            found=f"no folder {folder}",
            allowed="a folder that exists, empty or with plan files",
            do="name the folder your plan files are in",
        )
    listener = free_socket(port)
    taken = listener.getsockname()[1]
    print(f"Open http://{ADDRESS}:{taken} in a browser here. Stop: Ctrl-C.", flush=True)
    settings = uvicorn.Config(
        create_app(folder, pack_bytes),
        log_level="warning",
        timeout_graceful_shutdown=STOP_SECONDS,
        server_header=False,
    )
    with listener:
        uvicorn.Server(settings).run(sockets=[listener])


def free_socket(port: int) -> socket.socket:
    """A socket on the first free port from one on; 0 takes any.

    Raises:
        Refusal: none of the next ports is free.
    """
    tried = [port] if port == 0 else range(port, min(port + PORTS_TRIED, 65536))
    for wanted in tried:
        # Named as TCP, or the event loop does not know that it may send at once and
        # each answer on a kept connection waits 40 ms.
        listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((ADDRESS, wanted))
        except OSError as problem:
            listener.close()
            if problem.errno not in (errno.EADDRINUSE, errno.EACCES):
                raise
            continue
        listener.listen()
        return listener
    raise Refusal(
        asked="serve the pages",
        found=f"ports {port} to {port + PORTS_TRIED - 1} taken",
        allowed="a free port of this machine",
        do="name another one with --port",
    )
