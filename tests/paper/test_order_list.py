"""The order list on paper: its lines, what may stand in, nothing cut off."""

from __future__ import annotations

from datetime import date

import pytest

from rivetwright.bench.open import open_folder
from rivetwright.bench.stock import Stock, stock_of_project
from rivetwright.paper.order_list import order_list
from tests.paper.papers import SIZES_MM, reader
from tests.unit.drawing.pictures import ROOT

TODAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def stock() -> Stock:
    """The demo's stock by its files."""
    return stock_of_project(open_folder(ROOT / "examples" / "ostrel"), None, TODAY)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_order_list_is_printed(stock: Stock, paper: str) -> None:
    """One page on its long side: codes, counts, where they run out, INVENTED."""
    drawn = reader(order_list(stock, paper))  # type: ignore[arg-type]
    (page,) = drawn.pages
    text = " ".join(page.extract_text().replace("\u200b", "").split())
    for words in (
        "Ostrel Two: order list of 2026-11-25",
        "MS20470AD5-8 100 7 0",
        "MS20426AD3-3 100 39 140",
        "cut down to -3 with a rivet cutter",
        "nobody knows yet what goes in (D10)",
        "INVENTED demonstration",
    ):
        assert words in text
    wide_mm = float(page.mediabox.width) * 25.4 / 72
    assert wide_mm == pytest.approx(SIZES_MM[paper][0], abs=0.2)


def test_same_stock_gives_the_same_bytes(stock: Stock) -> None:
    """The day is the list's, never the clock's."""
    assert order_list(stock) == order_list(stock)
