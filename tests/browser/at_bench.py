"""A bench that a test may work at: a copy of the demo with its record, served."""

from __future__ import annotations

import shutil
import threading
from pathlib import Path

import uvicorn
from playwright.sync_api import Browser, BrowserContext, Locator, Page

from rivetwright.bench.evening import evening
from rivetwright.bench.runs import Run
from rivetwright.bench.workshop import Workshop
from rivetwright.record.chain import Entry
from rivetwright.record.kinds import RivetsSet
from rivetwright.web.app import create_app
from rivetwright.web.network import STOP_SECONDS
from rivetwright.web.sockets import free_socket
from tests.browser.running import Running

PHONE = {"width": 390, "height": 844}
STEP = "aileron-8"


class Bench:
    """Pages of a folder that may be stopped and started again at the same address."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.port = 0
        self.workshop = Workshop(folder)
        self.workshop.begin()
        self.begun_with = self.workshop.position()
        self.start()

    @property
    def address(self) -> str:
        """Where the pages are."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Serve, on the port of the first time."""
        listener = free_socket(self.port)
        self.port = listener.getsockname()[1]
        settings = uvicorn.Config(
            create_app(self.workshop),
            log_level="error",
            timeout_graceful_shutdown=STOP_SECONDS,
        )
        self.server = Running(settings)
        self.listener = listener
        self.thread = threading.Thread(
            target=self.server.run, args=([listener],), daemon=True
        )
        self.thread.start()
        assert self.server.ready.wait(20), "the server did not start"

    def stop(self) -> None:
        """Stop serving and let go of the record, as a laptop that is shut."""
        self.server.should_exit = True
        self.thread.join(10)
        self.listener.close()
        self.workshop.close()

    def restart(self) -> None:
        """Serve again what lies on the disk."""
        self.workshop = Workshop(self.folder)
        self.start()

    def fresh(self) -> list[Entry]:
        """What was recorded since the record was begun."""
        return list(self.workshop.entries(self.begun_with))

    def kinds(self) -> list[str]:
        """Kinds of what was recorded, in the order of arrival."""
        return [entry.fact.kind for entry in self.fresh()]

    def set_holes(self, assembly: str, row: str) -> list[int]:
        """Numbers of the holes of a row that hold a rivet now."""
        with self.workshop.lock:
            holes = self.workshop.hole_ids(assembly).holes
            row_id = next(one.id for one in holes.plan.rows if one.name == row)
            numbers = self.workshop.state().assembly(assembly).rows.get(row_id, {})
            return sorted(n for n, hole in numbers.items() if hole.rivet is not None)

    def next_run(self, key: str = "aileron", step: str = "aileron-8") -> Run:
        """The next run of a step by its worked-out order."""
        return evening(self.workshop, key, step, is_ordered=True).runs[0]

    def runs(self) -> list[RivetsSet]:
        """What was set, run by run."""
        bodies = [entry.fact.body for entry in self.fresh()]
        return [body for body in bodies if isinstance(body, RivetsSet)]


def copy_of_demo(root: Path, folder: Path) -> Path:
    """The demo where a test may change it, without a record of its own."""
    shutil.copytree(
        root / "examples" / "ostrel", folder, ignore=shutil.ignore_patterns("record")
    )
    return folder


def phone(browser: Browser, **wishes: object) -> BrowserContext:
    """A phone: small, touched, calm."""
    return browser.new_context(
        viewport=PHONE,  # type: ignore[arg-type]
        has_touch=True,
        reduced_motion="reduce",
        **wishes,  # type: ignore[arg-type]
    )


def open_step(
    context: BrowserContext, bench: Bench, step: str = STEP, key: str = "aileron"
) -> Page:
    """The bench screen at a step."""
    page = context.new_page()
    page.goto(f"{bench.address}/bench/{key}?step={step}")
    page.wait_for_selector("html[data-ready]")
    return page


def numbers(run: Run) -> list[int]:
    """The numbers of a run's holes, in order of number."""
    return sorted(int(name.partition(":")[2]) for name in run.names)


def done_words(run: Run) -> str:
    """What stands on the button that sets a run."""
    return f"Done: {run.count} set"


def shown(page: Page) -> str:
    """The kind of screen that is shown: begin, open, gate, tray, run ..."""
    stage = page.locator("[data-stage]:not([hidden])")
    return stage.get_attribute("data-kind") or ""


def wait_for(page: Page, kind: str) -> None:
    """Wait until a screen of a kind is shown."""
    page.wait_for_selector(f"[data-kind={kind}]:not([hidden])[data-stage]")


# A press so soon on a new screen, or on a rivet just marked, is taken for a bounce.
HEARD = """() => {
  const last = performance.getEntriesByName("bench: deaf").at(-1);
  return !last || performance.now() - last.startTime >= 350;
}"""


def wait_until_heard(page: Page) -> None:
    """Wait until the page hears the next press, as a hand takes its time."""
    page.wait_for_function(HEARD)


def press(page: Page, words: str) -> None:
    """Touch a button of the screen that is shown."""
    wait_until_heard(page)
    stage = page.locator("[data-stage]:not([hidden])")
    stage.get_by_role("button", name=words).first.tap()


def go_to_tray(page: Page) -> None:
    """Through everything that comes before the first run, one touch a line."""
    press(page, "Begin")
    for kind, line in (("open", ".open-line"), ("close", ".close-line")):
        wait_for(page, kind)
        touch_lines(page, line)
    wait_for(page, "gate")
    touch_lines(page, ".gate-line")
    wait_for(page, "tray")


def touch_lines(page: Page, line: str) -> None:
    """Tick each line of the list that is shown."""
    wait_until_heard(page)
    while page.locator(f"[data-stage]:not([hidden]) {line}[data-done=no]").count():
        left = page.locator(f"[data-stage]:not([hidden]) {line}[data-done=no]")
        left.first.locator(".tick").tap()


def shut_stop(page: Page) -> None:
    """Read the full-screen stop and put it away."""
    cover = page.locator(".stop-all")
    cover.wait_for(state="visible")
    # A press at once is taken for a slip of the hand: it is pressed until it goes.
    while cover.is_visible():
        page.get_by_role("button", name="Seen", exact=True).tap()


def wait_until_kept(page: Page) -> None:
    """Wait until the laptop has every mark."""
    page.wait_for_selector(".state-line[data-state=kept]")


def waiting_count(page: Page) -> int:
    """How many marks the page says are not yet on the laptop."""
    return int(page.locator(".state-line").get_attribute("data-waiting") or 0)


def send(page: Page, button: Locator) -> None:
    """Press a button of a form and wait for the page that answers it."""
    with page.expect_navigation():
        button.tap()
