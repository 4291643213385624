"""Every page, whoever looks: assistive technology, no script, dark, on paper."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from tests.browser.conftest import DESK, PHONE, Opened, Served, words_of

Size = tuple[int, int]
PAGES = (
    "/",
    "/findings",
    "/findings/LENGTH-01",
    "/words",
    "/patterns",
    "/assembly/aileron?face=A-TF",
    "/assembly/root-rib?face=B-W&turn=1&mirror=1",
    "/assembly/root-rib?face=B-W&hole=B8:1",
    "/assembly/flap?face=C-BF&row=C13",
    "/tonight",
    "/tonight?day=2026-11-28&helper=with&step=aileron/aileron-8&by=2026-11-28",
    "/assembly/aileron/order",
    "/assembly/flap/order/flap-4",
    "/assembly/aileron/order/aileron-6?as_if=yes&begin=ends&out=Y3",
    "/assembly/aileron/holders?step=aileron-5",
    "/assembly/aileron/set-ups",
    "/assembly/aileron/heads",
    "/assembly/aileron/hole/A6:2",
    "/assembly/aileron/set-up/A5:1",
    "/assembly/aileron/dimpling/A13:1/502",
    "/assembly/aileron/hole/A12:18",
    "/assembly/aileron/hole/A19:8",
    "/assembly/aileron/tools",
    "/assembly/root-rib/gun/B5:1",
    "/assembly/aileron/gun/A17:3",
    "/tools",
    "/hours",
    "/network",
    "/revision",
    "/revision/root-rib-sb-07",
    "/stock",
    "/stock/order",
    "/stock/code/MS20426AD3-3?heap=12+g",
    "/air",
    "/air?at4=90&at7=60&fall=5&minutes=5",
    "/air/why/rests_s",
    "/assembly/aileron/hole/A19:1/why/edge_distance_mm",
    "/assembly/aileron/hole/A11:5/why/legal_length_codes",
)
ADVICE = "This program does not approve anything."


# Beyond what axe asks by itself: words stand out by seven to one.
STRICT = {
    "resultTypes": ["violations"],
    "rules": {"color-contrast-enhanced": {"enabled": True}},
}


def violations(page: Page) -> list[str]:
    """What axe finds wrong with a page, a line each."""
    found = Axe().run(page, options=STRICT)
    return [
        f"{one['id']}: {'; '.join(str(spot['target']) for spot in one['nodes'][:4])}"
        for one in found.response["violations"]
    ]


@pytest.mark.parametrize("address", PAGES)
def test_page_can_be_read_by_everybody(
    look: Opened, demo: str, address: str, size: Size
) -> None:
    """No rule of axe is broken, light or dark; nothing sticks out; advice is there."""
    page = look(demo + address, size)
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    assert ADVICE in page.locator("footer").inner_text()
    assert violations(page) == []
    page.emulate_media(color_scheme="dark")
    assert violations(page) == []


def test_weak_words_would_be_seen(look: Opened, demo: str) -> None:
    """Grey words at 4.8 to 1 pass the usual rule and are found by the strict one."""
    page = look(demo + "/findings")
    page.evaluate("document.querySelector('main p').style.color = '#6f6a60'")
    assert violations(page) == ["color-contrast-enhanced: ['#main > p']"]


def test_targets_are_wide_enough_for_a_finger(look: Opened, demo: str) -> None:
    """On a phone what is pressed is 44 px high, and what comes next 56 px."""
    page = look(demo + "/assembly/root-rib?face=B-W", PHONE)
    pressed = ".tools .button, .tools button, .faces a, .to-holes, select, a.hole-name"
    heights = [
        box["height"]
        for one in page.locator(pressed).all()
        if (box := one.bounding_box())
    ]
    assert len(heights) > 60
    assert min(heights) >= 44
    page.goto(demo)
    box = page.locator("a.next").bounding_box()
    assert box is not None
    assert box["height"] >= 56


def test_without_script_the_assembly_can_be_read(
    look: Opened, demo: str, size: Size
) -> None:
    """Map, findings, table and a hole's card are there; links turn, filter and open."""
    page = look(demo + "/assembly/aileron?face=A-BF", size, java_script_enabled=False)
    expect(page.locator(".map-frame .hole")).to_have_count(37)
    assert not page.locator(".zoom-tools").is_visible()
    page.get_by_role("link", name="Other side").click()
    assert page.locator("svg.hole-map").get_attribute("data-mirror") == "yes"
    page.locator("select[name=state]").select_option("open")
    page.get_by_role("button", name="Show these").click()
    expect(page.locator("tr[data-hole]:visible")).to_have_count(4)
    page.get_by_role("link", name="A12:18", exact=True).click()
    assert page.locator(".panel .callout").inner_text() == "BD4-2"
    page.locator(".panel [data-quantity=grip_mm]").click()
    assert page.locator("[data-answer=grip_mm]").inner_text() == ".110 in"


