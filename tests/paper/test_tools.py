"""The page of tools in the pack: every row and tool, nothing cut off."""

from __future__ import annotations

from functools import cache

from rivetwright.bench.open import open_plan
from rivetwright.bench.tools import row_tools
from rivetwright.engines.plan import WorkedPlan
from rivetwright.paper.pack import typeset
from rivetwright.texts.tool_words import say_tools
from tests.paper.papers import all_text, reader
from tests.unit.drawing.pictures import ROOT

OSTREL = ROOT / "examples" / "ostrel"


@cache
def rib() -> WorkedPlan:
    """The root rib with the garage's tools."""
    return open_plan(OSTREL / "root-rib.yaml", shop=OSTREL / "shop.yaml")


@cache
def pages() -> tuple[str, ...]:
    """The words of each page of its pack."""
    drawn = reader(typeset(rib(), "letter")).pages
    texts = (page.extract_text().replace("\u200b", "") for page in drawn)
    return tuple(" ".join(text.split()) for text in texts)


def test_every_row_is_printed_with_its_tools() -> None:
    """On pages of their own, by the same words as on the screen."""
    first = next(k for k, text in enumerate(pages()) if "Tools by row" in text)
    text = " ".join(pages()[first:])
    for row in row_tools(rib()):
        for tools in (row.owned_clear, row.owned_tight, row.on_order):
            assert say_tools(tools) in text
    assert "BB1 needs .450 in to the wall on the shop side, there is .460 in" in text
    assert pages()[first].index("Tools by row") < 100


def test_a_plan_without_a_shop_prints_no_such_page() -> None:
    """As it was before there were tools."""
    assert "Tools by row" not in all_text("flap")
