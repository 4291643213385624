"""The workshop network let in and out: two listeners, one record, news to both."""

from __future__ import annotations

import json
import re
import shutil
import ssl
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from queue import Queue

import httpx
import pytest
import uvicorn
from fastapi import FastAPI

from rivetwright.bench.workshop import Workshop
from rivetwright.errors import Refusal
from rivetwright.model.plan import HoleRange
from rivetwright.record.devices import MARKS, READS, Doors
from rivetwright.web import network
from rivetwright.web.app import create_app
from rivetwright.web.network import NetworkDoor, settings_of
from rivetwright.web.senders import DEVICE_COOKIE
from rivetwright.web.sockets import free_socket
from tests.unit.web.site import HERE_TOO

WITHIN_S = 1.0


class Open:
    """The pages of a copy of the demo, served here and to the network."""

    def __init__(self, app: FastAPI, workshop: Workshop, door: NetworkDoor) -> None:
        self.app = app
        self.workshop = workshop
        self.door = door
        assert workshop.store is not None
        self.doors = Doors(workshop.store)
        self.here = ""

    def mark(self, number: int) -> dict[str, object]:
        """A mark: six rivets of the row A17."""
        ids = self.workshop.hole_ids("aileron")
        holes = list(ids.ranges(ids.holes.indices(HoleRange("A17", 1, 6))))
        return {
            **{"fact": 1, "id": f"{number:032x}", "kind": "rivets-set", "version": 1},
            **{"assembly": "aileron", "device_seq": number, "revision": 1},
            **{"happened": "2026-11-25T12:00:00.000Z", "saw": 158},
            "body": {"holes": holes, "callout": "MS20426AD3-3"},
        }


@pytest.fixture
def opened(
    begun: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Open]:
    """The pages served on this machine; the door to the network is made, and shut."""
    monkeypatch.setattr(network, "network_addresses", lambda: [HERE_TOO])
    folder = tmp_path / "ostrel"
    shutil.copytree(begun, folder)
    workshop = Workshop(folder)
    app = create_app(workshop)
    door = NetworkDoor(app, app.state.gate, 0, folder / "keys", is_encrypted=False)
    app.state.network_door = door
    site = Open(app, workshop, door)
    with free_socket(0) as listener:
        site.here = f"http://127.0.0.1:{listener.getsockname()[1]}"
        server = uvicorn.Server(settings_of(app))
        thread = threading.Thread(target=server.run, args=([listener],), daemon=True)
        thread.start()
        yield site
        door.close()
        server.should_exit = True
        thread.join(10)
    workshop.close()


@contextmanager
def news(address: str, token: str = "") -> Iterator[Queue[str | None]]:
    """Lines of the live stream as they come; None when it has ended."""
    lines: Queue[str | None] = Queue()
    cookies = {DEVICE_COOKIE: token} if token else {}
    client = httpx.Client(base_url=address, cookies=cookies, timeout=10)

    def read() -> None:
        try:
            with client.stream("GET", "/api/live") as answer:
                for line in answer.iter_lines():
                    lines.put(line)
        except (httpx.TransportError, httpx.StreamError):
            pass
        lines.put(None)

    thread = threading.Thread(target=read, daemon=True)
    thread.start()
    wait_for(lines, "event: here", 10)
    yield lines
    client.close()


def wait_for(lines: Queue[str | None], beginning: str, seconds: float) -> str:
    """The next line that begins so, within some seconds."""
    until = time.monotonic() + seconds
    while True:
        line = lines.get(timeout=max(0.001, until - time.monotonic()))
        assert line is not None, "the stream ended"
        if line.startswith(beginning):
            return line


def test_network_is_let_in_by_cookie_alone(opened: Open) -> None:
    """Its own address gives nobody the laptop's rights, not even the laptop."""
    root = opened.door.open().root
    assert root.startswith(f"http://{HERE_TOO}:")
    assert httpx.get(f"{root}/").status_code == 401
    token = opened.doors.add("phone", "builder", MARKS)[1]
    paired = {DEVICE_COOKIE: token}
    assert httpx.get(f"{root}/", cookies=paired).status_code == 200
    assert httpx.get(f"{root}/devices", cookies=paired).status_code == 403


def test_network_is_closed_again(opened: Open) -> None:
    """Nobody answers there any more, and the address is no name of ours."""
    first = opened.door.open()
    assert opened.door.open() == first
    opened.door.close()
    with pytest.raises(httpx.ConnectError):
        httpx.get(first.root)
    assert HERE_TOO not in opened.app.state.gate.names()
    assert opened.door.open().root.startswith(f"http://{HERE_TOO}:")


def test_page_opens_and_closes_the_network(opened: Open) -> None:
    """With one press, which shows a code that pairs at once; from the laptop."""
    with httpx.Client(base_url=opened.here, headers={"Origin": opened.here}) as laptop:
        done = laptop.post("/devices/network", data={"wanted": "open"})
        assert done.status_code == 200
        root = opened.app.state.gate.network.root
        (code,) = re.findall(rf"<code>{root}(/pair/[^<]+)</code>", done.text)
        assert "<svg" in done.text.partition('class="qr"')[2]
        assert httpx.get(f"{root}{code}").status_code == 200
        assert root in laptop.get("/devices").text
        assert httpx.get(root).status_code == 401
        laptop.post("/devices/network", data={"wanted": "close"})
    assert not opened.door.is_open


