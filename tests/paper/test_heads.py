"""Heads on paper: the table, the trends, and none where none was looked at."""

from __future__ import annotations

from functools import cache

import pytest

from rivetwright.paper.maps import SHEETS
from rivetwright.paper.pack import pack_contents
from tests.paper.papers import PAPERS, pack, plan_of, reader


@cache
def words(paper: str) -> str:
    """The words of the pages with heads of the aileron."""
    pages = reader(pack("aileron", paper)).pages
    texts = [page.extract_text().replace("\u200b", "") for page in pages]
    return " ".join(" ".join(text.split()) for text in texts)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_head_is_printed(paper: str) -> None:
    """Sizes and verdict of A6:2; what became of A5:2; the capability of its group."""
    for text in (
        "Every head that was looked at, oldest first",
        ".073 in high, at most .070 in",
        "taken out since",
        "Squeezer: MS20470AD4",
        "Of the last 4 heads out of limits: A6:2.",
        "With fewer than 3 heads",
    ):
        assert text in words(paper), text


def test_without_heads_there_is_no_page_of_them() -> None:
    """The flap: nothing was set yet."""
    made = pack_contents(plan_of("flap"), SHEETS["a4"])["heads"]
    assert made["lines"] == []
    assert made["groups"] == []
