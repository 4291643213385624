"""Find the plan that a bulletin is for, and revise it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rivetwright.errors import Fault, PlanRefused, StaleRevision
from rivetwright.intake.bulletin_file import read_bulletin
from rivetwright.model.bulletin import Bulletin, apply_bulletin
from rivetwright.model.plan import Plan

_FIELD = "assembly"


def bulletin_for(path: Path, plans: Sequence[Plan]) -> tuple[int, Bulletin]:
    """Which of some plans a bulletin is for, and the bulletin read against it.

    Raises:
        PlanRefused: the file was not read, or is for none of the plans.
    """
    named = Fault(str(path), 0, _FIELD, "no plan to change", "", "")
    for k, plan in enumerate(plans):
        try:
            return k, read_bulletin(path, plan)
        except PlanRefused as refusal:
            elsewhere = [one for one in refusal.faults if one.field == _FIELD]
            if not elsewhere:
                raise
            named = elsewhere[0]
    ids = ", ".join(plan.id for plan in plans)
    allowed = f"one of the assemblies opened with it ({ids or 'none was read'})"
    do = "Open it together with the plan it was written for"
    raise PlanRefused([Fault(named.file, named.line, _FIELD, named.found, allowed, do)])


def revised(plan: Plan, bulletin: Bulletin, path: Path) -> Plan:
    """The plan after a bulletin.

    Raises:
        PlanRefused: the bulletin was written against another revision.
    """
    try:
        return apply_bulletin(plan, bulletin)
    except StaleRevision as stale:
        do = stale.do[:1].upper() + stale.do[1:]
        found, allowed = f"revision {bulletin.based_on}", f"revision {plan.revision}"
        fault = Fault(str(path), 0, "based_on", found, allowed, do)
        raise PlanRefused([fault]) from stale