def test_opening_begins_the_record(opened: Open) -> None:
    """Devices are kept with the record: one press does both."""
    shutil.rmtree(opened.workshop.folder / "record")
    opened.workshop.close()
    assert not opened.workshop.has_record
    origin = {"Origin": opened.here}
    answer = httpx.post(
        f"{opened.here}/devices/network", data={"wanted": "open"}, headers=origin
    )
    assert "/pair/" in answer.text
    assert opened.workshop.has_record


def test_both_see_a_mark_within_a_second(opened: Open) -> None:
    """A mark of the phone reaches the laptop's page, and one of the laptop the phone's.

    They listen in two event loops.
    """
    root = opened.door.open().root
    token = opened.doors.add("phone", "friend", MARKS)[1]
    head = {"X-Rivetwright": "mark"}
    with news(opened.here) as laptop, news(root, token) as phone:
        for number, address, cookies in (
            (1, root, {DEVICE_COOKIE: token}),
            (2, opened.here, {}),
        ):
            said = {"marks": [opened.mark(number)]}
            answer = httpx.post(
                f"{address}/api/marks", json=said, headers=head, cookies=cookies
            )
            (kept,) = answer.json()["kept"]
            for lines in (laptop, phone):
                wait_for(lines, f"id: {kept['seq']}", WITHIN_S)
                told = json.loads(wait_for(lines, "data: ", WITHIN_S)[6:])
                assert set(told["painted"].values()) == {"set"}
                assert len(told["painted"]) == 6


def test_what_was_missed_comes_first(opened: Open) -> None:
    """A page that comes back names the last position it saw, and misses nothing."""
    told: list[int] = []
    with (
        httpx.Client(base_url=opened.here, timeout=10) as client,
        client.stream("GET", "/api/live", headers={"Last-Event-ID": "100"}) as answer,
    ):
        for line in answer.iter_lines():
            if line.startswith("data: {"):
                told.append(json.loads(line[6:])["seq"])
            if told and told[-1] == opened.workshop.position():
                break
    assert told == list(range(101, opened.workshop.position() + 1))


@pytest.mark.parametrize("role", [MARKS, READS])
def test_shut_out_device_hears_no_more(opened: Open, role: str) -> None:
    """Its open stream ends; nothing that is marked after that reaches it."""
    root = opened.door.open().root
    device, token = opened.doors.add("phone", "friend", role)
    with news(root, token) as lines:
        assert opened.doors.shut_out(device.id)
        ended = time.monotonic()
        while lines.get(timeout=5) is not None:
            pass
        assert time.monotonic() - ended < 3
        answer = httpx.get(f"{root}/api/live", cookies={DEVICE_COOKIE: token})
        assert answer.status_code == 401


def test_last_seen_is_kept(opened: Open) -> None:
    """Once a minute at most: a page that asks often is not a write each time."""
    root = opened.door.open().root
    device, token = opened.doors.add("phone", "friend", MARKS)
    seen = []
    for _ in range(3):
        httpx.get(f"{root}/api/now", cookies={DEVICE_COOKIE: token})
        seen.append(opened.doors.devices()[0].seen_at)
    assert seen[0] > device.seen_at
    assert seen == [seen[0]] * 3


def test_fixed_name_is_one_to_ask_for(opened: Open) -> None:
    """With the extra's library the pages have a name that stays."""
    (name,) = opened.door.open().extra_names
    assert re.fullmatch(r"rivetwright-[a-z0-9-]+\.local", name)
    assert name in opened.app.state.gate.names()
    opened.door.close()
    assert name not in opened.app.state.gate.names()


def test_without_the_extra_there_is_an_address_all_the_same(
    opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither the name's library nor the certificates' is needed."""
    for library in ("zeroconf", "cryptography"):
        monkeypatch.setitem(sys.modules, library, None)
    network_now = opened.door.open()
    assert network_now.extra_names == ()
    assert httpx.get(network_now.root).status_code == 401


def test_machine_on_no_network_is_told(
    opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is opened, and what to do is said."""
    monkeypatch.setattr(network, "network_addresses", list)
    with pytest.raises(Refusal) as refused:
        opened.door.open()
    assert "Wi-Fi" in refused.value.do
    assert not opened.door.is_open


def test_encrypted_pages(opened: Open, tmp_path: Path) -> None:
    """A phone that installed the authority opens them; another does not."""
    gate = opened.app.state.gate
    door = NetworkDoor(opened.app, gate, 0, tmp_path / "keys", is_encrypted=True)
    opened.app.state.network_door = door
    try:
        root = door.open().root
        assert root.startswith(f"https://{HERE_TOO}:")
        with pytest.raises(httpx.ConnectError):
            httpx.get(root)
        given = httpx.get(f"{opened.here}/certificate.pem").text
        trust = ssl.create_default_context(cadata=given)
        assert httpx.get(root, verify=trust).status_code == 401
        code = opened.doors.make_code(MARKS, "builder")
        done = httpx.post(f"{root}/pair/{code}", verify=trust, data={"name": "phone"})
        assert done.status_code == 303
        assert "; Secure" in done.headers["set-cookie"]
    finally:
        door.close()
