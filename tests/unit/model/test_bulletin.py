"""A bulletin makes the next revision, or is refused when the plan has moved on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rivetwright.errors import NotFound, StaleRevision
from rivetwright.model.bulletin import AddedLayer, Bulletin, apply_bulletin
from rivetwright.model.outline import Face, Layer, Outline
from rivetwright.model.pattern import Counted
from rivetwright.model.plan import Part, Plan, Project, Row, Sheet
from rivetwright.model.step import Step
from rivetwright.standards.codes import parse_rivet_code

PLATE = Outline.rectangle((0, 10), (0, 10))


def row(name: str, count: int = 2) -> Row:
    """A row of a few holes."""
    code = parse_rivet_code("MS20470AD4-4")
    return Row(f"id-{name}", name, code, Counted(count), "s", stack=(Sheet("11"),))


PLAN = Plan(
    id="panel",
    name="Panel",
    project=Project("p", "P"),
    unit="in",
    parts=(Part("11", "web", 0.8),),
    faces=(Face("W", "web", (Layer("11", PLATE), Layer("12", PLATE))),),
    rows=(row("R1"), row("R2")),
    steps=(Step("s", "set"),),
    revision=3,
)
BULLETIN = Bulletin("SB", "doubler", "panel", based_on=3)


def test_revision_goes_up_when_applied() -> None:
    """Revision 4, based on 3; the plan that was given stays as it is."""
    after = apply_bulletin(PLAN, BULLETIN)
    assert (after.revision, after.based_on) == (4, 3)
    assert PLAN.revision == 3


@pytest.mark.parametrize("change", [{"based_on": 2}, {"assembly": "wing"}])
def test_bulletin_is_refused_when_it_was_written_for_another_plan(
    change: dict[str, object],
) -> None:
    """Another revision or another assembly: nothing is applied."""
    with pytest.raises(StaleRevision) as refused:
        apply_bulletin(PLAN, replace(BULLETIN, **change))  # type: ignore[arg-type]
    assert refused.value.found == "assembly panel, revision 3"


def test_row_is_replaced_in_its_place_when_it_has_the_same_name() -> None:
    """R1 keeps its place, R3 comes last."""
    after = apply_bulletin(PLAN, replace(BULLETIN, rows=(row("R3"), row("R1", 5))))
    assert [(one.name, one.pattern.count) for one in after.rows] == [
        ("R1", 5),
        ("R2", 2),
        ("R3", 2),
    ]


@pytest.mark.parametrize(
    ("before", "order"),
    [("11", ["14", "11", "12"]), ("12", ["11", "14", "12"]), ("", ["11", "12", "14"])],
)
def test_layer_goes_before_the_part_named(before: str, order: list[str]) -> None:
    """Before the part named, or at the far side."""
    added = AddedLayer("W", Layer("14", PLATE), before)
    after = apply_bulletin(PLAN, replace(BULLETIN, layers=(added,)))
    assert [layer.part for layer in after.faces[0].layers] == order


@pytest.mark.parametrize(
    ("face", "before", "found"),
    [("V", "", "face V"), ("W", "15", "no part 15 in face W")],
)
def test_layer_is_refused_when_its_place_is_unknown(
    face: str, before: str, found: str
) -> None:
    """A face or a part in it that the plan has not."""
    added = AddedLayer(face, Layer("14", PLATE), before)
    with pytest.raises(NotFound) as refused:
        apply_bulletin(PLAN, replace(BULLETIN, layers=(added,)))
    assert refused.value.found == found
