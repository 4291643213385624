"""How smoothly a map of 3,000 holes follows the hand, in a real Chromium.

A drag of 60 moves over the whole face and three times nearer; the gap between
drawn frames is taken from the browser's own clock. Software drawing, so a real
screen is quicker.
"""

from __future__ import annotations

import shutil
import tempfile
import threading
from pathlib import Path

import uvicorn
from playwright.sync_api import Page, ViewportSize, sync_playwright

from benchmarks.plans import made_up_plan
from benchmarks.report import Entry
from rivetwright.intake.write_plan import write_plan
from rivetwright.web.app import create_app
from rivetwright.web.serve import free_socket

HOLES = 3000
SCREENS: dict[str, ViewportSize] = {
    "desk": {"width": 1440, "height": 900},
    "phone": {"width": 390, "height": 844},
}
MOVES = 60
WATCH = """() => {
  window.gaps = [];
  let last = performance.now();
  const frame = (now) => {
    window.gaps.push(now - last);
    last = now;
    window.watching = requestAnimationFrame(frame);
  };
  window.watching = requestAnimationFrame(frame);
}"""
GAPS = "() => { cancelAnimationFrame(window.watching); return window.gaps; }"


def _drag(page: Page) -> list[float]:
    """Gaps between drawn frames during one drag [ms]."""
    box = page.locator(".map-frame").bounding_box()
    assert box is not None, "the map is on the page"
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.evaluate(WATCH)
    page.mouse.move(x, y)
    page.mouse.down()
    for k in range(MOVES):
        page.mouse.move(x + 4 * (k % 30) - 60, y + 3 * (k % 20) - 30)
    page.mouse.up()
    gaps: list[float] = page.evaluate(GAPS)
    return gaps


def _screen(page: Page, address: str) -> list[float]:
    """Gaps over the whole face and nearer [ms]."""
    page.goto(address)
    frame = page.locator(".map-frame")
    frame.scroll_into_view_if_needed()
    gaps = _drag(page)
    frame.focus()
    for _ in range(3):
        page.keyboard.press("+")
    return gaps + _drag(page)


def _share(gaps: list[float], part: float) -> float:
    """The gap that this part of all gaps does not exceed [ms]."""
    return sorted(gaps)[min(len(gaps) - 1, int(part * len(gaps)))]


def _measured(folder: Path) -> dict[str, list[float]]:
    """Gaps by screen, from pages served here."""
    listener = free_socket(0)
    server = uvicorn.Server(uvicorn.Config(create_app(folder), log_level="warning"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
    thread.start()
    address = f"http://127.0.0.1:{listener.getsockname()[1]}/assembly/made-up"
    try:
        with sync_playwright() as play:
            browser = play.chromium.launch(
                executable_path=shutil.which("chromium"),
                args=["--no-sandbox", "--disable-background-networking"],
            )
            return {
                name: _screen(browser.new_page(viewport=screen), address)
                for name, screen in SCREENS.items()
            }
    finally:
        server.should_exit = True
        thread.join()
        listener.close()


def measure(is_quick: bool) -> list[Entry]:
    """Typical and worst gaps of both screens together; quick is the same here."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "made-up.yaml"
        file.write_text(write_plan(made_up_plan(HOLES, outlines=5)), "utf-8")
        gaps = _measured(Path(folder))
    for name, found in gaps.items():
        print(
            f"{HOLES} holes, {name}: gap p50 {_share(found, 0.5):.1f} ms, "
            f"p95 {_share(found, 0.95):.1f} ms, {len(found)} frames"
        )
    every = [gap for found in gaps.values() for gap in found]
    beside = {"holes": HOLES, "frames": len(every)}
    return [
        Entry("map_drag_gap_p50_milliseconds", _share(every, 0.5), beside),
        Entry("map_drag_gap_p95_milliseconds", _share(every, 0.95), beside),
    ]
