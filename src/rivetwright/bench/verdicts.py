"""One short verdict on the callout of every hole, read from its findings."""

from __future__ import annotations

import numpy as np

from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan

# The gravest finding of a hole decides; without one the columns do.
OF_FINDING = {
    "LENGTH-01": "too short",
    "LENGTH-02": "too long",
    "LENGTH-03": "borderline",
    "LENGTH-04": "away from handbook",
    "LENGTH-05": "twins differ",
    "LENGTH-06": "not supplied",
    "GRIP-01": "grip outside",
}
AS_HANDBOOK, GRIP_FITS, NO_VERDICT = "as handbook", "grip fits", "no verdict"
VERDICTS = (AS_HANDBOOK, GRIP_FITS, *OF_FINDING.values(), NO_VERDICT)


def _without_finding(worked_plan: WorkedPlan) -> list[str]:
    """The verdict of each class of equal holes where no finding speaks."""
    worked = worked_plan.worked
    is_judged = ~np.isnan(worked["head_volume_ratio"])
    is_judged &= ~np.isnan(worked["volume_min_ratio"])
    has_range = ~np.isnan(worked["blind_grip_max_mm"])
    fits = np.where(is_judged, AS_HANDBOOK, np.where(has_range, GRIP_FITS, NO_VERDICT))
    found: list[str] = fits.tolist()
    return found


def _said(finding: Finding) -> str:
    """What a finding says of the callout; empty where it speaks of something else."""
    # With a sheet missing, no length has been judged as fitting.
    said = NO_VERDICT if finding.code == "STACK-02" else ""
    return OF_FINDING.get(finding.code, said)


def verdicts(worked_plan: WorkedPlan) -> list[str]:
    """The verdict on the callout of each hole; what was not judged says so."""
    fits = _without_finding(worked_plan)
    found = [fits[k] for k in worked_plan.worked.stacks.class_of.tolist()]
    for finding in reversed(worked_plan.findings):
        for hole in finding.holes:
            found[hole] = _said(finding) or found[hole]
    return found


def verdict_at(worked_plan: WorkedPlan, hole: int) -> str:
    """The verdict on the callout of one hole."""
    of_hole = (one for one in worked_plan.findings if hole in one.holes)
    said = next((_said(one) for one in of_hole if _said(one)), "")
    class_of = worked_plan.worked.stacks.class_of
    return said or _without_finding(worked_plan)[int(class_of[hole])]
