"""The gun and bar card on the page: figures, steps, words, workings, refusals."""

from __future__ import annotations

import re

from tests.unit.web.conftest import Ask


def test_the_card_shows_pressure_bars_and_words(ask: Ask) -> None:
    """B5: 60 psi, the main block tight at its wall, six words between two people."""
    page = ask("/assembly/root-rib/gun/B5:1").text
    assert "MS20470AD5-7" in page
    assert "60 psi" in page
    assert "BB1 needs .450 in to the wall on the shop side, there is .460 in" in page
    assert page.count('<dt><span class="soft">') == 6
    assert "protection for both people" in page


def test_every_figure_of_the_card_opens_its_working(ask: Ask) -> None:
    """Each leads to a page with the same answer, by the same way."""
    for address in ("/assembly/root-rib/gun/B5:1", "/assembly/aileron/gun/A17:3"):
        page = ask(address).text
        links = re.findall(
            r'class="figure" href="([^"]+)" data-quantity="(\w+)">([^<]*?)(?: <|</a)',
            page,
        )
        assert len(links) >= 4
        for link, name, shown in links:
            answer = ask(link.replace("&amp;", "&")).text
            assert f'data-answer="{name}">{shown.strip()}<' in answer, link


def test_the_other_way_is_one_press_away(ask: Ask) -> None:
    """Back-riveting is the plan's; gun and bar is offered beside it."""
    page = ask("/assembly/aileron/gun/A17:3").text
    assert "Back-riveting: A17:3" in page
    assert "/assembly/aileron/gun/A17:3?way=gun+and+bar" in page
    assert (
        "Gun and bar: A17:3" in ask("/assembly/aileron/gun/A17:3?way=gun and bar").text
    )


def test_what_has_no_card_is_refused_in_words(ask: Ask) -> None:
    """A blind rivet, a hole that is none, a way that is none, a figure that is none."""
    for address, said in (
        ("/assembly/aileron/gun/A12:1", "a blind rivet"),
        ("/assembly/aileron/gun/Z1:1", "Z1"),
        ("/assembly/aileron/gun/A17:3?way=hammer", "hammer"),
        ("/assembly/aileron/gun/A17:3/why/hammer", "hammer"),
    ):
        answer = ask(address)
        assert answer.status_code == 404
        assert said in answer.text
