"""What a builder does on the pages, from the first look to the working of a figure."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE, Opened, Served, words_of

Size = tuple[int, int]


def lit_holes(page: Page) -> set[str]:
    """Names of the holes that are lit on the map."""
    lit = page.locator(".map-frame .hole.lit").all()
    return {one.get_attribute("data-hole") or "" for one in lit}


def shown_holes(page: Page) -> list[str]:
    """Names of the holes in the table that are not filtered out."""
    return page.locator("tr[data-hole]:not([hidden]) a.hole-name").all_inner_texts()


def test_first_page_leads_to_the_gravest_finding(
    look: Opened, demo: str, size: Size
) -> None:
    """The link beside the gravest finding lights the 36 short rivets of A11."""
    page = look(demo, size)
    page.get_by_role("link", name="Show A11:1-36").click()
    page.wait_for_selector("html[data-ready]")
    expect(page.locator(".map-frame .hole.lit")).to_have_count(36)
    assert "A11:37" not in lit_holes(page)
    assert page.locator("svg.hole-map").get_attribute("data-face") == "A-TF"


def test_first_page_leads_to_the_evening(look: Opened, demo: str, size: Size) -> None:
    """Its one accented link shows the evening in full; nothing sticks out."""
    page = look(demo, size)
    page.locator("a.next").click()
    expect(page.locator("h1")).to_have_text("What can be done")
    assert page.locator(".turn").count() > 2
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0


def test_finding_lights_its_holes_and_lets_them_go(look: Opened, demo: str) -> None:
    """Pointed at it lights its holes; left, all are equal; pressed, they stay."""
    page = look(demo + "/assembly/aileron?face=A-SW")
    link = page.locator("a.to-holes", has_text=re.compile("^A1:1-3"))
    link.hover()
    assert lit_holes(page) == {"A1:1", "A1:2", "A1:3"}
    page.locator("h1").hover()
    assert lit_holes(page) == set()
    link.click()
    page.locator("h1").hover()
    assert lit_holes(page) == {"A1:1", "A1:2", "A1:3"}
    assert "lit=LENGTH-05" in page.url


def test_finding_of_another_face_goes_there(
    look: Opened, demo: str, size: Size
) -> None:
    """From the spar web to the top flange, with the holes lit there."""
    page = look(demo + "/assembly/aileron?face=A-SW", size)
    page.locator("a.to-holes", has_text="A11:1-36").click()
    page.wait_for_selector("svg.hole-map[data-face='A-TF']")
    expect(page.locator(".map-frame .hole.lit")).to_have_count(36)


@pytest.mark.parametrize(
    ("face", "field", "value", "expected", "of"),
    [
        ("aileron?face=A-BF", "row", "A12", 37, 37),
        ("aileron?face=A-BF", "step", "wing-22", 3, 37),
        ("aileron?face=A-BF", "findings", "TEXT-01", 4, 37),
        ("aileron?face=A-BF", "state", "open", 4, 37),
        ("root-rib?face=B-W", "callout", "MS20470AD5-7", 5, 55),
    ],
)
def test_filter_shows_only_what_is_meant(
    look: Opened, demo: str, face: str, field: str, value: str, expected: int, of: int
) -> None:
    """As the drawings have it: A12:18-20 wait for step wing-22, A12:37 for a part.

    Row B5 has seven holes; the last two are left open and get a longer rivet.
    """
    page = look(f"{demo}/assembly/{face}")
    page.locator(f"select[name={field}]").select_option(value)
    assert len(shown_holes(page)) == expected
    assert lit_holes(page) == set(shown_holes(page))
    assert page.locator(".filter output").inner_text() == f"{expected} of {of} holes"
    page.reload()
    page.wait_for_selector("html[data-ready]")
    assert len(shown_holes(page)) == expected
    page.get_by_role("link", name="Show all holes").click()
    assert len(shown_holes(page)) == of
    assert lit_holes(page) == set()


def test_working_opens_in_the_panel_and_goes_back(
    look: Opened, demo: str, size: Size
) -> None:
    """Grip of A11:5: the three sheets .025, .020, .025 add up to .070."""
    page = look(demo + "/assembly/aileron?face=A-TF&hole=A11:5", size)
    panel = page.locator(".panel")
    panel.locator("[data-quantity=grip_mm]").click()
    answer = panel.locator("[data-answer=grip_mm]")
    answer.wait_for()
    assert answer.inner_text() == ".070 in"
    told = words_of(panel.locator(".told").first.inner_text())
    assert "sum_sheets((0.635, 0.508, 0.635)) + 0 = 1.778" in told
    assert page.evaluate("document.activeElement.tagName") == "H2"
    panel.get_by_role("button", name="Back to the hole").click()
    panel.locator(".callout").wait_for()


def test_keyboard_alone_goes_from_table_to_working_and_back(
    look: Opened, demo: str
) -> None:
    """Into the table, along the row, to the next, open, read a working, close."""
    page = look(demo + "/assembly/root-rib?face=B-W")
    page.locator(".filter select").last.focus()
    page.keyboard.press("Tab")
    focus = page.locator(":focus")
    expect(focus).to_have_text("B1:1")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowDown")
    expect(focus).to_have_text("B1:3")
    assert lit_holes(page) == {"B1:3"}
    page.keyboard.press("ArrowLeft")
    expect(focus).to_have_text("B1:2")
    page.keyboard.press("End")
    expect(focus).to_have_text("B1:7")
    page.keyboard.press("PageDown")
    expect(focus).to_have_text("B2:1")
    page.keyboard.press("PageDown")
    page.keyboard.press("PageUp")
    expect(focus).to_have_text("B2:1")
    page.keyboard.press("Enter")
    expect(page.locator(".panel h2:focus")).to_contain_text("B2:1")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.locator(".panel [data-answer]").wait_for()
    page.keyboard.press("Escape")
    page.locator(".panel .callout").wait_for()
    page.keyboard.press("Escape")
    expect(page.locator(".panel .prompt")).to_be_visible()
    expect(focus).to_have_text("B2:1")


def test_everything_can_be_reached_by_tab(look: Opened, demo: str) -> None:
    """Skip link, pages, faces, turning, zoom, map, findings, filter: all take focus."""
    page = look(demo + "/assembly/root-rib?face=B-W")
    reached: list[str] = []
    for _ in range(60):
        page.keyboard.press("Tab")
        reached.append(words_of(page.locator(":focus").first.inner_text())[:20])
        if reached[-1] == "B1:1":
            break
    for word in ("Skip to the page", "Findings", "Turn left", "Nearer", "B8:1"):
        assert word in reached
    assert reached[-1] == "B1:1"


def test_theme_is_kept_on_this_device(look: Opened, demo: str) -> None:
    """Turned dark by the button, the next page is dark before it is painted."""
    page = look(demo)
    light = page.evaluate("getComputedStyle(document.body).backgroundColor")
    page.get_by_role("button", name="Dark").click()
    dark = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert dark != light
    page.goto(demo + "/findings")
    page.wait_for_selector("html[data-ready]")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == dark
    assert page.get_by_role("button", name="Light").is_visible()


def test_dark_system_gets_the_dark_theme(look: Opened, demo: str, size: Size) -> None:
    """Paper and ink change places: the page is darker than its words."""
    page = look(demo + "/assembly/aileron", size, color_scheme="dark")
    paper, ink = (
        page.evaluate(f"getComputedStyle(document.body).{name}")
        for name in ("backgroundColor", "color")
    )
    brightness = [sum(map(int, re.findall(r"\d+", one)[:3])) for one in (paper, ink)]
    assert brightness[0] < 100 < 500 < brightness[1]


def test_change_on_disk_is_read_at_the_next_look(
    look: Opened, demo_copy: tuple[str, Path]
) -> None:
    """A row renamed in the file is renamed here; a broken file is told by line."""
    address, folder = demo_copy
    page = look(address + "/assembly/aileron?face=A-TF")
    assert shown_holes(page)[0] == "A11:1"
    file = folder / "aileron.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(re.sub(r"\bA11\b", "A91", text), encoding="utf-8")
    page.reload()
    page.wait_for_selector("html[data-ready]")
    assert shown_holes(page)[0] == "A91:1"
    lines = text.splitlines()
    at = next(k for k, line in enumerate(lines) if line.startswith("unit:"))
    lines[at] = "unit: furlong"
    file.write_text("\n".join(lines), encoding="utf-8")
    page.goto(address)
    refusal = words_of(page.locator(".refusal").inner_text())
    assert f"aileron.yaml, line {at + 1}" in refusal
    assert "furlong" in refusal
    assert page.get_by_role("link", name="Flap", exact=True).is_visible()


def test_phone_card_leaves_the_map_in_sight(look: Opened, demo: str) -> None:
    """With a card open on a phone, the chosen hole is still seen above it."""
    page = look(demo + "/assembly/root-rib?face=B-W", PHONE)
    page.locator("a.hole-name", has_text="B7:3").click()
    page.locator(".panel .callout").wait_for()
    card = page.locator(".panel").bounding_box()
    hole = page.locator(".map-frame .hole[data-hole='B7:3']").bounding_box()
    assert card is not None
    assert hole is not None
    assert 0 <= hole["y"] < card["y"]


ROWS_ONLY = """\
format: rivetwright plan 1
project: {id: 0b3c5a4e-2f7d-4d1c-9b8a-6e5f4a3b2c1d, name: My aeroplane}
assembly: {id: bare, name: Rows only}
unit: mm
parts: {11: {thickness: 0.8}, 12: {thickness: 1.0}}
steps: {s-1: {title: set them}}
rows:
  R1: {count: 30, stack: [11, 12], callout: MS20470AD4-4, step: s-1}
  R2: {count: 4, stack: [11, 12], callout: MS20470AD3-4, step: s-1}
"""


def test_holes_without_places_are_chosen_in_their_strip(
    look: Opened, served: Served, tmp_path: Path, size: Size
) -> None:
    """The strip stands for the map: pressed, a hole opens; filtered, a row is lit."""
    (tmp_path / "bare.yaml").write_text(ROWS_ONLY, encoding="utf-8")
    page = look(served(tmp_path) + "/assembly/bare", size)
    page.locator(".strip .hole[data-hole='R1:3'] .eye").click()
    page.locator(".panel h2", has_text="R1:3").wait_for()
    grip = page.locator(".panel [data-quantity=grip_mm]").inner_text()
    assert words_of(grip) == "1.80 mm .071 in"
    page.get_by_role("button", name="Close").click()
    page.locator("select[name=row]").select_option("R2")
    expect(page.locator(".strip .hole.lit")).to_have_count(4)
