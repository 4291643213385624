"""Work a plan out: register every rule and check, run them, find what is wrong."""

from __future__ import annotations

from dataclasses import dataclass, field

from rivetwright.engines import (  # noqa: F401  (importing registers their rules)
    clearance,
    edge,
    flush,
    force,
    given,
    head,
    length,
    lookups,
    names,
    next_size,
    pitch,
    rows,
    verdicts,
)
from rivetwright.engines.checks import Finding, find
from rivetwright.engines.learning.told import NOTHING_TOLD, HeadsTold
from rivetwright.engines.reach import around_columns, tool_columns  # noqa: F401
from rivetwright.engines.squeeze import gap  # noqa: F401  (as above)
from rivetwright.engines.worked import Progress, Worked
from rivetwright.model.plan import Plan
from rivetwright.model.severity import Severity
from rivetwright.model.shop import Shop


@dataclass(frozen=True)
class WorkedPlan:
    """A worked-out plan and what was found in it.

    `answered` are code and hole of findings that somebody answered for: they stay
    findings and no longer stop. `told` is what measured heads tell of dies and yokes.
    """

    worked: Worked
    findings: tuple[Finding, ...]
    answered: frozenset[tuple[str, int]] = frozenset()
    told: HeadsTold = field(default=NOTHING_TOLD, hash=False)

    @property
    def stops(self) -> bool:
        """Whether anything must not be set as it stands."""
        return any(
            f.severity is Severity.STOP and not self.is_answered(f)
            for f in self.findings
        )

    def is_answered(self, finding: Finding) -> bool:
        """Whether somebody answered for every hole of a finding."""
        return all((finding.code, hole) in self.answered for hole in finding.holes)


def work_out(
    plan: Plan, progress: Progress | None = None, shop: Shop | None = None
) -> WorkedPlan:
    """Every column and every finding of a plan.

    Args:
        plan: the plan, frozen.
        progress: told the rule being run, how many are done, and of how many.
        shop: what the builder owns; without it nothing is said about tools.
    Source: the registered rules and checks.
    """
    worked = Worked(plan, shop)
    worked.run_all(progress)
    return WorkedPlan(worked, find(worked))
