"""Whatever the names, nothing runs off a sheet or over its neighbour."""

from __future__ import annotations

import itertools

import pytest

from tests.paper.papers import (
    PAPERS,
    Box,
    all_text,
    pack,
    page_texts,
    plan_of,
    rasters,
    text_boxes,
)
from tests.unit.drawing.pictures import DEMO

EVERY = (*DEMO, "many", "hostile")
RIM_MM = 6.0
DOTS_A_MM = 4.0
HAIR_POINTS = 0.8


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", EVERY)
def test_the_rim_of_every_sheet_is_white(name: str, paper: str) -> None:
    """Printers cannot print there; what reaches it would be cut off."""
    rim = int(RIM_MM * DOTS_A_MM)
    for picture in rasters(pack(name, paper), DOTS_A_MM):
        inside = picture[rim:-rim, rim:-rim]
        assert (picture < 250).sum() == (inside < 250).sum()


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", EVERY)
def test_words_of_one_column_do_not_run_into_the_next(name: str, paper: str) -> None:
    """On pages of tables no two pieces of a line share room."""
    for boxes in text_boxes(pack(name, paper), table_pages(name, paper)):
        for (a, words), (b, others) in itertools.combinations(boxes, 2):
            assert not overlap(a, b), (words, others)


def table_pages(name: str, paper: str) -> list[int]:
    """Pages without pictures."""
    texts = page_texts(name, paper)
    pictures = ("Scale 1 :", "not to scale", "Stacks, cut through", "height ")
    return [
        k for k, text in enumerate(texts) if not any(one in text for one in pictures)
    ]


def overlap(a: Box, b: Box) -> bool:
    """Whether two boxes share more than a hair of width on the same line."""
    across = min(a[2], b[2]) - max(a[0], b[0])
    along = min(a[3], b[3]) - max(a[1], b[1])
    lower = min(a[3] - a[1], b[3] - b[1])
    return across > HAIR_POINTS and along > lower / 2


def test_every_hole_of_a_full_face_is_in_the_table() -> None:
    """Ten rows of fifty: each is a line from 1 to 50."""
    text = all_text("many")
    for row in plan_of("many").worked.plan.rows:
        assert f"{row.name} 1-50" in text


def test_the_longest_names_are_printed_whole() -> None:
    """Row, part and step names of 36 letters stand in the tables."""
    text = all_text("hostile").replace(" ", "")
    plan = plan_of("hostile").worked.plan
    for name in (plan.rows[0].name, plan.parts[0].name, plan.steps[0].name):
        assert name in text
