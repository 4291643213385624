"""All heads of an assembly in a browser: trends by keyboard, table on a phone, paper.

The demo's log: seven heads of the aileron, two groups with a picture each.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import SIZES, Opened, words_of

HEADS = "/assembly/aileron/heads"


@pytest.mark.parametrize("size", SIZES)
def test_heads_are_read_and_followed(look: Opened, demo: str, size: str) -> None:
    """No wider than the window; pictures take the focus; a hole leads to its heads.

    On a phone each head is a card of its own, its sizes labelled; on a desk a row.
    """
    page = look(demo + HEADS, SIZES[size])
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= SIZES[size][0]
    expect(page.locator(".trend svg")).to_have_count(2)
    page.locator(".trend").first.focus()
    expect(page.locator(".trend").first).to_be_focused()
    row = page.locator(".all-heads tbody tr").nth(3)
    is_card = size == "phone"
    shown = row.evaluate("row => getComputedStyle(row).display")
    assert shown == ("grid" if is_card else "table-row")
    label = row.locator("td.figure").first.evaluate(
        "cell => getComputedStyle(cell, '::before').content"
    )
    assert ("Width" in label) == is_card
    row.locator("a").click()
    head = page.locator(".head-here")
    expect(head).to_be_visible()
    assert ".073 in high, at most .070 in" in words_of(head.text_content())
    head.get_by_role("link", name="All heads").click()
    expect(page.locator(".all-heads tbody tr")).to_have_count(7)


def test_the_page_prints_its_table(look: Opened, demo: str) -> None:
    """On paper the rows are a table again, and no picture is wider than the sheet."""
    page = look(demo + HEADS, SIZES["phone"])
    page.emulate_media(media="print")
    row = page.locator(".all-heads tbody tr").first
    assert row.evaluate("row => getComputedStyle(row).display") == "table-row"
    assert page.pdf(format="A4").startswith(b"%PDF")
