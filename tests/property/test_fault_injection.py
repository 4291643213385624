"""200 clean assemblies, and one fault at a time put into them.

A clean assembly has nothing to stop at and nothing to check. With one fault in it,
exactly the code of that fault stands, at exactly the holes it was put at.
"""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest

from rivetwright.engines.checks import CHECKS
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.model.plan import Plan
from rivetwright.model.severity import Severity
from tests.property.faults.assemblies import Assembly, clean_assembly
from tests.property.faults.injected import FAULTS
from tests.property.faults.tools import TOOL_FAULTS

SEEDS = range(200)
# Every fault is put into every eighth assembly, so each assembly bears three of them
# one after the other; 600 in all.
SHARES = 8


def spoken(worked_plan: WorkedPlan) -> set[tuple[str, str]]:
    """Code and hole of every finding that stops or asks to check."""
    holes = worked_plan.worked.holes
    return {
        (finding.code, holes.name(hole))
        for finding in worked_plan.findings
        if finding.severity is not Severity.NOTE
        for hole in finding.holes
    }


def with_fault(code: str, seed: int) -> tuple[Plan, set[tuple[str, str]]]:
    """A clean assembly with one fault in it, and what must be said of it."""
    made = clean_assembly(seed)
    holes = FAULTS[code](made, Random(f"{seed} {code}"))
    return made.plan(), {(code, hole) for hole in holes}


def test_every_code_that_speaks_up_has_a_fault() -> None:
    """The faults are the codes of severity stop and check, neither more nor fewer.

    What is said of tools asks for a shop: those faults are put in where one is.
    """
    loud = {c for c, one in CHECKS.items() if one.severity is not Severity.NOTE}
    assert {*FAULTS, *TOOL_FAULTS} == loud


@pytest.mark.parametrize("part", range(SHARES))
def test_clean_assemblies_have_notes_at_most(part: int) -> None:
    """Nothing stops and nothing is to be checked in an assembly without a fault."""
    for seed in SEEDS[part::SHARES]:
        assert spoken(work_out(clean_assembly(seed).plan())) == set(), seed


@pytest.mark.parametrize("code", FAULTS)
def test_one_fault_makes_exactly_its_finding(code: str) -> None:
    """The finding stands at the holes of the fault; no other stops or is to check."""
    first = list(FAULTS).index(code) % SHARES
    for seed in SEEDS[first::SHARES]:
        plan, expected = with_fault(code, seed)
        assert expected
        assert spoken(work_out(plan)) == expected, (code, seed)


def test_assemblies_differ_and_hold_every_joint() -> None:
    """Ten kinds of joint in each; counts of rivets and gauges spread."""
    made = [clean_assembly(seed) for seed in SEEDS]
    joints = Counter(joint for one in made for joint in set(one.joints.values()))
    assert set(joints.values()) == {len(SEEDS)}
    assert len(joints) == 11
    assert len({len(list(_places(one))) for one in made}) > 20


def _places(made: Assembly) -> list[int]:
    """One entry per hole."""
    return [k for row in made.rows for k in range(row.pattern.count)]
