"""A map of 3,000 holes follows the hand: a drag moves one drawing, not its holes.

How many milliseconds a frame takes is measured by `run.py bench map`.
"""

from __future__ import annotations

import pytest

from tests.browser.conftest import DESK, MANY_HOLES, PHONE, Opened

Size = tuple[int, int]

WATCH = """() => {
  window.touched = [];
  const note = (changes) => changes.forEach(({ target }) => {
    window.touched.push(target.closest(".hole") ? "hole" : "other");
  });
  window.watcher = new MutationObserver(note);
  const all = { subtree: true, attributes: true, childList: true };
  window.watcher.observe(document.querySelector(".map-frame"), all);
}"""
TOUCHED = "() => { window.watcher.disconnect(); return window.touched; }"


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_drag_moves_the_drawing_and_touches_no_hole(
    look: Opened, many: str, size: Size
) -> None:
    """Of 3,000 holes none is written to while the map is dragged; the map does move."""
    page = look(many + "/assembly/made-up", size)
    assert page.locator(".map-frame .hole").count() == MANY_HOLES
    frame = page.locator(".map-frame")
    frame.scroll_into_view_if_needed()
    box = frame.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 5, y + 5)
    page.evaluate(WATCH)
    for k in range(30):
        page.mouse.move(x + 4 * k - 60, y + 3 * (k % 20) - 30)
    page.evaluate("() => new Promise(requestAnimationFrame)")
    touched: list[str] = page.evaluate(TOUCHED)
    page.mouse.up()
    assert touched.count("hole") == 0
    assert 0 < len(touched) <= 2 * 30


def test_tap_finds_its_hole_among_three_thousand(look: Opened, many: str) -> None:
    """The hole under the pointer is the one that opens."""
    page = look(many + "/assembly/made-up")
    sign = page.locator(".map-frame .hole[data-hole='R0-30:25'] .ring")
    box = sign.bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.locator(".panel h2", has_text="R0-30:25").wait_for()
