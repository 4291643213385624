"""Steps from top to bottom: shape tells state, inspection, closing and the chain."""

from __future__ import annotations

from rivetwright.drawing.steps_picture import BOX_MM, WIDE_MM, StepBox, steps_svg
from tests.unit.drawing.pictures import SVG, of_class, read, view_box

BOXES = (
    StepBox("a-1", "drill", "done", ("done",), ()),
    StepBox("a-2", "spar", "under way", ("1.0 h",), ("a-1",), is_chain=True),
    StepBox("a-3", "skin", "not started", ("2.0 h",), ("a-1",)),
    StepBox(
        "a-4", "look", "not started", (), ("a-2",), is_inspection=True, is_chain=True
    ),
    StepBox("a-5", "close it", "not started", (), ("a-3", "a-4"), is_closing=True),
)
DEPTH = {"a-1": 0, "a-2": 1, "a-3": 1, "a-4": 2, "a-5": 3}


def _picture(boxes: tuple[StepBox, ...] = BOXES) -> str:
    return steps_svg("Aileron", boxes, DEPTH)


def test_every_step_is_there_with_its_words() -> None:
    """Five boxes by name; titles and lines stand in them."""
    picture = read(_picture())
    groups = [one for one in picture.iter(f"{SVG}g") if one.get("data-step")]
    assert [one.get("data-step") for one in groups] == [one.name for one in BOXES]
    words = [text.text for text in groups[1].iter(f"{SVG}text")]
    assert words == ["a-2", "spar", "1.0 h"]


def test_states_differ_by_shape() -> None:
    """A tick for done, a half-filled ring for under way, a ring for the others."""
    picture = read(_picture())
    groups = {one.get("data-step"): one for one in picture.iter(f"{SVG}g")}
    circles = {k: len(list(g.iter(f"{SVG}circle"))) for k, g in groups.items() if k}
    assert circles == {"a-1": 0, "a-2": 1, "a-3": 1, "a-4": 1, "a-5": 1}
    assert [g.get("class") for k, g in groups.items() if k] == [
        "step done",
        "step begun",
        "step open",
        "step open",
        "step open",
    ]


def test_the_chain_is_thick() -> None:
    """One arrow of five joins two steps of the chain: a-2 to a-4."""
    picture = read(_picture())
    thick = list(of_class(picture, "chain"))
    assert len(thick) == 1
    assert "a-2, a-4" in (picture.findtext(f"{SVG}desc") or "")


def test_it_is_as_wide_as_a_phone_reads() -> None:
    """Two boxes across whatever there is; five of one depth take three rows."""
    many = tuple(StepBox(f"b-{k}", "t", "not started", (), ()) for k in range(5))
    flat = read(steps_svg("B", many, {one.name: 0 for one in many}))
    assert view_box(flat)[2] == WIDE_MM
    assert WIDE_MM < 2.4 * BOX_MM
    tops = {one.get("d", "").split(" ")[1] for one in of_class(flat, "void")}
    assert len(tops) == 3


def test_no_steps_are_an_empty_picture() -> None:
    """Nothing to draw is no fault."""
    picture = read(steps_svg("B", (), {}))
    assert not list(picture.iter(f"{SVG}text"))
