"""Sockets to listen on."""

from __future__ import annotations

import errno
import socket

from rivetwright.errors import Refusal

ADDRESS = "127.0.0.1"
PORTS_TRIED = 20


def free_socket(port: int, address: str = ADDRESS) -> socket.socket:
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
            listener.bind((address, wanted))
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
