"""Set-ups, tools and needs in the small words of the bench."""

from __future__ import annotations

import pytest

from rivetwright.bench.needs import Lacking
from rivetwright.model.shop import Tool
from rivetwright.web.bench_saying import bench_words, lacking_words, named_tool
from rivetwright.web.sayings import sayings


@pytest.mark.parametrize(
    ("tool", "words"),
    [
        (Tool("Y2", "yoke", "deep"), "Y2, deep yoke"),
        (Tool("Y3", "yoke", "no-hole, thin nose"), "Y3, yoke: no-hole, thin nose"),
        (Tool("BB1", "bar", "bucking bar, main block"), "BB1, bucking bar, main block"),
        (Tool("P", "puller"), "P, puller"),
    ],
)
def test_tool_is_named_by_what_it_is(tool: Tool, words: str) -> None:
    """Its id and title, and its kind where the title does not say it."""
    assert named_tool(tool) == words


def test_tool_the_shop_does_not_have_keeps_its_id() -> None:
    """Planned, and in no shop file."""
    assert bench_words(sayings(), None)["tool_words"]("Y9") == "Y9"


@pytest.mark.parametrize(
    ("kind", "state", "counts", "words"),
    [
        ("step", "under way", (24, 36), "N: 24 of 36 set"),
        ("step", "under way", (36, 36), "N: under way"),
        ("step", "not started", (0, 0), "N: not started"),
        ("part", "", (0, 0), "Part N: nothing recorded"),
        ("tool", "on order", (0, 0), "Tool N: on order"),
        ("delivery", "", (0, 0), "N: nothing recorded"),
    ],
)
def test_need_says_where_it_stands(
    kind: str, state: str, counts: tuple[int, int], words: str
) -> None:
    """Counts where holes are left, else the state, else that nothing was told."""
    one = Lacking(kind, "N", state, *counts, "begin:2", "x", False)
    assert lacking_words(one, sayings()) == words
