"""A plan for every finding there is, so that every sentence is said once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rivetwright.bench.open import open_plan
from rivetwright.engines.checks import CHECKS, Finding
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.intake.plan_file import read_plan, read_plan_text
from rivetwright.intake.shop_file import read_shop
from tests.property.faults.injected import FAULTS
from tests.property.test_fault_injection import with_fault

ASSEMBLIES = ("aileron", "root-rib", "flap")
# -3.5 where 0.0720 + 0.1875 in is 4.15 sixteenths; dimples in 0.050 in.
NOTES = """\
format: rivetwright plan 1
project: {id: 6f0f9a52-3f44-4c0e-9d43-0a51f2c8c101, name: Try Out}
assembly: {id: notes, name: notes}
unit: in
parts:
  11: {title: skin, thickness: .032}
  12: {title: angle, thickness: .040}
  13: {title: plate, thickness: .050}
steps:
  s-1: {title: rivet}
rows:
  R1: {count: 6, stack: [11, 12], callout: MS20470AD4-3.5, step: s-1}
  R2: {count: 6, stack: [11 dimple, 13 dimple], callout: MS20426AD4-4, step: s-1}
"""


@pytest.fixture(scope="session")
def demo_plans(root: Path) -> list[WorkedPlan]:
    """The invented demo, worked out."""
    folder = root / "examples" / "ostrel"
    return [open_plan(folder / f"{name}.yaml") for name in ASSEMBLIES]


@pytest.fixture(scope="session")
def reached_plans(root: Path) -> list[WorkedPlan]:
    """The demo with its shop, with and without what was entered by hand.

    And a plan that names a tool which the shop does not have.
    """
    folder = root / "examples" / "ostrel"
    shop = read_shop(folder / "shop.yaml")
    plans = [read_plan(folder / f"{name}.yaml") for name in ASSEMBLIES]
    bare = [
        replace(plan, rows=tuple(replace(row, access=None) for row in plan.rows))
        for plan in plans
    ]
    unknown = read_plan_text(NOTES + "access: [{rows: [R1], tools: [Z9]}]\n")
    return [work_out(plan, shop=shop) for plan in (*plans, *bare, unknown)]


@pytest.fixture(scope="session")
def findings(
    root: Path, demo_plans: list[WorkedPlan], reached_plans: list[WorkedPlan]
) -> dict[str, list[Finding]]:
    """Findings by code: of the demo, of a plan with notes, of one fault at a time."""
    ostrel = root / "examples" / "ostrel"
    plans = [*demo_plans, work_out(read_plan_text(NOTES))]
    plans.append(open_plan(ostrel / "root-rib.yaml", [ostrel / "sb-07.yaml"]))
    plans += [work_out(with_fault(code, seed)[0]) for seed in (0, 1) for code in FAULTS]
    found: dict[str, list[Finding]] = {code: [] for code in CHECKS}
    for plan in plans:
        for finding in plan.findings:
            found[finding.code].append(finding)
    for plan in reached_plans:
        for finding in plan.findings:
            # Of the rest these plans say the same again.
            if finding.code.startswith(("REACH", "TOOL")):
                found[finding.code].append(finding)
    return found
