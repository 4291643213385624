"""Heads checked at the bench by a phone: asked, judged, decided, taken out."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from rivetwright.record.kinds import HeadChecked, HeadDecided
from tests.browser.at_bench import Bench, open_step, phone
from tests.browser.test_pages import violations

HEAD = "/bench/aileron/head"
IN = 25.4


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A phone without scripting: everything here works by plain forms."""
    context = phone(browser, java_script_enabled=False)
    yield context.new_page()
    context.close()


def judge(page: Page, width: str, height: str) -> None:
    """Type both sizes and have the head judged."""
    page.get_by_label("Width of the shop head").fill(width)
    page.get_by_label("Height of the shop head").fill(height)
    page.get_by_role("button", name="Judge it").click()


def test_three_heads_one_wrong_entry_one_squeezed_again_one_taken_out(
    bench: Bench, page: Page
) -> None:
    """A5:3 right by eye; A6:1 typed .63 for .063; A6:3 high, squeezed, low, out."""
    page.goto(f"{bench.address}/bench/aileron/heads")
    page.get_by_role("link", name="Check A5:3").click()
    page.get_by_role("button", name="Looked at by eye").click()
    expect(page.get_by_role("status")).to_contain_text("A5:3 is kept")

    page.get_by_role("link", name="Check A6:1").click()
    judge(page, ".205", ".63")
    asked = page.locator(".ask-size")
    expect(asked).to_contain_text("Height .630 in: such a rivet has")
    assert len(bench.fresh()) == 1
    asked.get_by_role("button", name=".0630 in").click()
    expect(page.locator(".head-verdict")).to_contain_text("Stays: inside MIL-R-47196A")

    page.get_by_role("link", name="Next head").click()
    page.get_by_role("link", name="Check A6:3").click()
    judge(page, "5,0 mm", ".073")
    verdict = page.locator(".head-verdict")
    expect(verdict).to_contain_text(".073 in high, at most .070 in (MIL-R-47196A)")
    expect(page.locator(".suspects li").first).to_contain_text("Not set far enough")
    page.get_by_role("button", name="Squeeze it again.").click()
    expect(page.locator(".kept")).to_contain_text("Decided: Squeeze it again.")

    page.get_by_role("link", name="Measure it again").click()
    judge(page, ".251", ".045")
    expect(verdict).to_contain_text(".045 in high, at least .050 in")
    page.get_by_role("button", name="Take it out and set another.").click()
    expect(page.locator(".is-caution").first).to_contain_text("Eye and ear protection")
    page.get_by_role("button", name="It is out").click()
    page.get_by_label("Hole as measured").fill(".130")
    page.get_by_role("button", name="What goes in?").click()
    expect(page.locator(".advised")).to_contain_text("Take it out and set another.")

    assert bench.kinds() == [
        *("head-checked", "head-checked", "head-checked", "head-decided"),
        *("head-checked", "head-decided", "rivet-removed"),
    ]
    bodies = [entry.fact.body for entry in bench.fresh()]
    typed = bodies[1]
    assert isinstance(typed, HeadChecked)
    assert typed.height_mm == pytest.approx(0.063 * IN)
    decided = bodies[3]
    assert isinstance(decided, HeadDecided)
    assert decided.decision == "squeeze again"
    assert decided.reason


def test_looks_are_pressed_as_pictures(bench: Bench, page: Page) -> None:
    """A finger on the picture ticks it; each is at least 56 px high."""
    page.goto(f"{bench.address}{HEAD}/A5:3")
    looks = page.locator(".defects label")
    heights = [box["height"] for one in looks.all() if (box := one.bounding_box())]
    assert len(heights) == 15
    assert min(heights) >= 56
    page.locator(".defects label", has_text="tail bent over").tap()
    page.get_by_role("button", name="Judge it").click()
    expect(page.locator(".head-verdict")).to_contain_text("tail bent over")
    expect(page.locator(".advised")).to_contain_text("Take it out and set another.")


def test_keyboard_alone_checks_a_head(bench: Bench, page: Page) -> None:
    """Tab to the sizes, type, space ticks a look, enter judges."""
    page.goto(f"{bench.address}{HEAD}/A5:3")
    page.get_by_label("Width of the shop head").focus()
    page.keyboard.type(".205")
    page.keyboard.press("Tab")
    page.keyboard.type(".062")
    page.get_by_label("off centre", exact=True).focus()
    page.keyboard.press("Space")
    page.get_by_label("Height of the shop head").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".head-verdict")).to_contain_text("off centre")


def test_bench_screen_leads_to_the_heads(bench: Bench, browser: Browser) -> None:
    """One line above the work names what is wanting and counts what is due."""
    context = phone(browser)
    page = open_step(context, bench, "aileron-3")
    line = page.locator(".heads-asked a")
    expect(line).to_contain_text("Found wanting: A6:2, A9:2")
    line.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Heads to measure now")
    context.close()


def test_pages_of_a_head_can_be_read_by_everybody(
    bench: Bench, browser: Browser
) -> None:
    """No rule of axe is broken, light or dark; nothing sticks out of a phone."""
    context = phone(browser)
    page = context.new_page()
    for address in (
        "/bench/aileron/heads",
        *(f"{HEAD}/A5:3", f"{HEAD}/A6:2/answer", f"{HEAD}/A6:2/removal"),
        *(f"{HEAD}/A6:2/hole?size=.140", f"{HEAD}/A6:2/square?tip=.1&out=1"),
    ):
        page.emulate_media(color_scheme="light")
        page.goto(bench.address + address)
        page.wait_for_selector("html[data-ready]")
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        assert violations(page) == []
        page.emulate_media(color_scheme="dark")
        assert violations(page) == []
    context.close()
