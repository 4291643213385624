"""Tools, air and gun as a person finds them, with and without scripting."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.conftest import DESK, PHONE, Opened


def test_from_the_tools_to_the_hole_that_waits(look: Opened, demo: str) -> None:
    """The page names the holes; the card says why, and opens how it was worked out."""
    page = look(demo + "/tools")
    page.get_by_role("link", name="Aileron A19:8").click()
    expect(page.locator(".tools-here")).to_contain_text("BB3")
    expect(page.locator(".tools-here .fit-tight")).to_be_visible()
    page.get_by_text("that do not get there").click()
    why = page.locator(".tools-here .why-not", has_text="Y3 needs .463 in behind")
    expect(why).to_be_visible()
    page.get_by_role("link", name="How it was worked out").last.click()
    expect(page.locator("[data-answer=tools_that_fit]")).to_have_text("BB3*")


def test_the_panel_shows_the_tools_of_a_hole(look: Opened, demo: str) -> None:
    """Chosen on the map's table, the card opens beside it with its tools."""
    page = look(demo + "/assembly/root-rib?face=B-W", DESK)
    page.locator("a.hole-name", has_text="B5:1").first.click()
    expect(page.locator(".panel .tools-here .fit-tight")).to_be_visible()


def test_gauges_are_ranked_without_scripting(look: Opened, demo: str) -> None:
    """A phone with scripting off: two readings, the stretch between stands first."""
    page = look(demo + "/air", PHONE, java_script_enabled=False)
    page.get_by_text("Read your gauges").click()
    page.get_by_label("after the regulator at the bench").fill("90")
    page.get_by_label("after the coupler at the squeezer").fill("60")
    page.get_by_role("button", name="Find where it goes").click()
    expect(page.locator(".suspects li").first).to_contain_text("by your gauges")


def test_the_gun_card_fits_a_phone(look: Opened, demo: str) -> None:
    """Callout and words large; the way back to the hole on top."""
    page = look(demo + "/assembly/root-rib/gun/B5:1", PHONE)
    sizes = page.locator(".callout, .calls-of-two strong").evaluate_all(
        "all => all.map(one => parseFloat(getComputedStyle(one).fontSize))"
    )
    assert sizes[0] >= 32
    assert min(sizes) >= 20
    page.get_by_role("link", name="Hole B5:1").click()
    expect(page.locator(".card-name")).to_contain_text("B5:1")


def test_on_paper_the_pages_show_no_form(look: Opened, demo: str) -> None:
    """What is filled in on the screen is not printed."""
    page = look(demo + "/air")
    page.emulate_media(media="print")
    expect(page.locator(".readings")).to_be_hidden()
    expect(page.locator(".line-picture svg")).to_be_visible()
