"""Heads by what made them: changes of the set-up, what counts, which are outside.

Made-up heads of 1/8 universal rivets in the demo's aileron; limits 0.050 to 0.070 high
and at least 0.163 wide (MIL-R-47196A).
"""

from __future__ import annotations

from typing import Any

import pytest

from rivetwright.bench.head_groups import HeadGroup, head_groups
from rivetwright.bench.head_history import HeadHistory, HeadMade, MadeBy
from rivetwright.engines.learning.drift import Alarm
from rivetwright.engines.learning.told import DiesTold, HeadsTold, Raised
from rivetwright.record.kinds import HeadChecked
from rivetwright.record.state import HeadSeen
from tests.unit.bench.test_set_ups import plan

IN = 25.4
MADE_BY = MadeBy("pneumatic squeezer", "Y2", 4, False, False)


def head(number: int, height: float, teaches: str = "", **told: Any) -> HeadMade:
    """A head in A3 or A4, 0.2 wide, so high [in]."""
    body = HeadChecked((), 0.2 * IN, height * IN, **told)
    at = plan().worked.holes.index(f"A{3 + number // 2}:{1 + number % 2}")
    seen = HeadSeen("", f"2026-11-26T18:{number:02}", "builder", body)
    name = plan().worked.holes.name(at)
    row, _, hole = name.partition(":")
    where = row, int(hole)
    return HeadMade("aileron", at, name, where, MADE_BY, seen, None, False, teaches)


def group(*heads: HeadMade, told: HeadsTold | None = None) -> HeadGroup:
    """The one group of some heads."""
    history = HeadHistory(heads, told or HeadsTold())
    (found,) = head_groups(history, [plan()])
    return found


def test_a_change_of_gap_or_shims_begins_the_count_again() -> None:
    """Three heads at one gap, two at another: only the two count, of which one is low.

    What was not told changes nothing: the fourth head says no gap.
    """
    heads = [head(k, 0.060, die_gap_mm=6.9) for k in range(3)]
    heads += [head(3, 0.061), head(4, 0.045, die_gap_mm=6.6)]
    heads += [head(5, 0.058, die_gap_mm=6.6, shims_mm=(0.5,))]
    found = group(*heads)
    assert [(one.at, one.what) for one in found.changes] == [(4, ("die_gap",))]
    assert [one.name for one in found.counted] == ["A5:1", "A5:2"]
    assert [one.name for one in found.outside] == ["A5:1"]
    assert found.heights is None


def test_an_alarm_counts_from_the_head_at_which_the_change_began() -> None:
    """Raised at the fifth head, begun two before it: the last three heads count."""
    alarm = Alarm(4, 2, 0.25)
    told = HeadsTold(
        by_dies={MADE_BY.dies: DiesTold((Raised(alarm, "A5:1", "A4:1", stands=True),))}
    )
    heads = [head(k, 0.056 if k < 2 else 0.066) for k in range(5)]
    found = group(*heads, told=told)
    assert [(one.at, one.raised is not None) for one in found.changes] == [(4, True)]
    assert [one.name for one in found.counted] == ["A4:1", "A4:2", "A5:1"]
    assert found.told.standing is not None


def test_heads_out_of_shape_are_shown_and_not_counted() -> None:
    """A bent head has a place in the picture; of the next hundred it says nothing."""
    found = group(*(head(k, 0.060) for k in range(3)), head(3, 0.08, "out of shape"))
    assert len(found.measured) == 4
    assert len(found.counted) == 3
    assert found.untaught == (("out of shape", 1),)


def test_three_heads_in_the_middle_leave_hardly_any_outside() -> None:
    """0.060, 0.061, 0.059: both limits are 10 thousandths off, four usual scatters."""
    found = group(*(head(k, height) for k, height in enumerate((0.060, 0.061, 0.059))))
    assert found.heights is not None
    assert found.heights.middle_mm == pytest.approx(0.060 * IN, abs=0.01)
    assert found.heights.out < 1
    assert found.widths is not None


def test_heads_of_a_plan_that_is_gone_stand_in_no_group() -> None:
    """Nothing is known of their limits."""
    assert head_groups(HeadHistory((head(0, 0.06),)), []) == ()


def test_groups_may_be_asked_for_one_plan_alone() -> None:
    """Those that have a head of it; none of another."""
    history = HeadHistory((head(0, 0.06),))
    assert len(head_groups(history, [plan()], "aileron")) == 1
    assert head_groups(history, [plan()], "flap") == ()
