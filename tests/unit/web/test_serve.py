"""Where the pages are served."""

from __future__ import annotations

import re
import shutil
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace

import httpx
import pytest
import uvicorn

from rivetwright.errors import Refusal
from rivetwright.web import network
from rivetwright.web import serve as serve_module
from rivetwright.web.serve import ADDRESS, STOP_SECONDS, free_socket, serve
from tests.unit.web.site import HERE_TOO

OPENED = re.compile(r"http://127\.0\.0\.1:\d+")
CODE = re.compile(r"http://\S+/pair/\S+")


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


def test_phone_is_let_in_from_the_command(
    begun: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The code that is printed pairs one phone, and stands there as a QR code too.

    Ctrl-C shuts the network door and lets go of the record.
    """
    folder = tmp_path / "ostrel"
    shutil.copytree(begun, folder)
    monkeypatch.setattr(network, "network_addresses", lambda: [HERE_TOO])
    paired = []

    class Pressed:
        """Stands in for the server of this machine's pages: a phone, then Ctrl-C."""

        def __init__(self, _: uvicorn.Config) -> None:
            self.said = capsys.readouterr().out

        def run(self, sockets: list[socket.socket]) -> None:
            """Pair, and end."""
            assert sockets
            assert "█" in self.said
            (address,) = CODE.findall(self.said)
            assert address.startswith(f"http://{HERE_TOO}:")
            for _ in range(2):
                paired.append(httpx.post(address, data={"name": "phone"}).status_code)
            raise KeyboardInterrupt

    monkeypatch.setattr(serve_module, "uvicorn", SimpleNamespace(Server=Pressed))
    for _ in range(2):
        with pytest.raises(KeyboardInterrupt):
            serve(folder, 0, lan=True)
    assert paired == [303, 403] * 2


def test_an_open_page_does_not_keep_the_command_from_ending(
    begun: Path, tmp_path: Path
) -> None:
    """Ctrl-C ends it in a few seconds, though a page listens to news."""
    folder = tmp_path / "ostrel"
    shutil.copytree(begun, folder)
    words = [sys.executable, "-m", "rivetwright", "serve", str(folder), "--port", "0"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as served:
        assert served.stdout
        (address,) = OPENED.findall(served.stdout.readline())
        with httpx.stream("GET", f"{address}/api/live", timeout=20) as news:
            assert next(news.iter_lines()) == "retry: 1000"
            pressed = time.monotonic()
            served.send_signal(signal.SIGINT)
            served.wait(STOP_SECONDS + 10)
            assert time.monotonic() - pressed < STOP_SECONDS + 3
