"""Title, side seen, edges and axes stand round a face, however it is turned."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.drawing.frame import make_frame, wrap
from rivetwright.drawing.hole_map import hole_map_svg
from rivetwright.drawing.view import Look, look_at
from rivetwright.model.outline import Face, Layer, Outline
from tests.unit.drawing.pictures import of_class, read, small

LAYER = Layer("p", Outline.rectangle((0, 200), (0, 100)))


@pytest.mark.parametrize(
    ("words", "letters", "expected"),
    [
        ("one two three", 8, ["one two", "three"]),
        ("abcdefghij", 4, ["abcd", "efgh", "ij"]),
        ("a abcdefgh", 4, ["a ab", "cdef", "gh"]),
        ("", 4, [""]),
    ],
)
def test_words_are_wrapped(words: str, letters: int, expected: list[str]) -> None:
    """Between words, and inside a word only where it is longer than a line."""
    assert wrap(words, letters) == expected


def test_a_very_long_title_is_cut_to_three_lines() -> None:
    """200 words do not push the face off the sheet; dots say that more was there."""
    face = Face("F", "word " * 200, (LAYER,))
    frame = make_frame(face, look_at(face, np.zeros((0, 2)), Look()), 1.0)
    assert len(frame.top_lines) == 3
    assert frame.top_lines[-1].endswith("\u2026")


def test_the_frame_holds_face_margins_and_captions() -> None:
    """At 1 : 2, 200 by 100 mm are drawn 100 by 50, with 12 mm round them.

    One line above is 4.4 + 1.5 mm, none below is 1 mm.
    """
    face = Face("F", "", (LAYER,))
    frame = make_frame(face, look_at(face, np.zeros((0, 2)), Look()), 2.0)
    assert frame.drawn_size_mm == pytest.approx((100 + 24, 50 + 24 + 5.9 + 1.0))


def edge_names(svg: str) -> dict[str, tuple[float, float]]:
    """Where the names of the edges stand."""
    return {
        e.text or "": (float(e.get("x", "")), float(e.get("y", "")))
        for e in of_class(read(svg), "edge-name")
    }


def test_edges_are_named_on_their_side() -> None:
    """Upper above lower, left edge left of right edge; mirrored, the other way."""
    for mirror in (False, True):
        names = edge_names(hole_map_svg(small(), "F", mirror=mirror))
        assert names["upper edge"][1] < names["lower edge"][1]
        is_left = names["left edge"][0] < names["right edge"][0]
        assert is_left is not mirror


def quiet_words(svg: str) -> str:
    """The captions, one after the other."""
    return " ".join(e.text or "" for e in of_class(read(svg), "quiet"))


def test_a_mirrored_map_says_so() -> None:
    """Nobody must take the far side for the near one."""
    assert "Seen from the front" in quiet_words(hole_map_svg(small(), "F"))
    words = quiet_words(hole_map_svg(small(), "F", mirror=True, quarter_turns=1))
    assert "MIRRORED: seen from the other side, not from the front" in words
    assert "Turned a quarter clockwise" in words


def test_the_name_of_an_edge_that_is_too_long_stands_below() -> None:
    """Beside the edge stands its side, and what that means in the captions."""
    long = "the edge that lies nearest to the aircraft's middle"
    face = Face("F", "", (LAYER,), edges=(("u0", long),))
    frame = make_frame(face, look_at(face, np.zeros((0, 2)), Look()), 1.0)
    assert frame.bottom_lines == (f"u0: {long}",)
