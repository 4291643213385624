"""What holes still take: holds, doubts, what must come out, and when."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.stock.wants import Sureness, Wanted, wanted_of
from rivetwright.intake.plan_file import read_plan_text

TODAY = date(2026, 11, 25)
PLAN = """
format: rivetwright plan 1
project: {id: 3d1f7a52-6c0e-4b8e-9a41-7be0c2d5f018, name: Made up}
assembly: {id: panel, name: Panel}
unit: in
parts:
  1: {title: sheet, thickness: .032}
  2: {title: angle, thickness: .040}
  3: {title: late plate, thickness: .040}
rows:
  R1: {count: 6, stack: [1, 2], callout: MS20470AD4-4, step: s1}
  R2: {count: 4, stack: [1, 2], callout: MS20470AD4-2, step: s2}
  R3: {count: 2, stack: [1, 2, 3], callout: MS20470AD4-5, step: s3}
steps:
  s1: {title: first}
  s2: {title: second, needs: s1}
  s3: {title: third, needs: [s2, part 3]}
opening:
  day: 2026-11-25
  set: R1:1-2
  holds:
    H1: {holes: R1:3, kind: part, name: 3, until: 2026-12-09, reason: a plate comes,
         stack: 1 + 2 + 3, callout: MS20470AD4-5}
    H2: {holes: R1:4, kind: question, name: Q, reason: asked, callout: open question}
  deliveries:
    3: {state: on order, due: 2026-12-09}
"""


def wants(**sits: str) -> tuple[WorkedPlan, tuple[Wanted, ...]]:
    """The plan and what its holes take; what sits in a hole, by `R1_1`."""
    worked = work_out(read_plan_text(PLAN))
    index = worked.worked.holes.index
    said = {index(name.replace("_", ":")): code for name, code in sits.items()}
    return worked, wanted_of(worked, 0, said or None, TODAY)


def by_name(**sits: str) -> dict[tuple[str, ...], tuple[str, Sureness]]:
    """Holes by name, with what they take."""
    worked, found = wants(**sits)
    name = worked.worked.holes.name
    return {
        (*map(name, one.holes), one.code): (one.because, one.sureness) for one in found
    }


def test_each_hole_takes_what_is_meant() -> None:
    """Two are set; one waits for a plate, one for an answer; R2 is too short.

    R2: grip 0.072, wanted 0.072 + 0.1875 = 0.2595 in = 4.15 sixteenths, -4; -2 leaves
    0.053 in of shank, which no head can be made of.
    """
    sure = Sureness.SURE
    assert by_name() == {
        ("R1:5", "R1:6", "MS20470AD4-4"): ("", sure),
        ("R1:3", "MS20470AD4-5"): ("H1", sure),
        ("R1:4", ""): ("H2", sure),
        ("R2:1", "R2:2", "R2:3", "R2:4", "MS20470AD4-2"): (
            "LENGTH-01",
            Sureness.AS_DRAWN,
        ),
        ("R2:1", "R2:2", "R2:3", "R2:4", "MS20470AD4-4"): (
            "LENGTH-01",
            Sureness.IF_SO,
        ),
        ("R3:1", "R3:2", "MS20470AD4-5"): ("", sure),
    }


def test_a_wrong_rivet_is_wanted_again() -> None:
    """By the record R1:2 holds another code: it comes out, and takes the right one."""
    found = by_name(R1_1="MS20470AD4-4", R1_2="MS20470AD4-5")
    assert ("R1:2", "R1:5", "R1:6", "MS20470AD4-4") in found


def test_an_answered_finding_counts_as_drawn() -> None:
    """Somebody answered for R2's length: its callout is sure."""
    worked, _ = wants()
    holes = range(6, 10)
    answered = frozenset(("LENGTH-01", hole) for hole in holes)
    found = wanted_of(replace(worked, answered=answered), 0, None, TODAY)
    (one,) = [w for w in found if w.step == "s2"]
    assert (one.code, one.sureness) == ("MS20470AD4-2", Sureness.SURE)


def test_when_holes_can_be_set() -> None:
    """s1 now, s2 after one step, s3 after two and not before part 3; H1 with it too."""
    _, found = wants()
    when = {(one.step, one.because): one.when for one in found}
    day = date(2026, 12, 9)
    assert (when["s1", ""].day, when["s1", ""].depth) == (TODAY, 0)
    assert (when["s1", "H1"].day, when["s1", "H1"].waits_for) == (day, "3")
    assert (when["s2", "LENGTH-01"].day, when["s2", "LENGTH-01"].depth) == (TODAY, 1)
    assert (when["s3", ""].day, when["s3", ""].depth) == (day, 2)