def test_without_script_a_finding_lights_its_holes(look: Opened, demo: str) -> None:
    """The holes of A1 keep their ink; the others step back."""
    page = look(demo + "/assembly/aileron?face=A-SW", java_script_enabled=False)
    page.locator("a.to-holes", has_text=re.compile("^A1:1-3")).click()
    shown = {
        hole: page.locator(f".hole[data-hole='{hole}']").evaluate(
            "one => getComputedStyle(one).opacity"
        )
        for hole in ("A1:1", "A1:3", "A2:1")
    }
    assert shown == {"A1:1": "1", "A1:3": "1", "A2:1": "0.2"}


def test_paper_gets_the_picture_and_the_words_but_no_buttons(
    look: Opened, demo: str
) -> None:
    """Printed, an assembly keeps map, findings and table, black on white."""
    page = look(demo + "/assembly/root-rib?face=B-W", color_scheme="dark")
    page.emulate_media(media="print")
    for gone in (".tools", ".theme", ".filter button", ".top nav"):
        assert page.locator(gone).first.is_hidden()
    for kept in ("svg.hole-map", "a.to-holes", "tr[data-hole]", "footer"):
        assert page.locator(kept).first.is_visible()
    look_of = "getComputedStyle(document.body)"
    assert page.evaluate(f"{look_of}.backgroundColor") == "rgb(255, 255, 255)"
    assert page.evaluate(f"{look_of}.color") == "rgb(0, 0, 0)"


def test_page_can_be_printed(look: Opened, demo: str) -> None:
    """The browser makes a PDF of a hole's page with its callout and its figures."""
    page = look(demo + "/assembly/aileron/hole/A11:5")
    words = words_of(PdfReader(BytesIO(page.pdf())).pages[0].extract_text())
    for part in ("A11:5", "MS20426AD3-2.5", "LENGTH-01", ".070 in"):
        assert part in words


def test_motion_is_left_out_where_it_is_not_wanted(look: Opened, demo: str) -> None:
    """With less motion asked for, a finding's holes are in sight at once."""
    page = look(demo + "/assembly/aileron?face=A-SW", DESK)
    page.locator("a.to-holes", has_text=re.compile("^A1:1-3")).click()
    zoom = float(page.locator("figure.map").get_attribute("data-zoom") or 0)
    assert zoom > 1


def test_motion_shows_where_the_map_went(look: Opened, demo: str) -> None:
    """With motion allowed, the map flies there and arrives."""
    page = look(demo + "/assembly/aileron?face=A-SW", reduced_motion="no-preference")
    page.locator("a.to-holes", has_text=re.compile("^A1:1-3")).click()
    page.wait_for_selector("figure.map:not([data-zoom='1.000'])")
    box = page.locator(".map-frame .hole[data-hole='A1:2']").bounding_box()
    frame = page.locator(".map-frame").bounding_box()
    assert box is not None
    assert frame is not None
    assert frame["x"] < box["x"] < frame["x"] + frame["width"]


def test_nothing_to_show_says_what_to_do(
    look: Opened, served: Served, tmp_path: Path
) -> None:
    """An empty folder gets a plan to begin from, and it is a plan that is read."""
    page = look(served(tmp_path), PHONE)
    assert violations(page) == []
    plan = page.locator("pre").inner_text()
    (tmp_path / "panel.yaml").write_text(plan, encoding="utf-8")
    page.get_by_role("link", name="Look again").click()
    page.get_by_role("link", name="Access panel", exact=True).click()
    expect(page.locator(".map-frame .hole")).to_have_count(8)
