"""A phone let in by the page Devices: it pairs, marks, only looks, is shut out."""

from __future__ import annotations

import re
import shutil
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, expect
from playwright.sync_api import Error as Unreached

from rivetwright.bench.workshop import Workshop
from rivetwright.model.plan import HoleRange
from rivetwright.web import network
from rivetwright.web.app import create_app
from rivetwright.web.doors import network_addresses
from rivetwright.web.network import NetworkDoor, settings_of
from rivetwright.web.sockets import free_socket
from tests.browser.conftest import DESK, PHONE
from tests.browser.test_pages import violations

# A machine without a network still has more addresses than 127.0.0.1 of its own.
ADDRESS = next(iter(network_addresses()), "127.0.0.2")
WITHIN_MS = 1000
SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
UNPAIRED = re.compile("Found: a device that is not paired")
# What the page's script does with a mark, from a page that is open.
POST = """marks => fetch("/api/marks", {
  method: "POST", headers: {"X-Rivetwright": "mark"}, body: JSON.stringify({marks})
}).then(answer => answer.status)"""


class Garage:
    """The laptop's browser, and phones beside it: each a browser of its own."""

    def __init__(self, browser: Browser, here: str, workshop: Workshop) -> None:
        self._browser = browser
        self._contexts: list[BrowserContext] = []
        self.here = here
        self.workshop = workshop
        self.laptop = self.device(DESK)

    def device(self, size: tuple[int, int] = PHONE) -> Page:
        """A browser that shares nothing with the others."""
        context = self._browser.new_context(
            viewport={"width": size[0], "height": size[1]},
            has_touch=size == PHONE,
            reduced_motion="reduce",
        )
        context.set_default_timeout(15_000)
        self._contexts.append(context)
        return context.new_page()

    def open_network(self, address: str = ADDRESS) -> None:
        """The laptop's button on the page Devices."""
        self.laptop.goto(f"{self.here}/devices")
        self.laptop.get_by_role("button", name="Open to the workshop network").click()
        expect(self.laptop.get_by_text(f"http://{address}:").first).to_be_visible()
        expect(self.laptop.locator(".made .qr svg")).to_be_visible()

    def made(self, button: str) -> str:
        """The address that a button of the page shows, beside its QR code."""
        self.laptop.goto(f"{self.here}/devices")
        self.laptop.get_by_role("button", name=button).click()
        expect(self.laptop.locator(".made .qr svg")).to_be_visible()
        return self.laptop.locator(".made code").inner_text()

    def paired(self) -> Page:
        """A phone let in as its owner would."""
        phone = self.device()
        phone.goto(self.made("Make a code for a phone"))
        phone.get_by_label("Name of this device").fill("Old phone")
        phone.get_by_role("button", name="Pair").click()
        phone.wait_for_url("**/bench")
        return phone

    def mark(self, number: int) -> dict[str, object]:
        """Two rivets of the row A17 set, as a page's script words it."""
        ids = self.workshop.hole_ids("aileron")
        first = 2 * number - 1
        at = ids.holes.indices(HoleRange("A17", first, first + 1))
        return {
            **{"fact": 1, "id": f"{number:032x}", "kind": "rivets-set", "version": 1},
            **{"assembly": "aileron", "device_seq": number, "revision": 1},
            **{"happened": "2026-11-25T12:00:00.000Z", "saw": 158},
            "body": {"holes": list(ids.ranges(at)), "callout": "MS20426AD3-3"},
        }

    def close(self) -> None:
        """Shut every browser."""
        for context in self._contexts:
            context.close()


@pytest.fixture
def garage(
    browser: Browser, root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Garage]:
    """A copy of the demo served as the command serves it, its record begun."""
    monkeypatch.setattr(network, "network_addresses", lambda: [ADDRESS])
    folder = tmp_path / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    workshop = Workshop(folder)
    workshop.begin()
    app = create_app(workshop)
    door = NetworkDoor(app, app.state.gate, 0, folder / "keys", is_encrypted=False)
    app.state.network_door = door
    with free_socket(0) as listener:
        server = uvicorn.Server(settings_of(app))
        thread = threading.Thread(target=server.run, args=([listener],), daemon=True)
        thread.start()
        here = f"http://127.0.0.1:{listener.getsockname()[1]}"
        opened = Garage(browser, here, workshop)
        yield opened
        opened.close()
        door.close()
        server.should_exit = True
        thread.join(10)
    workshop.close()


def expect_unpaired(page: Page, address: str) -> None:
    """The words that tell what to do, and nothing of the plan."""
    answer = page.goto(address)
    assert answer is not None
    assert answer.status == 401
    expect(page.locator("body")).to_have_text(UNPAIRED)
    assert page.locator("a, img, svg, form").count() == 0


def test_phone_is_let_in_by_its_code_once(garage: Garage) -> None:
    """Nothing is shown before; then the bench; the code lets nobody else in."""
    garage.open_network()
    phone, other = garage.device(), garage.device()
    code = garage.made("Make a code for a phone")
    expect_unpaired(phone, code.partition("/pair/")[0] + "/bench")
    phone.goto(code)
    phone.get_by_label("Name of this device").fill("Old phone")
    phone.get_by_role("button", name="Pair").click()
    phone.wait_for_url("**/bench")
    expect(phone.get_by_role("main")).to_contain_text("Aileron")
    answer = other.goto(code)
    assert answer is not None
    assert answer.status == 403
    garage.laptop.goto(f"{garage.here}/devices")
    line = garage.laptop.get_by_role("row", name="Old phone")
    expect(line).to_contain_text("mark")
    expect(line).to_contain_text("The builder")


