"""Rows expanded to holes: numbers, names, states, ranges, steps before steps."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.errors import NotFound
from rivetwright.model.columns import (
    Holes,
    expand,
    parse_hole_range,
    preceding_steps,
)
from rivetwright.model.opening import Hold, Opening
from rivetwright.model.outline import Face
from rivetwright.model.pattern import Counted, Straight
from rivetwright.model.plan import (
    SKETCHED,
    ExtraHole,
    HoleRange,
    OpenHoles,
    Plan,
    Project,
    Row,
)
from rivetwright.model.step import Need, Step
from rivetwright.standards.codes import parse_rivet_code

CODE = parse_rivet_code("MS20470AD4-4")
LATER = parse_rivet_code("MS20470AD4-5")
STEPS = (Step("1", "first"), Step("2", "second", needs=(Need("step", "1"),)))


def straight(name: str, count: int, **more: object) -> Row:
    """A row along u every 10 mm."""
    pattern = Straight((0.0, 0.0), (10.0, 0.0), count)
    return Row(f"id {name}", name, CODE, pattern, "1", "F", **more)  # type: ignore[arg-type]


def holes_of(*rows: Row, **more: object) -> Holes:
    """A small plan expanded."""
    project = Project("id", "INVENTED")
    faces = (Face("F", "face", ()),)
    return expand(Plan("p", "p", project, "mm", (), faces, rows, STEPS, **more))  # type: ignore[arg-type]


def names(holes: Holes) -> list[str]:
    """Names of all holes."""
    return [holes.name(k) for k in range(len(holes))]


def test_holes_come_row_by_row_with_names_and_ids() -> None:
    """Two rows of two; the id is the row's and stays when the name changes."""
    holes = holes_of(straight("A", 2), straight("B", 2))
    assert names(holes) == ["A:1", "A:2", "B:1", "B:2"]
    assert holes.id(3) == "id B:2"
    assert holes.row_of(3).name == "B"
    assert holes.x_mm.tolist() == [0.0, 10.0, 0.0, 10.0]


def test_skipped_positions_leave_a_gap_in_the_numbers() -> None:
    """Of four positions the second is none: holes 1, 3 and 4 at 0, 20 and 30."""
    holes = holes_of(straight("A", 4, skip=(2,)))
    assert names(holes) == ["A:1", "A:3", "A:4"]
    assert holes.x_mm.tolist() == [0.0, 20.0, 30.0]


def test_extra_holes_stand_in_order_of_their_number() -> None:
    """Number 2 takes a skipped position's name; number 9 has no place."""
    extra = (ExtraHole(9), ExtraHole(2, (15.0, 5.0)))
    holes = holes_of(straight("A", 3, skip=(2,), extra=extra))
    assert names(holes) == ["A:1", "A:2", "A:3", "A:9"]
    assert holes.x_mm[:3].tolist() == [0.0, 15.0, 20.0]
    assert np.isnan(holes.x_mm[3])


def test_columns_cannot_be_written() -> None:
    """A frozen plan has frozen holes."""
    holes = holes_of(straight("A", 2))
    with pytest.raises(ValueError, match="read-only"):
        holes.x_mm[0] = 1.0


def test_rows_without_face_or_step_have_none() -> None:
    """A row that names no face lies on none."""
    row = Row("id", "A", CODE, Counted(2), "")
    holes = holes_of(row)
    assert holes.face.tolist() == [-1, -1]
    assert holes.step.tolist() == [-1, -1]


def test_plan_without_rows_has_no_holes() -> None:
    """Every column is empty."""
    holes = holes_of()
    assert len(holes) == 0
    assert holes.is_sketched.tolist() == []
    assert holes.place_tolerance_mm.tolist() == []


