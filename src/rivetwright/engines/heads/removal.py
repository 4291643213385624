"""Taking a rivet out, step by step, so that the hole stays as it is.

Only the head is drilled, to its own depth; it is snapped off and the shank pushed out
over a support. The shank is relieved only where it sticks, with a smaller drill.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rivetwright.engines.heads.called import Called
from rivetwright.standards.head_checks import head_check_figure, head_rule
from rivetwright.standards.source import Source
from rivetwright.units.drills import nearest_drill


@dataclass(frozen=True)
class RemovalStep:
    """One step of the card: a catalogue key, its figures, whether it is a caution.

    `is_only_if` marks a step that is taken only where the one before did not do.
    """

    key: str
    figures: Mapping[str, float | str] = field(default_factory=dict)
    is_caution: bool = False
    is_only_if: bool = False


@dataclass(frozen=True)
class RemovalCard:
    """The steps in order, and where they come from."""

    steps: tuple[RemovalStep, ...]
    source: Source


def removal_card(
    called: Called, *, is_damaged: bool = False, removed_count: int = 0
) -> RemovalCard:
    """The card for taking out one rivet.

    Args:
        called: what was called for at the hole.
        is_damaged: whether its manufactured head is damaged, so that a drill wanders.
        removed_count: how many came out of this hole before.
    """
    hole_mm = called.hole_mm.low
    pilot_mm = called.shank_mm - head_check_figure("pilot under")
    steps = [RemovalStep("eyes and ears", is_caution=True)]
    if removed_count:
        count = {"removed_count": float(removed_count)}
        steps.append(RemovalStep("second in this hole", count, is_caution=True))
    steps.append(RemovalStep("support behind"))
    if is_damaged:
        steps.append(RemovalStep("file a flat"))
    steps += [
        RemovalStep("centre mark"),
        RemovalStep(
            "drill the head alone",
            {
                "drill_name": nearest_drill(hole_mm).name,
                "drill_mm": hole_mm,
                "depth_mm": called.head_height_mm,
            },
        ),
        RemovalStep("never into the sheet", is_caution=True),
        RemovalStep("head stop" if called.code.is_flush else "watch the head turn"),
        RemovalStep("snap the head off", {"punch_mm": called.shank_mm}),
        RemovalStep("punch the shank out", {"punch_mm": called.shank_mm}),
        RemovalStep(
            "relieve the shank",
            {"drill_name": nearest_drill(pilot_mm).name, "drill_mm": pilot_mm},
            is_only_if=True,
        ),
        RemovalStep("measure the hole", {"most_mm": called.hole_mm.high}),
        RemovalStep("look for cracks and burrs"),
        RemovalStep("write it down"),
    ]
    return RemovalCard(tuple(steps), head_rule("taking out").source)
