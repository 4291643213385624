"""Outlines, cut-outs and faces as the drawing gives them."""

from __future__ import annotations

from rivetwright.model.outline import BEND, FREE, CutOut, Face, Outline


def test_rectangle_goes_round_from_the_low_corner() -> None:
    """Sides v0, u1, v1, u0; the named ones are bends."""
    made = Outline.rectangle((1, 11), (2, 7), bends=("u0", "v0"))
    assert made.corners_mm == ((1, 2), (11, 2), (11, 7), (1, 7))
    assert made.sides == (BEND, FREE, FREE, BEND)
    assert made.written == "rectangle"


def test_rectangle_has_free_sides_where_nothing_is_said() -> None:
    """A flat sheet."""
    assert Outline.rectangle((0, 1), (0, 1)).sides == (FREE,) * 4


def test_cut_out_is_round_or_has_corners() -> None:
    """A radius makes it round."""
    assert CutOut((0, 0), 5.0).is_round
    assert not CutOut(corners_mm=((0, 0), (1, 0), (0, 1))).is_round


def test_sides_of_a_face_have_names_for_people() -> None:
    """Those the plan names, the others as the face is drawn."""
    face = Face("F", "face", (), edges=(("u0", "inboard"),))
    names = face.edge_names
    assert names["u0"] == "inboard"
    assert set(names) == {"u0", "u1", "v0", "v1"}
