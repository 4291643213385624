"""Tools at a hole, along the rows, and what the demo's project needs of its shop."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rivetwright.bench.open import Assembly, Project
from rivetwright.bench.tools import (
    needed_tools,
    reached_by,
    row_tools,
    tools_at_hole,
)
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.errors import NotFound
from rivetwright.model.shop import Shop


@pytest.fixture
def project(workshop: Workshop) -> Project:
    """The demo as the record has it."""
    return workshop.now().project


@pytest.fixture
def aileron(workshop: Workshop) -> WorkedPlan:
    """The demo's aileron."""
    return workshop.now().assembly("aileron").worked_plan


def names(assembly: Assembly, holes: tuple[int, ...]) -> list[str]:
    """Holes by their names."""
    columns = assembly.worked_plan.worked.holes
    return [columns.name(hole) for hole in holes]


def test_tools_that_get_there_stand_first(aileron: WorkedPlan) -> None:
    """A5: two bars clear, the deep yoke of the plan tight over the flange."""
    worked = aileron.worked
    at = tools_at_hole(aileron, worked.holes.index("A5:1"))
    assert at is not None
    found = [(one.fit.tool.id, one.fit.fit, one.is_planned) for one in at.there]
    assert found == [
        ("BB1", "clear", False),
        ("BB2", "clear", False),
        ("Y2", "tight", True),
    ]
    assert {one.fit.fit for one in at.others} == {"no"}
    assert at.has_gun


def test_a_yoke_goes_on_each_squeezer_owned(aileron: WorkedPlan) -> None:
    """By hand it takes both hands and makes no noise; with air one, and it does."""
    at = tools_at_hole(aileron, aileron.worked.holes.index("A11:3"))
    assert at is not None
    (pneumatic, hand) = at.there[0].ways
    assert (pneumatic.needs_both_hands, pneumatic.is_noisy) == (False, True)
    assert (hand.needs_both_hands, hand.is_noisy) == (True, False)


def test_a_blind_rivet_is_pulled(aileron: WorkedPlan) -> None:
    """A12 takes no bar; what does not suit its kind stands among the others."""
    at = tools_at_hole(aileron, aileron.worked.holes.index("A12:1"))
    assert at is not None
    assert [one.fit.tool.id for one in at.there] == ["BP1", "BP2"]
    assert not at.has_gun


def test_every_sheet_is_prepared_before_the_parts_go_together(
    aileron: WorkedPlan,
) -> None:
    """A11 has three dimpled sheets: each is drilled and dimpled alone."""
    at = tools_at_hole(aileron, aileron.worked.holes.index("A11:3"))
    assert at is not None
    work = [(one.part, one.operation) for one in at.preparing]
    assert work == [(p, w) for p in ("503", "502", "501") for w in ("drill", "dimple")]


def test_rows_fall_apart_where_other_tools_get_there(aileron: WorkedPlan) -> None:
    """A19 of the tapered rib: six holes, the seventh, and the eighth by BB3 alone."""
    rows = [r for r in row_tools(aileron) if _row(aileron, r.holes[0]) == "A19"]
    assert [len(row.holes) for row in rows] == [6, 1, 1]
    last = rows[-1]
    assert (last.verdict, [one.id for one in last.on_order]) == ("on order", ["BB3"])
    assert (last.owned_clear, last.owned_tight, last.takes_two) == ((), (), True)
    assert last.nearest is not None
    assert last.nearest.limit == "gap if second"


def _row(worked_plan: WorkedPlan, hole: int) -> str:
    """The row of a hole."""
    return worked_plan.worked.holes.row_of(hole).name


def test_every_hole_is_in_one_line(project: Project) -> None:
    """None is told twice, none is left out."""
    for assembly in project.assemblies:
        told = [h for row in row_tools(assembly.worked_plan) for h in row.holes]
        assert told == list(range(len(assembly.worked_plan.worked.holes)))


def test_the_project_tells_what_waits_and_what_nobody_reaches(
    project: Project,
) -> None:
    """P10: the eighth holes wait for BB3; nothing goes in at A23 on; P9 is tight."""
    needs = needed_tools(project.assemblies, project.shop)
    (waiting,) = needs.waiting
    assert names(waiting.assembly, waiting.holes) == [
        "A19:8",
        "A20:8",
        "A21:8",
        "A22:8",
    ]
    assert [(tool.id, str(tool.due)) for tool in waiting.tools] == [
        ("BB3", "2026-12-04")
    ]
    (nobody,) = needs.nobody
    assert names(nobody.assembly, nobody.holes) == ["A23:1", "A24:1", "A25:1", "A26:1"]
    assert nobody.nearest is not None
    assert nobody.nearest.has_mm == pytest.approx(0.186 * 25.4, abs=0.01)
    (tight,) = needs.tight
    assert names(tight.assembly, tight.holes) == [f"B5:{n}" for n in range(1, 8)]


def test_the_fewest_pieces_do_every_stack(project: Project) -> None:
    """Two yokes of three, no pin; nothing has to be bought, and each job has holes."""
    needs = needed_tools(project.assemblies, project.shop)
    assert [yoke.id for yoke in needs.cover.yokes] == ["Y2", "Y3"]
    assert needs.cover.pins_mm == ()
    assert needs.cover.shims_to_buy == needs.cover.dies_to_buy == needs.cover.lost == ()
    for job in needs.cover.done:
        assembly, holes = needs.holes_of(job)
        assert holes
        assert {reached_by(assembly.worked_plan.worked, h) for h in holes} == {
            job.yokes
        }


def test_a_missing_cup_is_to_be_bought(project: Project) -> None:
    """B13 and C19 are the rows of 3/32 universal heads: both lack it."""
    assert project.shop is not None
    dies = tuple(
        die for die in project.shop.dies if (die.kind, die.diameter_32nds) != ("cup", 3)
    )
    needs = needed_tools(project.assemblies, replace(project.shop, dies=dies))
    wanted = {(one.kind, one.diameter_32nds) for one in needs.cover.dies_to_buy}
    assert wanted == {("cup", 3)}
    rows = {
        _row(needs.holes_of(one.job)[0].worked_plan, needs.holes_of(one.job)[1][0])
        for one in needs.cover.dies_to_buy
    }
    assert rows == {"B13", "C19"}


def test_without_a_shop_nothing_is_said(aileron: WorkedPlan) -> None:
    """No tools at a hole, no rows; the project says what to write."""
    alone = work_out(aileron.worked.plan)
    assert tools_at_hole(alone, 0) is None
    assert row_tools(alone) == ()
    with pytest.raises(NotFound, match="shop file"):
        needed_tools((), None)


def test_a_shop_without_tools_has_no_rows(aileron: WorkedPlan) -> None:
    """Nothing can be said of tools that are not there."""
    bare = work_out(aileron.worked.plan, shop=Shop("s", "Shop", "in"))
    assert row_tools(bare) == ()
