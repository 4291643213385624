"""Starting figures of gun and bar, and the steps of both ways."""

from __future__ import annotations

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.gun import gun_figure, gun_steps
from rivetwright.standards.source import Status

PSI = 6.894757293168361
LB = 0.45359237


def test_starting_pressures_rise_with_the_rivet() -> None:
    """35, 40, 60 are READ; the fourth row was cut off and is FROM MEMORY."""
    found = [gun_figure("start pressure", size) for size in (3, 4, 5, 6)]
    assert [round(one.value.central / PSI) for one in found] == [35, 40, 60, 90]
    assert [one.status for one in found[:3]] == [Status.READ] * 3
    assert found[3].status is Status.FROM_MEMORY


def test_a_larger_rivet_wants_no_lighter_bar() -> None:
    """2 to 3 lb for 3/32, up to 4 to 5 for 3/16, in kilograms."""
    masses = [gun_figure("bar mass", size).value for size in (3, 4, 5, 6)]
    assert masses[0].low == pytest.approx(2 * LB)
    assert masses[-1].high == pytest.approx(5 * LB)
    assert [one.central for one in masses] == sorted(one.central for one in masses)


def test_a_size_outside_the_table_is_refused_with_the_sizes() -> None:
    """Nothing is read beyond 3/16."""
    with pytest.raises(OutsideTable, match=r"8/32 in.*3/32, 4/32, 5/32, 6/32 in"):
        gun_figure("bar mass", 8)


def test_a_figure_that_is_not_there_is_refused() -> None:
    """The message says that the table does not have it."""
    with pytest.raises(OutsideTable, match="a figure of the table"):
        gun_figure("recoil")


def test_both_ways_begin_on_scrap_and_end_with_a_measured_head() -> None:
    """The first and last steps; words only where two people work."""
    for way in ("gun and bar", "back-rivet"):
        keys = [step.value.key for step in gun_steps(way, "step")]
        assert keys[0] == "strip"
        assert "measure" in keys
        assert "spring" in keys
    assert gun_steps("gun and bar", "call")
    assert not gun_steps("back-rivet", "call")
