"""Laws of comparing two revisions: itself is the same; there and back agree."""

from __future__ import annotations

from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.revise.compare import Kind, compare
from tests.unit.engines.revise.plans import PLAN, worked

edits = st.tuples(
    st.sampled_from((".032", ".040", ".050")),
    st.integers(2, 8),
    st.integers(1, 5),
    st.sampled_from(("MS20470AD4-4", "MS20470AD4-5")),
)
Edit = tuple[str, int, int, str]


@cache
def plan(edit: Edit) -> WorkedPlan:
    """The small plan with its rib, two rows and one callout as an edit has them."""
    thickness, first, second, callout = edit
    text = PLAN.replace("rib, thickness: .040", f"rib, thickness: {thickness}")
    text = text.replace("count: 6", f"count: {first}")
    text = text.replace("count: 4", f"count: {second}")
    return worked(
        text.replace("callout: MS20470AD4-4, step: s2", f"callout: {callout}, step: s2")
    )


@given(edits)
def test_a_plan_is_the_same_as_itself(edit: Edit) -> None:
    """Nothing is added, gone or changed."""
    assert compare(plan(edit), plan(edit)).is_same


@given(edits, edits)
def test_there_and_back(one: Edit, other: Edit) -> None:
    """What is added one way is gone the other; what changed, changed back."""
    there, back = compare(plan(one), plan(other)), compare(plan(other), plan(one))
    assert there.count(Kind.ADDED) == back.count(Kind.GONE)
    assert there.count(Kind.GONE) == back.count(Kind.ADDED)
    assert there.count(Kind.CHANGED) == back.count(Kind.CHANGED)
    turned = {
        (d.aspect, d.after, d.before)
        for change in back.changes
        for d in change.differences
    }
    assert {
        (d.aspect, d.before, d.after)
        for change in there.changes
        for d in change.differences
    } == turned


@given(edits, edits)
def test_every_hole_is_told_once(one: Edit, other: Edit) -> None:
    """Each hole of either plan is in one change at most, and none is lost."""
    found = compare(plan(one), plan(other))
    old = [hole for change in found.changes for hole in change.old]
    new = [hole for change in found.changes for hole in change.new]
    assert len(set(old)) == len(old)
    assert len(set(new)) == len(new)
    count = len(found.old.worked.holes) - found.count(Kind.GONE)
    assert count == len(found.new.worked.holes) - found.count(Kind.ADDED)
