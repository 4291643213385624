"""The hole map under mouse, finger, wheel and key, on a laptop and on a phone."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page

from tests.browser.conftest import PHONE, Opened, words_of

SPAR = "/assembly/aileron?face=A-SW"
FLANGE = "/assembly/aileron?face=A-BF"
Size = tuple[int, int]


def frame_of(page: Page) -> Locator:
    """The map's frame, brought into sight."""
    frame = page.locator(".map-frame")
    frame.scroll_into_view_if_needed()
    return frame


def place_of(page: Page, hole: str) -> tuple[float, float]:
    """Where a hole lies on the screen."""
    box = page.locator(f'.map-frame .hole[data-hole="{hole}"] .ring').bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def middle_of(frame: Locator) -> tuple[float, float]:
    """The middle of the map on the screen."""
    box = frame.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def zoom_of(page: Page) -> float:
    """How near the map is; 1 shows the whole face."""
    return float(page.locator("figure.map").get_attribute("data-zoom") or 0)


def tap(page: Page, size: Size, at: tuple[float, float]) -> None:
    """A finger's tap on a phone, a click on a laptop."""
    if size == PHONE:
        page.touchscreen.tap(*at)
    else:
        page.mouse.click(*at)


def test_drag_moves_the_map_with_the_hand(look: Opened, demo: str, size: Size) -> None:
    """Dragged 40 px right and 30 px down, a hole lies as much further."""
    page = look(demo + SPAR, size)
    frame = frame_of(page)
    before = place_of(page, "A1:1")
    x, y = middle_of(frame)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 20, y + 10)
    page.mouse.move(x + 40, y + 30)
    page.mouse.up()
    after = place_of(page, "A1:1")
    assert after == (
        pytest.approx(before[0] + 40, abs=1),
        pytest.approx(before[1] + 30, abs=1),
    )


def test_wheel_brings_nearer_about_the_pointer(look: Opened, demo: str) -> None:
    """What lies under the pointer stays there while the map comes nearer."""
    page = look(demo + SPAR)
    frame_of(page)
    before = place_of(page, "A1:2")
    page.mouse.move(*before)
    page.mouse.wheel(0, -240)
    page.wait_for_selector("figure.map:not([data-zoom='1.000'])")
    after = place_of(page, "A1:2")
    assert zoom_of(page) > 1.3
    assert after == (
        pytest.approx(before[0], abs=1.5),
        pytest.approx(before[1], abs=1.5),
    )


def test_two_fingers_bring_the_map_nearer(look: Opened, demo: str) -> None:
    """Fingers spread from 60 to 180 px bring it three times nearer."""
    page = look(demo + SPAR, PHONE)
    x, y = middle_of(frame_of(page))
    touch = page.context.new_cdp_session(page)

    def fingers(kind: str, half: float) -> None:
        points = [{"x": x - half, "y": y}, {"x": x + half, "y": y}]
        touch.send(
            "Input.dispatchTouchEvent",
            {"type": kind, "touchPoints": points if kind != "touchEnd" else []},
        )

    fingers("touchStart", 30)
    for half in (45, 60, 75, 90):
        fingers("touchMove", half)
    fingers("touchEnd", 90)
    page.wait_for_selector("figure.map:not([data-zoom='1.000'])")
    assert zoom_of(page) == pytest.approx(3.0, rel=0.1)


def test_buttons_and_keys_do_what_the_wheel_does(
    look: Opened, demo: str, size: Size
) -> None:
    """Nearer, farther and the whole face; arrows move; 0 shows the whole face again."""
    page = look(demo + SPAR, size)
    page.get_by_role("button", name="Nearer").click()
    assert zoom_of(page) == pytest.approx(1.6)
    page.get_by_role("button", name="Farther").click()
    assert zoom_of(page) == pytest.approx(1.0)
    frame = frame_of(page)
    frame.focus()
    before = place_of(page, "A1:1")
    page.keyboard.press("ArrowLeft")
    assert place_of(page, "A1:1")[0] == pytest.approx(before[0] + 60, abs=1)
    page.keyboard.press("+")
    assert zoom_of(page) == pytest.approx(1.5)
    page.keyboard.press("0")
    assert zoom_of(page) == 1
    assert place_of(page, "A1:1")[0] == pytest.approx(before[0], abs=1)


