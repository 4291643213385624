"""Holder plans as their page lists them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rivetwright.bench.open import Assembly
from rivetwright.engines.order.holders import HolderPlan
from rivetwright.texts.holder_words import HolderLines, say_holder_plan
from rivetwright.web.addresses import holders_address


@dataclass(frozen=True)
class PlanLine:
    """One holder plan to choose, in words; `step` is empty for match-drilling."""

    words: HolderLines
    step: str
    address: str


def plan_lines(assembly: Assembly, plans: Mapping[str, HolderPlan]) -> list[PlanLine]:
    """Every holder plan of an assembly."""
    return [
        PlanLine(
            say_holder_plan(assembly.worked_plan, plan),
            step,
            holders_address(assembly.key, step),
        )
        for step, plan in plans.items()
    ]
