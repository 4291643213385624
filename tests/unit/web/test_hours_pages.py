"""The pages Hours and Network: of the demo, of an empty folder, in words."""

from __future__ import annotations

import re
from pathlib import Path

from rivetwright.web.app import create_app
from tests.unit.web.conftest import Ask, ask_of


def words(page: str) -> str:
    """A page's words, without its tags."""
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_hours_are_told_first(ask: Ask) -> None:
    """Hours left and a day, each with its range; 18 hours were booked."""
    page = ask("/hours")
    assert page.status_code == 200
    said = words(page.text)
    assert re.search(r"\d+ h left four futures in five need \d+ to \d+ h", said)
    assert "18 h booked so far" in said
    assert re.search(r"Likely done \d{4}-\d\d-\d\d four futures in five: ", said)
    assert "Setting rivets is 15 % of all hours booked, everything else 85 %." in said


def test_what_has_no_date_is_told_beside(ask: Ask) -> None:
    """The wing's steps wait for a kit that nobody has ordered."""
    said = words(ask("/hours").text)
    assert "wing-4 Root rib : wing kit: not ordered" in said
    assert "the answer to Q-2" in said


def test_rates_say_what_they_rest_on(ask: Ask) -> None:
    """Drilling on three lines of the log, countersinking on the usual figure."""
    said = words(ask("/hours").text)
    assert "your log, 3 lines" in said
    assert "usual figure, moved by your other rates" in said
    assert "of 15 lay within the range, which should hold four in five" in said


def test_network_shows_every_assembly(ask: Ask) -> None:
    """A picture and a table each, the longest chain in words."""
    page = ask("/network")
    assert page.status_code == 200
    assert page.text.count('class="drawing steps"') == 3
    said = words(page.text)
    assert (
        "Longest chain: aileron-3, aileron-5, aileron-6, aileron-7, aileron-8." in said
    )
    assert "2 of 9 steps done" in said
    assert "pre-cover inspection, aileron not started aileron-6" in said


def test_a_folder_without_plans_says_what_to_do(tmp_path: Path) -> None:
    """Nothing is left, and no plan has steps."""
    ask = ask_of(create_app(tmp_path))
    assert "Nothing is left to do" in words(ask("/hours").text)
    assert "No plan has steps" in words(ask("/network").text)
