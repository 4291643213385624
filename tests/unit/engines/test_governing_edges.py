"""Governing edges of all holes at once are those of the single witnesses."""

from __future__ import annotations

from benchmarks.plans import made_up_plan
from rivetwright.engines.edge import governing_edges
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.worked import working
from rivetwright.model.outline import CutOut
from tests.unit.bench.plans import face, row, straight, worked

UNIVERSAL = "MS20470AD4-4.5"


def witnesses(worked_plan: WorkedPlan, step: int = 1) -> dict[int, tuple[str, str]]:
    """Part and edge that the working of each hole's edge distance names."""
    found = {}
    for hole in range(0, len(worked_plan.worked.holes), step):
        seen = working(worked_plan.worked, "edge_distance_mm", hole).witness
        fields = seen.fields if seen else {"part": "", "edge": ""}
        found[hole] = (str(fields["part"]), str(fields["edge"]))
    return found


def test_wavy_outlines_of_many_sides() -> None:
    """Sides of outlines with forty corners are told by the same number."""
    worked_plan = work_out(made_up_plan(1500))
    found = governing_edges(worked_plan.worked)
    assert {hole: found[hole] for hole in range(0, len(found), 13)} == witnesses(
        worked_plan, 13
    )


def test_round_and_cornered_cut_outs() -> None:
    """The first hole is nearest a round rim, the last a cornered one, by hand.

    Round: 10 - 6 = 4 mm. Cornered: a square from u 76 on, 6 mm beyond the hole at 70.
    """
    square = ((76.0, 15.0), (86.0, 15.0), (86.0, 25.0), (76.0, 25.0))
    cuts = (CutOut((40.0, 20.0), 6.0), CutOut(corners_mm=square, note="slot"))
    rows = straight("R", 30, 20, UNIVERSAL, skip=(2,))
    worked_plan = worked(rows, faces=(face(*cuts),))
    found = governing_edges(worked_plan.worked)
    assert found == [("skin", "cut-out 1"), ("skin", "slot")]
    assert dict(enumerate(found)) == witnesses(worked_plan)


def test_nothing_is_named_where_no_place_is_known() -> None:
    """A row without places has no governing edge."""
    worked_plan = worked(row("R", UNIVERSAL))
    assert governing_edges(worked_plan.worked) == [("", "")] * 3