def test_devices_see_each_others_marks_within_a_second(garage: Garage) -> None:
    """On the map of the bench screen, from the phone to the laptop and back."""
    garage.open_network()
    phone = garage.paired()
    plan = garage.workshop.read().assembly("aileron").worked_plan.worked.plan
    step = next(row.step for row in plan.rows if row.name == "A17")
    root = phone.url.removesuffix("/bench")
    pages = {phone: root, garage.laptop: garage.here}
    for page, address in pages.items():
        with page.expect_response("**/api/live*"):
            page.goto(f"{address}/bench/aileron?step={step}")
        page.wait_for_selector("html[data-ready]")
    for number, (page, other) in enumerate(
        [(phone, garage.laptop), (garage.laptop, phone)], start=1
    ):
        name = f"A17:{2 * number}"
        painted = other.locator(f'svg .hole[data-hole="{name}"].state-set')
        assert painted.count() == 0
        began = time.monotonic()
        assert page.evaluate(POST, [garage.mark(number)]) == 200
        expect(painted).to_have_count(1, timeout=WITHIN_MS)
        assert time.monotonic() - began < 2 * WITHIN_MS / 1000


def test_link_to_read_shows_and_cannot_mark(garage: Garage) -> None:
    """The inspector sees the plan; no button marks; a mark sent all the same is not."""
    garage.open_network()
    inspector = garage.device()
    inspector.goto(garage.made("Make a link that only reads"))
    expect(inspector.get_by_role("main")).to_contain_text("Aileron")
    root = inspector.url.rstrip("/")
    inspector.goto(f"{root}/bench/aileron")
    inspector.wait_for_selector("html[data-ready]")
    assert inspector.locator("form.mark button:visible:enabled").count() == 0
    before = garage.workshop.position()
    assert inspector.evaluate(POST, [garage.mark(1)]) == 403
    assert garage.workshop.position() == before
    answer = inspector.goto(f"{root}/devices")
    assert answer is not None
    assert answer.status == 403


def test_shut_out_phone_sees_nothing(garage: Garage) -> None:
    """From the laptop's button on: no page, no news, no mark taken."""
    garage.open_network()
    phone = garage.paired()
    root = phone.url.removesuffix("/bench")
    phone.goto(f"{root}/bench/aileron")
    phone.wait_for_selector("html[data-ready]")
    garage.laptop.goto(f"{garage.here}/devices")
    line = garage.laptop.get_by_role("row", name="Old phone")
    line.get_by_role("button", name="Shut out").click()
    expect(line).to_contain_text("shut out")
    assert phone.evaluate(POST, [garage.mark(1)]) == 401
    expect_unpaired(phone, f"{root}/bench/aileron")


def test_shut_out_phone_keeps_no_page(
    garage: Garage, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What it had kept for want of the laptop goes when the laptop says so.

    An address of the loopback, for a browser keeps pages only where it trusts them.
    """
    monkeypatch.setattr(network, "network_addresses", lambda: ["127.0.0.2"])
    garage.open_network("127.0.0.2")
    phone = garage.paired()
    bench = f"{phone.url}/aileron"
    phone.goto(bench)
    phone.wait_for_function(f"() => caches.match({bench!r})")
    assert garage.laptop.goto(f"{garage.here}/devices")
    line = garage.laptop.get_by_role("row", name="Old phone")
    line.get_by_role("button", name="Shut out").click()
    expect(line).to_contain_text("shut out")
    expect_unpaired(phone, bench)
    phone.wait_for_function("async () => (await caches.keys()).length === 0")


def test_closed_network_answers_nobody(garage: Garage) -> None:
    """The laptop's page goes on; the phone's address is gone."""
    garage.open_network()
    phone = garage.paired()
    root = phone.url.removesuffix("/bench")
    garage.laptop.goto(f"{garage.here}/devices")
    garage.laptop.get_by_role("button", name="Close to the network").click()
    expect(garage.laptop.get_by_text("Shut: nobody but this machine")).to_be_visible()
    with pytest.raises(Unreached, match="ERR_CONNECTION_REFUSED"):
        phone.goto(root)


def test_pages_of_the_record_can_be_read_by_everybody(
    garage: Garage, size: tuple[int, int]
) -> None:
    """Before and after each button, light and dark; nothing sticks out."""

    def look_at(page: Page) -> None:
        """Hold the page against every rule."""
        page.wait_for_selector("html[data-ready]")
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme)
            assert violations(page) == [], page.url

    laptop = garage.laptop
    laptop.set_viewport_size({"width": size[0], "height": size[1]})
    laptop.goto(f"{garage.here}/devices")
    look_at(laptop)
    garage.open_network()
    code = garage.made("Make a code for a phone")
    look_at(laptop)
    garage.made("Make a link that only reads")
    laptop.get_by_role("button", name="Shut out").click()
    look_at(laptop)
    for page in ("carry", "record"):
        laptop.goto(f"{garage.here}/{page}")
        look_at(laptop)
    phone = garage.device(size)
    phone.goto(code)
    look_at(phone)
    phone.goto(f"{code}x")
    look_at(phone)