def test_quarter_turn_lays_the_face_upright(
    look: Opened, demo: str, size: Size
) -> None:
    """Turned right, a row that ran to the right runs down; words stay upright."""
    page = look(demo + FLANGE, size)
    first, last = place_of(page, "A12:1"), place_of(page, "A12:37")
    assert abs(first[1] - last[1]) < 1 < last[0] - first[0]
    page.get_by_role("link", name="Turn right").click()
    page.wait_for_selector("svg.hole-map[data-quarter-turns='1']")
    first, last = place_of(page, "A12:1"), place_of(page, "A12:37")
    assert abs(first[0] - last[0]) < 1 < last[1] - first[1]
    assert page.locator("text.row-name[transform]").count() == 0
    assert "turn=1" in page.url


def test_other_side_mirrors_and_says_so(look: Opened, demo: str, size: Size) -> None:
    """From the other side the row runs left, and inboard and outboard change places."""
    page = look(demo + FLANGE, size)
    told = page.locator(".how-it-lies")
    assert "Left: inboard. Right: outboard." in words_of(told.inner_text())
    page.get_by_role("link", name="Other side").click()
    page.wait_for_selector("svg.hole-map[data-mirror='yes']")
    first, last = place_of(page, "A12:1"), place_of(page, "A12:37")
    assert first[0] > last[0]
    words = words_of(told.inner_text())
    assert "Mirrored: seen from the other side." in words
    assert "Left: outboard. Right: inboard." in words


def test_tap_near_a_hole_opens_it(look: Opened, demo: str, size: Size) -> None:
    """15 px beside A12:18 is near enough; its callout, stack and grip stand there.

    Grip by hand: 512 .040 + 503 .025 + 502 .020 + 501 .025 = .110 in.
    """
    page = look(demo + FLANGE, size)
    frame_of(page).focus()
    # The hole is brought near first, so that 15 px is less than half a pitch.
    page.evaluate("document.querySelector('.map-frame').scrollIntoView()")
    page.mouse.move(*place_of(page, "A12:18"))
    page.mouse.wheel(0, -240)
    page.mouse.wheel(0, -240)
    page.wait_for_selector("figure.map:not([data-zoom='1.000'])")
    x, y = place_of(page, "A12:18")
    tap(page, size, (x, y - 15))
    panel = page.locator(".panel")
    panel.locator(".callout").wait_for()
    assert panel.locator(".callout").inner_text() == "BD4-2"
    assert words_of(panel.locator("h2").inner_text()) == "Hole A12:18 left open"
    grip = words_of(panel.locator("[data-quantity=grip_mm]").inner_text())
    assert grip == ".110 in 2.79 mm"
    stack = panel.locator("[data-quantity=used_stack]").inner_text()
    assert stack == "512 + 503 + 502 + 501"
    assert "hole=A12%3A18" in page.url


def test_tap_far_from_any_hole_opens_nothing(look: Opened, demo: str) -> None:
    """Holes of the rib web lie more than 24 px from the middle of a cut-out."""
    page = look(demo + "/assembly/root-rib?face=B-W")
    left, right = place_of(page, "B7:3"), place_of(page, "B1:4")
    page.mouse.click((left[0] + right[0]) / 2, (left[1] + right[1]) / 2)
    assert page.locator(".panel .callout").count() == 0


def test_numbers_come_when_the_map_is_near(look: Opened, demo: str) -> None:
    """Whole: only the rows are named. Near: the holes in sight have their names."""
    page = look(demo + FLANGE)
    whole = page.locator(".hole-numbers text").count()
    page.mouse.move(*place_of(page, "A12:10"))
    for _ in range(4):
        page.mouse.wheel(0, -240)
    page.locator(".hole-numbers", has_text="A12:10").wait_for()
    near = page.locator(".hole-numbers text").all_text_contents()
    assert "A12:10" in near
    assert "A12:30" not in near
    assert whole == 0 or len(near) < whole


def test_the_map_cannot_be_lost(look: Opened, demo: str) -> None:
    """Dragged away as far as it goes, part of the face stays in the frame."""
    page = look(demo + SPAR)
    frame = frame_of(page)
    x, y = middle_of(frame)
    for _ in range(4):
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 400, y + 150, steps=3)
        page.mouse.up()
    box = frame.bounding_box()
    sheet = page.locator(".map-frame .sheet[data-part='501']").bounding_box()
    assert box is not None
    assert sheet is not None
    assert sheet["x"] < box["x"] + box["width"]
    assert sheet["y"] < box["y"] + box["height"]
