"""The order of a step on its page: a list without a script, a sequence with one.

Step flap-6 sets row C19, 42 holes (scenario of the demo, table of rows).
"""

from __future__ import annotations

from playwright.sync_api import Browser, Page, expect

from rivetwright.bench.evening import evening
from tests.browser import at_bench
from tests.browser.at_bench import Bench, press, shown, wait_for
from tests.browser.conftest import DESK, Opened

STEP = "/assembly/flap/order/flap-6"


def painted(page: Page) -> set[str]:
    """Holes that the map shows as set."""
    found = page.locator(".order-map .hole.state-set").evaluate_all(
        "all => all.map((one) => one.dataset.hole)"
    )
    return set(found)


def holes_of(page: Page, kind: str) -> list[set[str]]:
    """The holes of every press of a kind, as the page lists them."""
    lines = page.locator(f"[data-kind={kind}]")
    written = lines.evaluate_all("all => all.map((one) => one.dataset.holes)")
    return [set(one.split()) for one in written]


def test_each_press_is_one_run_until_all_are_set(look: Opened, demo: str) -> None:
    """By key to the last press; before it all but its own holes are painted set."""
    page = look(demo + STEP, DESK)
    count = page.locator("[data-press]").count()
    assert painted(page) == set()
    for _ in range(count - 1):
        page.keyboard.press("ArrowRight")
    runs = holes_of(page, "set")
    assert painted(page) == set.union(*runs[:-1])
    assert set.union(*runs) == {f"C19:{k}" for k in range(1, 43)}
    expect(page.locator("[data-press][aria-current]")).to_have_count(1)
    assert page.locator(".now-ring").count() == len(runs[-1])
    expect(page.locator("[data-play=next]")).to_be_disabled()


def test_back_takes_the_paint_away(look: Opened, demo: str) -> None:
    """Forth and back by the buttons: the map is as it was."""
    page = look(demo + STEP, DESK)
    page.locator("[data-kind=set]").last.click()
    assert painted(page)
    while page.locator("[data-play=back]").is_enabled():
        page.locator("[data-play=back]").click()
    assert painted(page) == set()
    assert page.locator(".holder-sign").count() == 0


def test_play_goes_on_by_itself_and_stops(look: Opened, demo: str) -> None:
    """Space begins it; the next run comes without a press; space ends it."""
    page = look(demo + STEP, DESK)
    page.keyboard.press(" ")
    page.wait_for_selector("#press-2[aria-current]")
    play = page.locator("[data-play=play]")
    expect(play).to_have_attribute("aria-pressed", "true")
    page.locator("body").press(" ")
    expect(play).to_have_attribute("aria-pressed", "false")


def test_without_a_script_it_is_a_list(browser: Browser, demo: str) -> None:
    """Runs, reasons, minutes beside the kit's, and the form of wishes work."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(demo + STEP)
    text = page.locator("main").inner_text()
    assert "the kit says 75 min" in text
    assert "No order that keeps the rules takes less than" in text
    assert "Row C19, from the inboard end." in text
    assert "between rivets already set" in text
    page.locator(".order-how summary").click()
    page.get_by_label("quiet hours: nothing noisy").check()
    page.get_by_role("button", name="Work out").click()
    assert "hand squeezer" in page.locator(".order-cards").inner_text()
    context.close()


def test_a_step_that_is_stopped_says_so(look: Opened, demo: str) -> None:
    """Row A11 waits for an answer about its length: nothing to set, and why."""
    page = look(demo + "/assembly/aileron/order/aileron-6", DESK)
    text = page.locator("main").inner_text()
    assert "Nothing can be set at this step as it stands." in text
    assert "A11:1-37" in text


def to_the_run(page: Page) -> None:
    """Tick every list that is shown, then count the tray."""
    while shown(page) in ("open", "close", "gate"):
        at_bench.touch_lines(page, f".{shown(page)}-line")
    wait_for(page, "tray")
    press(page, "In the tray")


def test_what_breaks_at_the_bench_is_pressed_there(
    browser: Browser, bench: Bench
) -> None:
    """Aileron-5 by the pneumatic squeezer: it breaks, a hole must wait, both pressed.

    The hand squeezer takes over, its proof head first; the hole is in no run any more.
    """
    context = at_bench.phone(browser)
    page = at_bench.open_step(context, bench, "aileron-5")
    press(page, "Begin")
    page.wait_for_selector("[data-stage=begin][hidden]", state="attached")
    to_the_run(page)
    stage = page.locator("[data-stage]:not([hidden])")
    at_bench.wait_until_heard(page)
    stage.get_by_text("A tool broke, or a hole must wait").tap()
    press(page, "pneumatic squeezer broke")
    expect(page.locator(".tool-away")).to_contain_text("pneumatic squeezer: broken")
    first = bench.next_run("aileron", "aileron-5")
    assert first.setup.endswith("hand squeezer")
    held = first.names[0]
    # Another squeezer is another set-up: its proof head is asked for.
    wait_for(page, "gate")
    at_bench.touch_lines(page, ".gate-line")
    wait_for(page, "run")
    # The fold stays open while the order is worked out anew.
    stage.get_by_label("Which hole").select_option(held)
    stage.get_by_label("What they wait for").fill("burr found")
    press(page, "Hold them")
    at_bench.wait_until_kept(page)
    order = evening(bench.workshop, "aileron", "aileron-5", is_ordered=True)
    assert held not in {name for run in order.runs for name in run.names}
    page.get_by_role("button", name="pneumatic squeezer is back").tap()
    expect(page.locator(".tool-away")).to_have_count(0)
    context.close()
