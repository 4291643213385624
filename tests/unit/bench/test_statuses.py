"""Statuses of all holes at once are those of the workings."""

from __future__ import annotations

import pytest

from rivetwright.bench.statuses import Statuses
from rivetwright.engines.rules import REGISTRY
from rivetwright.engines.worked import working
from rivetwright.standards.source import Status
from tests.unit.bench.plans import BLIND, row, worked

STATUSES = tuple(Status)


@pytest.mark.parametrize("name", [rule.output for rule in REGISTRY])
def test_rank_is_that_of_the_working(name: str) -> None:
    """The walk over columns and the walk of one working meet at every quantity."""
    rows = (row("R", "MS20470AD4-4.5"), row("S", "MS20426AD3-3"), row("T", BLIND))
    worked_plan = worked(*rows)
    ranks = Statuses(worked_plan).ranks(name)
    class_of = worked_plan.worked.stacks.class_of
    for hole in (0, 3, 6):
        opened = working(worked_plan.worked, name, hole)
        assert STATUSES[ranks[class_of[hole]]] is opened.status


def test_sources_of_a_looked_up_figure_are_those_of_its_rows() -> None:
    """3/32 and 1/8 shop heads are second-hand, 5/32 from memory: two sources."""
    rows = (
        row("R", "MS20470AD3-4"),
        row("S", "MS20470AD4-4"),
        row("T", "MS20470AD5-5"),
    )
    found = Statuses(worked(*rows)).sources("head_width_min_mm")
    assert [one.status for one in found] == [Status.SECOND_HAND, Status.FROM_MEMORY]


def test_plan_without_holes_has_no_ranks() -> None:
    """Nothing to rest on, and nothing that breaks."""
    assert Statuses(worked()).ranks("head_width_mm").tolist() == []
