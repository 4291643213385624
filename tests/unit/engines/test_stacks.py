"""Stacks from outlines and as written, and the classes of equal holes."""

from __future__ import annotations

from rivetwright.engines.stacks import Kind, Stacks, find_stacks
from rivetwright.model.columns import expand
from rivetwright.model.plan import FAR, HoleRange, OpenHoles, Plan
from rivetwright.standards.codes import parse_rivet_code
from tests.unit.engines.small import box, codes, plan_of, row, worked

CODE = "MS20470AD4-4"


def stacks_of(plan: Plan) -> Stacks:
    """The stacks of a plan."""
    return find_stacks(plan, expand(plan))


def used(plan: Plan, hole: int = 0) -> list[tuple[str, str]]:
    """Sheets that are reckoned with at a hole, with their preparation."""
    found = stacks_of(plan)
    sheets = found.classes[found.class_of[hole]].sheets
    return [(sheet.part, sheet.preparation) for sheet in sheets]


def test_head_side_near_or_far_turns_the_stack() -> None:
    """Near: as the face lists them; far: the other way round."""
    layers = [box("a"), box("b"), box("c")]
    near = plan_of(row("R", CODE, (10, 10)), layers=layers)
    far = plan_of(row("R", CODE, (10, 10), head_side=FAR), layers=layers)
    assert stacks_of(near).drawn_parts(0) == ("a", "b", "c")
    assert stacks_of(far).drawn_parts(0) == ("c", "b", "a")


def test_preparation_goes_by_part_then_by_the_star() -> None:
    """The named part is countersunk, all the others dimpled."""
    prepared = (("*", "dimple"), ("b", "countersink"))
    plan = plan_of(
        row("R", CODE, (10, 10), preparation=prepared), layers=[box("a"), box("b")]
    )
    assert used(plan) == [("a", "dimple"), ("b", "countersink")]


def test_written_stack_is_used_and_a_difference_is_found() -> None:
    """The drawing is never overruled: the written sheets count, STACK-01 tells it."""
    layers = [box("a"), box("b"), box("c")]
    one = row("R", CODE, (10, 10), stack=[("a", "plain"), ("c", "plain")])
    plan = plan_of(one, layers=layers)
    assert used(plan) == [("a", "plain"), ("c", "plain")]
    found = stacks_of(plan)
    assert found.is_different.tolist() == [True]
    # Behind each written sheet stands the layer of that part.
    assert [found.layers[k].layer.part for k in found.layer[0][:2]] == ["a", "c"]
    assert "STACK-01" in codes(worked(one, layers=layers))


def test_written_stack_without_outlines_is_not_compared() -> None:
    """A face without layers, or a row without places, contradicts nobody."""
    stack = [("a", "plain"), ("b", "plain")]
    for one in (row("R", CODE, (10, 10), stack=stack), row("R", CODE, stack=stack)):
        assert stacks_of(plan_of(one)).is_different.tolist() == [False]


def test_open_holes_have_their_own_stack_and_callout() -> None:
    """Hole 2 is set later through three sheets with a longer rivet."""
    three = tuple(
        row("x", stack=[("a", "plain"), ("b", "plain"), ("c", "plain")]).stack
    )
    opened = OpenHoles(
        "later",
        (HoleRange("R", 2, 2),),
        "bracket",
        stack=three,
        callout=parse_rivet_code("MS20470AD4-5"),
    )
    one = row("R", CODE, count=2, stack=[("a", "plain"), ("b", "plain")])
    plan = plan_of(one, parts=(), open_holes=(opened,), layers=[box("c")])
    found = stacks_of(plan)
    classes = [found.classes[k] for k in found.class_of]
    assert [len(one.sheets) for one in classes] == [2, 3]
    assert [str(one.callout) for one in classes] == ["MS20470AD4-4", "MS20470AD4-5"]


def test_equal_holes_of_several_rows_are_one_class() -> None:
    """Two rows with the same sheets and rivet, a third with another rivet: two."""
    layers = [box("a"), box("b")]
    rows = [
        row("A", CODE, (10, 10), (30, 10)),
        row("B", CODE, (50, 10)),
        row("C", "MS20470AD4-5", (70, 10)),
    ]
    found = stacks_of(plan_of(*rows, layers=layers))
    assert len(found.classes) == 2
    assert found.class_of[0] == found.class_of[2] != found.class_of[3]


def test_tables_see_callout_and_countersink_alone() -> None:
    """Two stacks of one rivet are one kind until one of them is countersunk."""
    flush = "MS20426AD4-4"
    rows = [
        row("A", flush, stack=[("a", "dimple"), ("b", "dimple")]),
        row("B", flush, stack=[("b", "dimple"), ("a", "dimple")]),
        row("C", flush, stack=[("a", "countersink"), ("b", "plain")]),
    ]
    found = stacks_of(plan_of(*rows))
    code = parse_rivet_code(flush)
    kinds = [found.kind(hole) for hole in range(3)]
    assert kinds == [Kind(code, False), Kind(code, False), Kind(code, True)]
    assert len(found.kinds.kinds) == 2


def test_part_that_comes_later_is_kept_apart() -> None:
    """The later bracket is no sheet yet, but it is known to lie over the hole."""
    layers = [box("a"), box("b"), box("late", from_step="2")]
    found = stacks_of(plan_of(row("R", CODE, (10, 10), step="1"), layers=layers))
    assert found.drawn_parts(0) == ("a", "b")
    assert found.layers[found.later[0]].layer.part == "late"
