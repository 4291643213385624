"""Seconds a rivet, from runs that were timed."""

from __future__ import annotations

import pytest

from rivetwright.bench.rates import Rate, rates
from rivetwright.bench.workshop import Workshop
from rivetwright.record.fold import fold
from rivetwright.record.kinds import RivetsSet
from rivetwright.record.state import RunTimed
from tests.unit.bench.conftest import Phone
from tests.unit.record.made import told

CODE = "MS20470AD4-4"


def run(rivets: int, seconds: int) -> RunTimed:
    """A run of so many rivets that took so long."""
    return RunTimed("f", "2026-11-25T19:00:00.000Z", "aileron", rivets, seconds)


def test_middle_run_tells_the_rate() -> None:
    """10, 12 and 300 s a rivet: 12, on 3 runs and 10 + 5 + 2 rivets."""
    timed = {("S1", CODE): [run(10, 100), run(5, 60), run(2, 600)]}
    assert rates(timed) == (Rate("S1", CODE, pytest.approx(12.0), 3, 17),)


def test_two_runs_tell_nothing() -> None:
    """Nor do three of which one is another set-up's."""
    assert rates({("S1", CODE): [run(10, 100)] * 2, ("S2", CODE): [run(3, 9)]}) == ()


def test_rate_that_rests_on_most_stands_first() -> None:
    """Nine rivets before six."""
    timed = {("S1", CODE): [run(2, 20)] * 3, ("S2", CODE): [run(3, 30)] * 3}
    assert [one.setup for one in rates(timed)] == ["S2", "S1"]


def test_rivets_one_by_one_tell_nothing() -> None:
    """Ten single marks, each with a time: no rate."""
    single = [RivetsSet((f"row:{k}",), CODE, run_s=5) for k in range(1, 11)]
    assert rates(fold(told(*single)).runs) == ()


def test_runs_of_an_evening_are_learned(workshop: Workshop, phone: Phone) -> None:
    """Three pairs of A17 in 30, 36 and 44 s: 18 s a rivet."""
    for first, seconds in ((1, 30), (3, 36), (5, 44)):
        phone.record(
            "rivets-set",
            f"A17:{first}-{first + 1}",
            callout="MS20426AD3-3",
            setup="S",
            run_s=seconds,
        )
    (found,) = rates(workshop.state().runs)
    assert (found.rivet_s, found.runs, found.rivets) == (18.0, 3, 6)
