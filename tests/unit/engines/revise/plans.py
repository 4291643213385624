"""A small plan and edits of it, compared."""

from __future__ import annotations

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.revise.compare import Comparison, compare
from rivetwright.intake.plan_file import read_plan_text

PLAN = """
format: rivetwright plan 1
project: {id: 3d1f7a52-6c0e-4b8e-9a41-7be0c2d5f018, name: Made up}
assembly: {id: panel, name: Panel}
unit: in
parts:
  1: {title: skin, thickness: .032}
  2: {title: rib, thickness: .040}
  3: {title: lid, thickness: .032}
faces:
  F:
    title: skin
    layers:
      - {part: 1, u: [0, 20], v: [0, 4]}
      - {part: 2, u: [0, 20], v: [0, 2]}
rows:
  R1: {face: F, at: [1, 1], by: [1, 0], count: 6,
       stack: [1, 2], callout: MS20470AD4-4, step: s1}
  R2: {face: F, at: [10, 1], by: [1, 0], count: 4,
       stack: [1 dimple, 2 dimple], callout: MS20426AD4-4, step: s1}
  L1: {count: 3, stack: [3, 2], callout: MS20470AD4-4, step: s2}
steps:
  s1: {title: rib to skin}
  s2: {title: lid on, needs: s1, closes: [F]}
opening:
  day: 2026-11-25
"""
DONE = """  set: [R1:1-4, L1]
  drilled: [R1, R2, L1]
  steps: {s1: under way, s2: done}
  done:
    - {operation: dimpled, holes: R2}
"""


def worked(text: str) -> WorkedPlan:
    """A plan worked out."""
    return work_out(read_plan_text(text))


def edited(*edits: tuple[str, str], done: str = "") -> Comparison:
    """The plan against itself with some words changed; `done` goes with the first."""
    text = PLAN
    for before, after in edits:
        assert before in text
        text = text.replace(before, after)
    return compare(worked(PLAN + done), worked(text))
