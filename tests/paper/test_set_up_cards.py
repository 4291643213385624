"""Set-up cards on paper: two to a page, whole, and only where a shop is known."""

from __future__ import annotations

from functools import cache

import pytest

from rivetwright.paper.maps import SHEETS
from rivetwright.paper.pack import pack_contents, typeset
from rivetwright.paper.set_up_cards import set_up_cards
from tests.paper.papers import PAPERS, plan_of, rasters, reader
from tests.unit.bench.test_set_ups import plan

NAMES = ("aileron", "root-rib", "flap")


@cache
def printed(name: str, paper: str) -> bytes:
    """The pack of a plan with the demo's shop, typeset once."""
    return typeset(plan(name), paper)  # type: ignore[arg-type]


@cache
def card_pages(name: str, paper: str) -> tuple[tuple[int, str], ...]:
    """The pages that hold cards, and their words."""
    pages = enumerate(reader(printed(name, paper)).pages)
    texts = ((k, page.extract_text().replace("\u200b", "")) for k, page in pages)
    return tuple((k, text) for k, text in texts if "Put in" in text)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_two_cards_stand_on_a_page(name: str, paper: str) -> None:
    """As many as there are set-ups, the last page perhaps with one."""
    cards = set_up_cards(plan(name))
    on_page = [text.count("Put in") for _, text in card_pages(name, paper)]
    assert sum(on_page) == len(cards)
    assert set(on_page[:-1]) <= {2}


@pytest.mark.parametrize("paper", PAPERS)
def test_a_card_is_printed_whole(paper: str) -> None:
    """Its holes, gap, limits, first rivet, three heads, and its cautions."""
    words = " ".join(" ".join(text.split()) for _, text in card_pages("aileron", paper))
    for text in (
        "A5:1-3, A6:1-3",
        ".270 in",
        "keep .050 to .070 in",
        "Scrap of the same sheets",
        "Air off before dies",
        "The holes themselves stop: LENGTH-01",
        "Dimples in 502, 513, 510",
    ):
        assert text in words


@pytest.mark.parametrize("paper", PAPERS)
def test_no_card_reaches_into_the_foot(paper: str) -> None:
    """Over the foot's line a stripe of 1 mm stays white between the cards' ends."""
    pdf = printed("aileron", paper)
    pages = [k for k, _ in card_pages("aileron", paper)]
    sheet = next(one for one in SHEETS.values() if one.name.endswith(paper))
    foot = sheet.height_mm - sheet.bottom_mm
    for picture in rasters(pdf, 4.0, pages):
        stripe = picture[int((foot + 0.3) * 4) : int((foot + 1.0) * 4), 60:-60]
        assert stripe.min() > 200


def test_without_a_shop_there_are_no_cards() -> None:
    """Nothing is known of any tool."""
    assert pack_contents(plan_of("flap"), SHEETS["a4"])["set_ups"] == []


def test_the_same_plan_prints_the_same_cards() -> None:
    """Twice the same bytes."""
    assert typeset(plan("flap"), "letter") == printed("flap", "letter")
