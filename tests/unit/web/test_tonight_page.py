"""The page of an evening and the first page, as the demo stands."""

from __future__ import annotations

import html
import re

import pytest

from tests.unit.web.conftest import Ask
from tests.unit.web.site import Site

WEDNESDAY = "/tonight?day=2026-11-25&from=19:00&hours=2&helper=alone"


def words(page: str) -> str:
    """A page's words, without its tags."""
    return html.unescape(" ".join(re.sub(r"<[^>]+>", " ", page).split()))


def test_an_evening_is_told_in_order(ask: Ask) -> None:
    """Clock, work, minutes; what waits and for what; what unlocks most."""
    page = ask(WEDNESDAY)
    assert page.status_code == 200
    said = words(page.text)
    order = [
        said.index(text)
        for text in (
            "19:00 Back-rivet: A17, A18 12 rivets",
            "19:25 Set with the squeezer: B3, B4 6 rivets",
            "Set with the squeezer: B8:2-5 4 rivets",
            "Match-drill: C13, C15, C16, C17, C18, C19 87 holes",
            "100 min (80 to 160) of work fit in , 22 rivets to set",
            "Set with gun and bar: A19:8, A20:8, A21:8, A22:8 (4 rivets) 16 min",
            "part 709B, due 2026-12-18",
        )
    ]
    assert order == sorted(order)
    assert "No day of the shop's calendar" in said


def test_a_date_is_answered_with_its_chain(ask: Ask) -> None:
    """The nose on Saturday: no, and every step in the way with what it waits for."""
    page = ask("/tonight?step=aileron/aileron-8&by=2026-11-28")
    said = words(page.text)
    assert "No: not before" in said
    assert "only if these come in time: the answer to Q-2, the answer to Q-1" in said
    assert "tool BB3, due 2026-12-04" in said
    assert page.text.count('class="on-chain"') >= 1


def test_places_to_stop_are_told(ask: Ask) -> None:
    """A stretch without one, with its holders; where things lie by the shop file."""
    said = words(ask("/tonight").text)
    assert "Begin aileron-5, aileron-6, aileron-7, aileron-8 only when you can" in said
    assert "up to 38 sheet holders" in said
    assert "one wall cradle (aileron or flap, not both)" in said


@pytest.mark.parametrize(
    ("query", "what"),
    [
        ("day=soon", "a day such as 2026-11-28"),
        ("hours=many", "hours such as 2 or 1.5"),
        ("hours=30", "at most 24 hours"),
        ("from=late", "a time such as 19:00"),
        ("by=29.11.", "a day such as 2026-11-28"),
    ],
)
def test_what_cannot_be_read_is_refused(ask: Ask, query: str, what: str) -> None:
    """Told what is allowed; nothing is guessed."""
    page = ask(f"/tonight?step=aileron/aileron-8&{query}")
    assert page.status_code == 422
    assert what in words(page.text)


def test_a_step_that_is_none_is_no_page(ask: Ask) -> None:
    """With the nearest name."""
    page = ask("/tonight?step=aileron/aileron-88")
    assert page.status_code == 404
    assert "nearest: aileron/aileron-8" in words(page.text)


def test_first_page_answers_four_questions(ask: Ask) -> None:
    """What next, what is waited for, what was left open, how far."""
    said = words(ask("/").text)
    for text in (
        "Next at the bench",
        "tool BB3, due 2026-12-04",
        "Aileron A1, A2: the answer to Q-2",
        "75 of 481 rivets set",
        "18 h 20 min booked",
        "Gravest finding",
    ):
        assert text in said, text


def test_first_page_leads_to_the_bench(site: Site) -> None:
    """With a record, each turn leads to its step; a bulletin's own step does not."""
    page = site.ask("GET", "/").text
    assert 'href="/bench/aileron?step=aileron-4"' in page
    assert 'href="/bench/root-rib?step=rib-3"' in page
    assert "root-rib-sb-07?step=rib-7" not in page
