"""From a tap at the bench to its painted change, in a real Chromium at phone size.

A step of 600 holes on a face of 3,000, hole by hole: the large button is tapped, the
sign on the map changes its state, and the frame that shows it is drawn. Both moments
come from the browser's own clock; software drawing, so a real phone's screen is
quicker. Marks are kept on the device and sent meanwhile, as in an evening.
"""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from benchmarks.plans import made_up_plan
from benchmarks.report import Entry
from benchmarks.served import served
from rivetwright.intake.write_plan import write_plan
from rivetwright.model.step import Step

HOLES, OF_STEP, TAPS = 3000, 600, 100
STEP, LATER = "step-1", "step-2"
SLOWED = 4
POLL_MS = 200
# A tap is done when the finger lifts: from there, by the browser's own stamp of that
# event, to the first frame after a sign changed its state. The press before it lasts
# as long as the finger likes; the time from its beginning is kept beside.
WATCH = """() => {
  window.taps = [];
  window.presses = [];
  let pressed = 0;
  let lifted = 0;
  addEventListener("pointerdown", (event) => { pressed = event.timeStamp; }, true);
  addEventListener("pointerup", (event) => { lifted = event.timeStamp; }, true);
  const channel = new MessageChannel();
  channel.port1.onmessage = () => {
    const now = performance.now();
    if (lifted) window.presses.push(now - pressed), window.taps.push(now - lifted);
    lifted = 0;
  };
  new MutationObserver(() => {
    if (lifted) requestAnimationFrame(() => channel.port2.postMessage(0));
  }).observe(document.body, {
    subtree: true, attributes: true, attributeFilter: ["class"],
  });
}"""

# A press so soon after another is taken for a bounce of the finger.
HEARD = """() => {
  const last = performance.getEntriesByName("bench: deaf").at(-1);
  return !last || performance.now() - last.startTime >= 350;
}"""

# A press that follows another too soon is taken for a finger that bounces.
REST = """() => new Promise((rest) => {
  setTimeout(() => requestIdleCallback(rest), 400);
})"""
MIDDLE = """() => {
  const all = [...document.querySelectorAll(".done-all")];
  const seen = all.find((one) => one.offsetParent);
  const box = seen?.getBoundingClientRect();
  return box ? { x: box.x + box.width / 2, y: box.y + box.height / 2 } : null;
}"""


def made_up_folder(folder: Path) -> None:
    """A plan whose first step sets 600 of the 3,000 holes of its face."""
    plan = made_up_plan(HOLES, outlines=5)
    rows, holes = [], 0
    for row in plan.rows:
        rows.append(replace(row, step=STEP if holes < OF_STEP else LATER))
        holes += row.pattern.count
    steps = (Step(STEP, "made up"), Step(LATER, "made up too"))
    plan = replace(plan, steps=steps, rows=tuple(rows))
    folder.mkdir()
    (folder / "made-up.yaml").write_text(write_plan(plan), encoding="utf-8")


def make_ready(page: Page) -> None:
    """Begin the step, tick the list, take the rivets, go hole by hole."""
    page.wait_for_selector("html[data-ready]")
    page.get_by_role("button", name=f"Begin {STEP}").click()
    lines = page.locator(".gate-line button:visible, .gate button:visible")
    lines.first.wait_for()
    page.wait_for_function(HEARD)
    for k in range(lines.count()):
        lines.nth(k).click()
    one_by_one(page)


def one_by_one(page: Page) -> None:
    """Pass the tray by, then hole by hole."""
    page.wait_for_function(HEARD)
    page.get_by_role("button", name="Do not count").click()
    page.wait_for_function(HEARD)
    page.locator(".singly:visible").click()


def place_of(page: Page) -> tuple[float, float]:
    """The middle of the large button [px]; the tray of the next run is passed by."""
    while (place := page.evaluate(MIDDLE)) is None:
        page.locator(".done-all:visible, .pass:visible").first.wait_for()
        if page.locator(".pass:visible").count():
            one_by_one(page)
    return place["x"], place["y"]


def tapped(page: Page, taps: int) -> tuple[list[float], list[float]]:
    """So many taps, each after the screen came to rest from the one before [ms].

    From the lifting of the finger, and from its coming down.

    By place, as a finger does: looking a button up by its words keeps the page busy,
    and so does asking it in every frame whether it is done.
    """
    page.evaluate(WATCH)
    for k in range(taps):
        page.touchscreen.tap(*place_of(page))
        page.wait_for_function("k => window.taps.length > k", arg=k, polling=POLL_MS)
        # Nobody sets a rivet in a tenth of a second: the screen comes to rest first.
        page.evaluate(REST)
        page.wait_for_function(HEARD, polling=POLL_MS)
    return page.evaluate("window.taps"), page.evaluate("window.presses")


def share(times: list[float], part: float) -> float:
    """The time that this part of all times does not exceed [ms]."""
    return sorted(times)[min(len(times) - 1, int(part * len(times)))]


def taps_at(place: Path, slowed: int) -> tuple[list[float], list[float]]:
    """Taps with the processor slowed so many times, as `tapped` gives them [ms]."""
    made_up_folder(place)
    with served(place) as address, sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"),
            args=["--no-sandbox", "--disable-background-networking"],
        )
        context = browser.new_context(
            viewport={"width": 390, "height": 844},
            has_touch=True,
            reduced_motion="reduce",
        )
        page = context.new_page()
        page.goto(f"{address}/bench/made-up?step={STEP}")
        make_ready(page)
        slow = context.new_cdp_session(page)
        slow.send("Emulation.setCPUThrottlingRate", {"rate": slowed})
        found = tapped(page, TAPS)
        browser.close()
    print(
        f"tap to painted, processor slowed {slowed} times: "
        f"p50 {share(found[0], 0.5):.1f} ms, p95 {share(found[0], 0.95):.1f} ms; "
        f"from the press p50 {share(found[1], 0.5):.1f} ms"
    )
    return found


def measure_taps(folder: Path) -> list[Entry]:
    """Taps at normal speed and with the processor slowed four times."""
    beside = {"holes": float(HOLES), "of_step": float(OF_STEP), "taps": float(TAPS)}
    usual, pressed = taps_at(folder / "usual", 1)
    of_usual = {
        "p50_ms": share(usual, 0.5),
        "from_press_p95_ms": share(pressed, 0.95),
    }
    slow, slow_pressed = taps_at(folder / "slowed", SLOWED)
    of_slow = {
        "p95_ms": share(slow, 0.95),
        "from_press_p50_ms": share(slow_pressed, 0.5),
    }
    return [
        Entry("record_tap_painted_p95_ms", share(usual, 0.95), beside | of_usual),
        Entry("record_tap_painted_slowed_p50_ms", share(slow, 0.5), beside | of_slow),
    ]
