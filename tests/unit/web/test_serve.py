"""Where the pages are served."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest

from rivetwright.errors import Refusal
from rivetwright.web.serve import ADDRESS, free_socket, serve


def test_taken_port_gives_way_to_the_next() -> None:
    """Asked for a port that is in use, a later one is taken, on this machine alone."""
    with free_socket(0) as first:
        taken = first.getsockname()[1]
        with free_socket(taken) as second:
            address, port = second.getsockname()
            assert address == ADDRESS == "127.0.0.1"
            assert taken < port <= taken + 20


def test_socket_is_known_as_tcp() -> None:
    """Else each answer on a kept connection would wait 40 ms."""
    with free_socket(0) as listener:
        assert listener.proto == socket.IPPROTO_TCP


def test_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """Nothing is served; the folder is named."""
    with pytest.raises(Refusal) as refused:
        serve(tmp_path / "gone", 0)
    assert "gone" in refused.value.found
