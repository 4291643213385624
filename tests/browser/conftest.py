"""Pages served on this machine, and a real browser that looks at them."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page

from benchmarks.plans import made_up_plan
from rivetwright.bench.head_table import HeadTable
from rivetwright.engines.plan import WorkedPlan
from rivetwright.intake.write_plan import write_plan
from rivetwright.paper.pack import typeset
from rivetwright.web.app import create_app
from rivetwright.web.serve import STOP_SECONDS, free_socket
from tests.browser.at_bench import Bench, copy_of_demo
from tests.browser.one_browser import OneBrowser
from tests.browser.running import Running
from tests.worked_once import worked_once  # noqa: F401  (for every test)

DESK, PHONE = (1440, 900), (390, 844)
SIZES = {"desk": DESK, "phone": PHONE}
ONE, HERE = OneBrowser(), Path(__file__).parent
MANY_HOLES = 3000


def words_of(text: str | None) -> str:
    """Text as it is read: one blank between words."""
    return " ".join((text or "").split())


Served = Callable[[Path], str]
Opened = Callable[..., Page]


def pack_bytes(worked_plan: WorkedPlan, *, paper: str, heads: HeadTable) -> bytes:
    """The print pack as the command line gives it to the pages."""
    return typeset(worked_plan, "a4" if paper == "a4" else "letter", heads)


@pytest.fixture(scope="session")
def served() -> Iterator[Served]:
    """Serve a folder; gives the address of its pages."""
    running: list[tuple[Running, threading.Thread]] = []

    def start(folder: Path) -> str:
        listener = free_socket(0)
        settings = uvicorn.Config(
            create_app(folder, pack_bytes),
            log_level="error",
            timeout_graceful_shutdown=STOP_SECONDS,
        )
        server = Running(settings)
        thread = threading.Thread(target=server.run, args=([listener],), daemon=True)
        thread.start()
        assert server.ready.wait(20), "the server did not start"
        running.append((server, thread))
        return f"http://127.0.0.1:{listener.getsockname()[1]}"

    yield start
    for server, _ in running:
        server.should_exit = True
    for _, thread in running:
        thread.join(10)


@pytest.fixture(scope="session")
def demo(served: Served, root: Path) -> str:
    """The pages of the demo, read where it lies."""
    return served(root / "examples" / "ostrel")


@pytest.fixture
def demo_copy(served: Served, root: Path, tmp_path: Path) -> tuple[str, Path]:
    """The pages of a copy of the demo that a test may change."""
    folder = tmp_path / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    return served(folder), folder


@pytest.fixture
def bench(root: Path, tmp_path: Path) -> Iterator[Bench]:
    """A copy of the demo with its record begun, served for one test."""
    opened = Bench(copy_of_demo(root, tmp_path / "ostrel"))
    yield opened
    opened.stop()


@pytest.fixture(scope="session")
def many(served: Served, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The pages of a made-up assembly with 3,000 holes on one face."""
    folder = tmp_path_factory.mktemp("many")
    plan = made_up_plan(MANY_HOLES, outlines=5)
    (folder / "many.yaml").write_text(write_plan(plan), encoding="utf-8")
    return served(folder)


@pytest.fixture
def browser(chromium_path: str) -> Browser:
    """The one browser of these tests."""
    return ONE.opened(chromium_path)


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown(nextitem: pytest.Item | None) -> None:
    """After the last of these tests in a row the browser is shut."""
    if nextitem is None or HERE not in nextitem.path.parents:
        ONE.shut()


@pytest.fixture(params=list(SIZES))
def size(request: pytest.FixtureRequest) -> tuple[int, int]:
    """Each screen in turn: a laptop's and a phone's."""
    return SIZES[request.param]


@pytest.fixture
def look(browser: Browser) -> Iterator[Opened]:
    """Open a page; at the end no message and no request to elsewhere is left over.

    Takes the address, the size of the screen, and whatever else a browser context
    takes; `expected` are addresses that are meant to be answered with a refusal.
    """
    contexts: list[BrowserContext] = []
    said: list[str] = []
    asked: list[str] = []

    def open_page(address: str, size: tuple[int, int] = DESK, **wishes: object) -> Page:
        wishes.setdefault("reduced_motion", "reduce")
        context = browser.new_context(
            viewport={"width": size[0], "height": size[1]},
            has_touch=size == PHONE,
            **wishes,  # type: ignore[arg-type]
        )
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda problem: said.append(str(problem)))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(address)
        if wishes.get("java_script_enabled", True):
            page.wait_for_selector("html[data-ready]")
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert said == []
    assert [a for a in asked if not a.startswith("http://127.0.0.1:")] == []
