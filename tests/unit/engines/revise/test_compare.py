"""Every kind of edit of a plan is told, at its holes and no others."""

from __future__ import annotations

import pytest

from rivetwright.engines.revise.compare import Aspect, Comparison, Kind, compare
from rivetwright.engines.revise.matching import By
from tests.unit.engines.revise.plans import PLAN, edited, worked


def told(found: Comparison) -> list[tuple[str, str, int, list[str]]]:
    """Kind, row, count and aspects of each change."""
    return [
        (str(one.kind), one.row, one.count, [str(d.aspect) for d in one.differences])
        for one in found.changes
    ]


def test_the_same_plan_differs_in_nothing() -> None:
    """No change, part or step."""
    assert edited().is_same


def test_holes_added_and_gone() -> None:
    """R1 goes from six to eight, R2 from four to three."""
    found = edited(("count: 6", "count: 8"), ("count: 4", "count: 3"))
    assert told(found) == [("gone", "R2", 1, []), ("added", "R1", 2, [])]
    assert [found.count(kind) for kind in Kind] == [2, 1, 0]


def test_a_moved_row() -> None:
    """R1 a tenth of an inch up: its six holes lie elsewhere, and no other does."""
    found = edited(("at: [1, 1]", "at: [1, 1.1]"))
    moved = [one for one in found.changes if Aspect.PLACE in one.aspects]
    assert {one.row for one in moved} == {"R1"}
    assert sum(one.count for one in moved) == 6
    assert all(one.takes_another_rivet for one in moved)


def test_a_thicker_part_changes_every_stack_with_it() -> None:
    """Part 2 at 0.063: grip at all thirteen holes, and the length that is wanted.

    R1 0.032 + 0.063 = 0.095, + 0.1875 = 0.2825 in = 4.52 sixteenths: -4.5.
    """
    found = edited(("title: rib, thickness: .040", "title: rib, thickness: .063"))
    assert found.count(Kind.CHANGED) == 13
    row = next(one for one in found.changes if one.row == "R1")
    differ = {one.aspect: one.after for one in row.differences}
    assert differ[Aspect.LENGTH] == 4.5
    assert float(differ[Aspect.GRIP]) == pytest.approx(0.095 * 25.4)
    (part,) = found.parts
    assert (part.kind, part.name) == (Kind.CHANGED, "2")


def test_another_material_is_another_joint() -> None:
    """As thick as before, and yet not the same."""
    found = edited(
        (
            "title: rib, thickness: .040",
            "title: rib, material: 6061-T6, thickness: .040",
        )
    )
    assert all(one.aspects == {Aspect.GRIP} for one in found.changes)
    assert found.count(Kind.CHANGED) == 13


def test_callout_and_step() -> None:
    """L1 with another rivet and at the first step."""
    found = edited(
        (
            "L1: {count: 3, stack: [3, 2], callout: MS20470AD4-4, step: s2}",
            "L1: {count: 3, stack: [3, 2], callout: MS20470AD4-5, step: s1}",
        )
    )
    (change,) = found.changes
    assert {Aspect.CALLOUT, Aspect.STEP} <= change.aspects


def test_a_step_that_closes_something_else() -> None:
    """What it needs and what it shuts are told apart."""
    found = edited(
        ("s2: {title: lid on, needs: s1, closes: [F]}", "s2: {title: lid on}"),
    )
    (step,) = found.steps
    assert (step.kind, step.needs_less, step.closes_less) == (
        Kind.CHANGED,
        ("step s1",),
        ("F",),
    )


def test_a_row_renamed_without_a_word_is_found_by_its_place() -> None:
    """R1 becomes Q7: the same places, so the same row, to be confirmed."""
    found = edited(
        ("  R1:", "  Q7:"),
        ("callout: MS20470AD4-4, step: s1", "callout: MS20470AD4-4.5, step: s1"),
    )
    (change,) = found.changes
    assert (change.row, change.by, change.kind) == ("Q7", By.PLACE, Kind.CHANGED)


def test_a_lineage_that_a_person_gave_is_kept() -> None:
    """L1 has no place; told that it became L9 it is no new row."""
    later = worked(PLAN.replace("  L1:", "  L9:"))
    before = worked(PLAN)
    ids = {row.name: row.id for row in before.worked.plan.rows}
    after = {row.name: row.id for row in later.worked.plan.rows}
    alone = compare(before, later)
    assert [one.kind for one in alone.changes] == [Kind.GONE, Kind.ADDED]
    assert compare(before, later, {ids["L1"]: after["L9"]}).changes == ()
