"""The plan of many stacks, and what is measured on it."""

from __future__ import annotations

from benchmarks.report import Entry
from benchmarks.squeeze_bench import stacks_plan, time_set_ups
from rivetwright.engines.plan import work_out

COUNT = 40
# A measured time is not judged here, only that there is one.
SECONDS_MOST = 60.0


def test_every_hole_has_a_stack_of_its_own() -> None:
    """Forty holes are forty classes."""
    assert len(work_out(stacks_plan(COUNT)).worked.stacks.classes) == COUNT


def test_all_set_ups_are_measured_and_agree_with_brute_force() -> None:
    """Half of the sizes fit the thin yoke too; no gap differs."""
    timed = time_set_ups(COUNT)
    assert timed.set_ups == 6 * COUNT
    assert timed.differing == 0
    assert 0 < timed.seconds < SECONDS_MOST
    assert Entry("squeeze_15000_holes_seconds", timed.seconds).value > 0