def test_how_a_place_is_known_goes_to_every_hole() -> None:
    """One row sketched, one measured to 0.5 mm."""
    holes = holes_of(
        straight("A", 1, places=SKETCHED), straight("B", 2, place_tolerance_mm=0.5)
    )
    assert holes.is_sketched.tolist() == [True, False, False]
    assert holes.place_tolerance_mm.tolist() == [0.0, 0.5, 0.5]


OPEN = OpenHoles("later", (HoleRange("A", 2, 3),), "bracket", step="2", callout=LATER)


def test_open_holes_are_set_at_their_own_step_with_their_own_callout() -> None:
    """Holes 2 and 3 wait for step 2 and a longer rivet; 1 and 4 do not."""
    holes = holes_of(straight("A", 4), open_holes=(OPEN,))
    assert holes.step.tolist() == [0, 1, 1, 0]
    assert [str(holes.callout(k)) for k in (0, 1)] == ["MS20470AD4-4", "MS20470AD4-5"]


def test_open_holes_without_their_own_callout_keep_the_rows() -> None:
    """Only the time differs."""
    opened = OpenHoles("later", (HoleRange("A", 2, 2),), "bracket")
    holes = holes_of(straight("A", 2), open_holes=(opened,))
    assert holes.callout(1) is CODE
    assert holes.step.tolist() == [0, 0]


def test_one_word_for_the_state_of_a_hole() -> None:
    """Set comes before hold, hold before open, open before drilled."""
    opening = Opening(
        set_holes=("A:1",),
        drilled=("A:1-4",),
        holds=(Hold("H", ("A:1-2",), "no answer yet"),),
    )
    holes = holes_of(straight("A", 5), open_holes=(OPEN,), opening=opening)
    states = [holes.state(k) for k in range(5)]
    assert states == ["set", "hold", "open", "drilled", "planned"]


def test_ranges_are_read_as_written() -> None:
    """One hole or several of one row; written back the same."""
    assert parse_hole_range(" A12:18-20 ") == HoleRange("A12", 18, 20)
    assert str(parse_hole_range("A12:18")) == "A12:18"
    assert str(HoleRange("A12", 18, 20)) == "A12:18-20"


@pytest.mark.parametrize("text", ["A12", "A12:", ":3", "A12:3-", "A 12:3", "A12:x"])
def test_other_forms_of_a_range_are_refused(text: str) -> None:
    """The form is named."""
    with pytest.raises(NotFound, match="row:number"):
        parse_hole_range(text)


def test_holes_are_found_by_name() -> None:
    """Over a gap in the numbers too, when both ends exist."""
    holes = holes_of(straight("A", 4, skip=(2,)), straight("B", 2))
    assert holes.index("B:2") == 4
    assert holes.indices(HoleRange("A", 1, 3)) == range(2)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("AA:1", "no row AA"),
        ("A:2", "row A with 3 holes"),
        ("A:1-9", "numbers 1 to 4"),
    ],
)
def test_holes_that_are_not_there_are_told(text: str, told: str) -> None:
    """Row or number; what there is stands beside it."""
    holes = holes_of(straight("A", 4, skip=(2,)))
    with pytest.raises(NotFound, match=told):
        holes.index(text)


def test_opening_that_names_no_hole_is_refused() -> None:
    """A hole set in a row that the plan does not have."""
    with pytest.raises(NotFound, match="no row B"):
        holes_of(straight("A", 2), opening=Opening(set_holes=("B:1",)))


def test_steps_before_steps_go_through_their_needs() -> None:
    """3 needs 2, 2 needs 1: 1 lies before 3. A part that is needed is no step."""
    steps = (
        Step("3", "third", needs=(Need("step", "2"), Need("part", "1"))),
        Step("1", "first"),
        Step("2", "second", needs=(Need("step", "1"), Need("step", "gone"))),
    )
    project = Project("id", "INVENTED")
    before = preceding_steps(Plan("p", "p", project, "mm", (), (), (), steps))
    assert before.tolist() == [
        [True, True, True],
        [False, True, False],
        [False, True, True],
    ]
