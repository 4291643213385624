"""Columns of words: stacks, twins, what holes wait for."""

from __future__ import annotations

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.worked import working
from rivetwright.model.plan import HoleRange, OpenHoles, Part
from rivetwright.model.step import Need, Step
from tests.unit.engines.small import box, codes, holes_with, row, worked

CODE = "MS20470AD4-4"
PLAIN = [("a", "plain"), ("b", "plain")]


def words(found: WorkedPlan, name: str, hole: str = "R:1") -> str:
    """A column of words at one hole."""
    return str(found.worked.at(name, found.worked.holes.index(hole)))


def test_stack_is_written_head_side_first_with_preparation() -> None:
    """Plain sheets go without a word."""
    stack = [("502", "dimple"), ("501", "countersink"), ("503", "plain")]
    found = worked(row("R", "MS20426AD3-4", stack=stack))
    assert words(found, "used_stack") == "502 dimple + 501 countersink + 503"
    assert words(found, "preparation_words") == "dimple, countersink, plain"
    assert found.worked.at("sheet_count", 0) == 3


def test_drawn_stack_and_later_part_come_from_the_outlines() -> None:
    """The bracket comes at step 2: not in the stack, but named."""
    layers = [box("a"), box("b"), box("late", from_step="2")]
    found = worked(row("R", CODE, (10, 10)), row("C", CODE, stack=PLAIN), layers=layers)
    assert words(found, "drawn_stack") == "a + b"
    assert words(found, "later_part") == "late"
    assert words(found, "drawn_stack", "C:1") == ""
    assert holes_with(found, "OPEN-01") == {"R:1"}


def twins(*lengths: str, material: str = "2024-T3") -> WorkedPlan:
    """Rows with the same two sheets of 1 mm and these lengths."""
    rows = [
        row(f"{name}", f"MS20470AD4-{length}", stack=PLAIN)
        for name, length in zip("DCBA", lengths, strict=False)
    ]
    parts = [Part("a", "sheet", 1.0, material), Part("b", "sheet", 1.0, "2024-T3")]
    return worked(*rows, parts=parts)


def test_twins_are_named_sorted_at_the_one_further_off() -> None:
    """2 mm + 1.5 D = .2662 in, wanted -4.5; -3.5 is further off than -4.5, -4 not."""
    found = twins("3.5", "4.5", "4.5")
    assert words(found, "wanted_length_16ths", "D:1") == "4.5"
    assert words(found, "twin_callouts", "D:1") == "B, C -4.5"
    assert words(found, "twin_callouts", "C:1") == ""
    assert holes_with(found, "LENGTH-05") == {"D:1"}
    witness = working(found.worked, "twin_callouts", 0).witness
    assert witness is not None
    assert witness.fields == {"twins": "B, C -4.5"}


def test_twins_equally_far_off_are_both_asked() -> None:
    """-4 and -5 lie each half a size from -4.5."""
    assert holes_with(twins("4", "5"), "LENGTH-05") == {"D:1", "C:1"}


def test_other_material_or_diameter_is_no_twin() -> None:
    """The same thicknesses in another sheet alloy, or another rivet, are no twins."""
    other = [("c", "plain"), ("b", "plain")]
    parts = [
        Part("a", "sheet", 1.0, "2024-T3"),
        Part("b", "sheet", 1.0, "2024-T3"),
        Part("c", "sheet", 1.0, "6061-T6"),
    ]
    found = worked(
        row("A", "MS20470AD4-4.5", stack=PLAIN),
        row("B", "MS20470AD4-3.5", stack=other),
        row("C", "MS20470AD3-3.5", stack=PLAIN),
        parts=parts,
    )
    assert "LENGTH-05" not in codes(found)


def opened(step: str = "", part: str = "") -> OpenHoles:
    """Holes 2 and 3 left open."""
    return OpenHoles("later", (HoleRange("R", 2, 3),), "note", step=step, part=part)


def test_open_holes_say_what_they_wait_for() -> None:
    """A part at a step, a part alone, a step alone; nothing for the others."""
    for one, expected in (
        (opened("2", "b"), "b at step 2"),
        (opened("", "b"), "b"),
        (opened("2"), "2"),
    ):
        found = worked(row("R", CODE, count=3, stack=PLAIN), open_holes=(one,))
        assert words(found, "waits_for", "R:2") == expected
        assert words(found, "waits_for", "R:1") == ""


def test_words_of_a_step_against_open_holes() -> None:
    """Step 1 says to set 1 to 3; 2 and 3 wait for step 2. Step 2 may set them."""
    steps = (
        Step("1", "first", text_sets=("R:1-3",)),
        Step("2", "second", needs=(Need("step", "1"),), text_sets=("R:2-3",)),
    )
    one = row("R", CODE, count=3, stack=PLAIN)
    found = worked(one, steps=steps, open_holes=(opened("2"),))
    assert words(found, "text_against_drawing", "R:2") == "1"
    assert holes_with(found, "TEXT-01") == {"R:2", "R:3"}


def test_heads_touch_where_their_circles_do() -> None:
    """1/8 and 3/32 universal: .125 + .0935 in = 5.55 mm."""
    layers = [box("a"), box("b")]
    found = worked(
        row("R", CODE, (10, 20)), row("S", "MS20470AD3-4", (20, 20)), layers=layers
    )
    touching = found.worked.at("heads_apart_mm", 0)
    assert round(float(touching), 3) == 5.55
