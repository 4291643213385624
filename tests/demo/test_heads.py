"""The ten heads that the demo's builder measured: verdict, cause and decision.

Measured sizes, remarks and what became of each head are those of the demo's log. The
metal is worked by hand, in inches and D^3: found = width^2 x height / D^3; called for =
(length - grip - stand-off) / D - ((hole / D)^2 - 1) x grip / D, the hole taken in the
middle of its range, .130 for 1/8 (.1285 to .1315) and .0995 for 3/32 in plain sheets
(.098 to .101), .101 in dimpled ones (.098 to .104), the stand-off of a dimple .0293.
Limits: MIL-R-47196A, 1/8 at least .163 wide and .050 to .070 high, 3/32 at least .122
wide and .038 to .050 high; SECOND-HAND.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from rivetwright.engines.heads.again import Again, squeeze_again
from rivetwright.engines.heads.called import Called, called_at
from rivetwright.engines.heads.cause import suspects
from rivetwright.engines.heads.decide import Action, decide
from rivetwright.engines.heads.entry import Head, Look
from rivetwright.engines.heads.suspect import Cause, Suspect
from rivetwright.engines.heads.verdict import HeadVerdict, Overall, judge
from rivetwright.engines.heads.volume import Amount, Metal, metal_of
from rivetwright.engines.plan import WorkedPlan
from rivetwright.standards.source import Status

IN = 25.4


@dataclass(frozen=True)
class Checked:
    """One head of the log, judged."""

    called: Called
    verdict: HeadVerdict
    metal: Metal
    causes: tuple[Suspect, ...]

    @property
    def first(self) -> Cause | None:
        """The likeliest cause; None where nothing is to be explained."""
        return self.causes[0].cause if self.causes else None

    @property
    def action(self) -> Action:
        """What to do."""
        return decide(self.verdict, self.causes).action


Check = Callable[..., Checked]


@pytest.fixture
def check(demo: dict[str, WorkedPlan]) -> Check:
    """Judge a head of the demo by hole name and sizes [in]."""

    def checked(name: str, width_in: float, height_in: float, **seen: Any) -> Checked:
        plan = demo["root-rib" if name.startswith("B") else "aileron"].worked
        hole = next(k for k in range(len(plan.holes)) if plan.holes.name(k) == name)
        called = called_at(plan, hole)
        assert called is not None
        head = Head(width_in * IN, height_in * IN, **seen)
        verdict = judge(head, called)
        metal = metal_of(head, called)
        assert metal is not None
        return Checked(called, verdict, metal, suspects(verdict))

    return checked


@pytest.mark.parametrize(
    ("name", "called"), [("A3:1", 1.4376), ("A5:1", 1.4088)], ids=["A3:1", "A5:1"]
)
def test_first_heads_pass_and_stay(check: Check, name: str, called: float) -> None:
    """A3:1 and A5:1, .210 x .064: inside .163, .050 and .070; the metal is right.

    Found .210^2 x .064 / .125^3 = 1.4450. A3: (.250 - .065)/.125 - ((.130/.125)^2 - 1)
    x .065/.125 = 1.480 - .0816 x .52 = 1.4376. A5: (.34375 - .155)/.125 - .0816 x 1.24
    = 1.510 - .1012 = 1.4088.
    """
    head = check(name, 0.210, 0.064)
    assert head.metal.found == pytest.approx(1.4450, abs=0.0001)
    assert head.metal.called.central == pytest.approx(called, abs=0.0001)
    assert head.metal.amount is Amount.RIGHT
    assert head.verdict.overall is Overall.PASSES
    assert head.verdict.passes[0] == "MIL-R-47196A"
    assert "nominal 1.5 D x 0.5 D" in head.verdict.passes
    assert head.causes == ()
    assert head.action is Action.LEAVE


def test_a5_2_leans_bent_over_and_comes_out(check: Check) -> None:
    """A5:2, .205 x .058, leans, tail bent: inside the limits, out for its shape.

    .205 is over .163, .058 between .050 and .070. Bent, its metal tells little:
    .205^2 x .058 / .125^3 = 1.2480 against 1.4088. The tail, .1888 = 1.51 D, is not
    over 1.7 D long, so the tool's stance comes first, then a wide hole. It came out.
    """
    head = check("A5:2", 0.205, 0.058, looks=frozenset({Look.LEANS, Look.BENT}))
    assert head.verdict.chosen.broken == ()
    assert head.verdict.overall is Overall.FAILS
    assert head.metal.found == pytest.approx(1.2480, abs=0.0001)
    assert head.first is Cause.TOOL_TILTED
    assert head.causes[1].cause is Cause.OVERSIZE_HOLE
    length = next(c for c in head.causes if c.cause is Cause.WRONG_LENGTH)
    assert [one.key for one in length.speaks_against] == ["shape hides the metal"]
    assert head.action is Action.REPLACE


def test_a6_2_is_high_and_is_squeezed_again(check: Check) -> None:
    """A6:2, .196 x .073: .003 over .070, the right metal: squeeze again to .060.

    Found .196^2 x .073 / .125^3 = 1.4358 against 1.4088. At .060 (0.48 D) the head is
    .125 x sqrt(1.4358 x .125/.060) = .2162 wide; a rigid tool wants .073 - .060 = .013
    more shim. The slot of a gauge did not go over: it passes MIL-HDBK-5H, which has no
    greatest height.
    """
    head = check("A6:2", 0.196, 0.073)
    (broken,) = head.verdict.chosen.broken
    assert broken.breach == "too high"
    assert broken.by_mm == pytest.approx(0.003 * IN)
    assert head.metal.found == pytest.approx(1.4358, abs=0.0001)
    assert head.metal.amount is Amount.RIGHT
    assert "MIL-HDBK-5H" in head.verdict.passes
    assert head.first is Cause.NOT_FAR_ENOUGH
    decision = decide(head.verdict, head.causes)
    assert decision.action is Action.SQUEEZE_AGAIN
    assert decision.again is not None
    assert decision.again.target_mm == pytest.approx(0.060 * IN)
    assert decision.again.width_mm == pytest.approx(0.2162 * IN, abs=0.0001 * IN)
    assert decision.again.shim_more_mm.central == pytest.approx(0.013 * IN)


def test_a9_2_has_a_hairline_and_is_asked_about(check: Check) -> None:
    """A9:2, .213 x .068, hairline in the rim: inside the limits; any crack is asked.

    Found .213^2 x .068 / .125^3 = 1.5796; called for (.250 - .050)/.125 - .0816 x .4 =
    1.5674. The rim is .213/.125 = 1.70 D wide: a long rivet. What is said of
    cracks is FROM MEMORY, and so is the verdict.
    """
    head = check("A9:2", 0.213, 0.068, looks=frozenset({Look.CRACKED}))
    assert head.metal.found == pytest.approx(1.5796, abs=0.0001)
    assert head.metal.called.central == pytest.approx(1.5674, abs=0.0001)
    assert head.verdict.chosen.broken == ()
    assert head.verdict.overall is Overall.ASK
    assert head.verdict.status is Status.FROM_MEMORY
    assert head.first is Cause.RIVET_LONG
    assert head.action is Action.ASK_SUPPLIER


def test_a14_3_is_a_rivet_of_the_drawer_beside(check: Check) -> None:
    """A14:3, .115 x .052: .007 too narrow, .002 too high; the metal of a -2.5.

    Found .115^2 x .052 / .09375^3 = .8346. A -3: (.1875 - .040 - .0293)/.09375 -
    ((.101/.09375)^2 - 1) x .040/.09375 = 1.2609 - .0685 = 1.1924. A -2.5 is .03125
    shorter: 1.1924 - .3333 = .8591. The difference .3578 is .0335 of length, so it
    was like a rivet .1540 long, -2.46. It came out; the head could be squeezed legal,
    but it is another rivet than drawn.
    """
    head = check("A14:3", 0.115, 0.052)
    assert {one.breach for one in head.verdict.chosen.broken} == {
        "too narrow",
        "too high",
    }
    assert head.metal.found == pytest.approx(0.8346, abs=0.0001)
    assert head.metal.called.central == pytest.approx(1.1924, abs=0.0004)
    assert head.metal.amount is Amount.LESS
    assert head.metal.nearest.length_16ths == 2.5
    assert head.metal.nearest.volume == pytest.approx(0.8591, abs=0.0004)
    assert head.metal.like_length_mm == pytest.approx(0.1540 * IN, abs=0.0001 * IN)
    assert head.first is Cause.WRONG_LENGTH
    decision = decide(head.verdict, head.causes)
    assert decision.action is Action.REPLACE
    assert Action.SQUEEZE_AGAIN in decision.alternatives


def test_a15_5_is_proud_by_less_than_shaving_allows(check: Check) -> None:
    """A15:5, .148 x .044, head .002 proud: .006 is allowed before shaving; it stays.

    Found .148^2 x .044 / .09375^3 = 1.1697 against 1.1924: the right rivet. A shallow
    dimple comes first.
    """
    head = check("A15:5", 0.148, 0.044, proud_mm=0.002 * IN)
    assert head.metal.found == pytest.approx(1.1697, abs=0.0001)
    assert head.metal.amount is Amount.RIGHT
    (remark,) = head.verdict.remarks
    assert remark.allowed_mm == pytest.approx(0.006 * IN)
    assert head.verdict.overall is Overall.PASSES
    assert head.first is Cause.DIMPLE_SHALLOW
    assert head.action is Action.LEAVE


def test_b1_5_was_set_too_far(check: Check) -> None:
    """B1:5, .251 x .045: .005 under .050 with the right metal: set too far, out.

    Found .251^2 x .045 / .125^3 = 1.4516; called for (.28125 - .095)/.125 - .0816 x .76
    = 1.4900 - .0620 = 1.4280. No squeezing brings metal back.
    """
    head = check("B1:5", 0.251, 0.045)
    (broken,) = head.verdict.chosen.broken
    assert (broken.breach, round(broken.by_mm / IN, 4)) == ("too low", 0.005)
    assert head.metal.found == pytest.approx(1.4516, abs=0.0001)
    assert head.metal.called.central == pytest.approx(1.4280, abs=0.0001)
    assert head.metal.amount is Amount.RIGHT
    assert head.first is Cause.SET_TOO_FAR
    assert head.action is Action.REPLACE


def test_b6_2_is_off_centre_and_allowed(check: Check) -> None:
    """B6:2, .213 x .062, .010 off centre: the head still covers its hole all round.

    A head .213 wide over a hole of at most .1315 may be (.213 - .1315)/2 = .0408 off.
    Found 1.4402 against 1.4280. The rule is FROM MEMORY.
    """
    head = check("B6:2", 0.213, 0.062, offset_mm=0.010 * IN)
    (remark,) = head.verdict.remarks
    assert remark.allowed_mm == pytest.approx(0.04075 * IN)
    assert head.metal.amount is Amount.RIGHT
    assert head.verdict.overall is Overall.PASSES
    assert head.verdict.status is Status.FROM_MEMORY
    assert head.first is Cause.TOOL_TILTED
    assert head.action is Action.LEAVE


def test_b13_4_has_a_shallow_mark_on_a_round_head(check: Check) -> None:
    """B13:4, .158 x .047, shallow gun mark: a quarter of the .040 head, .010, may be.

    Found .158^2 x .047 / .09375^3 = 1.4240; called for (.1875 - .050)/.09375 -
    ((.0995/.09375)^2 - 1) x .5333 = 1.4667 - .0674 = 1.3993.
    """
    head = check("B13:4", 0.158, 0.047, looks=frozenset({Look.SHALLOW_MARK}))
    (remark,) = head.verdict.remarks
    assert remark.allowed_mm == pytest.approx(0.010 * IN)
    assert head.metal.found == pytest.approx(1.4240, abs=0.0001)
    assert head.metal.called.central == pytest.approx(1.3993, abs=0.0001)
    assert head.verdict.overall is Overall.PASSES
    assert head.first is Cause.SET_SLIPPED
    assert head.action is Action.LEAVE


def test_the_wrong_rivet_could_be_squeezed_into_the_limits(check: Check) -> None:
    """A14:3 squeezed to .044: .09375 x sqrt(.8346 x .09375/.044) = .1250, over .122."""
    head = check("A14:3", 0.115, 0.052)
    again = squeeze_again(head.verdict.head, head.called, head.metal)
    assert isinstance(again, Again)
    assert again.target_mm == pytest.approx(0.044 * IN)
    assert again.width_mm == pytest.approx(0.1250 * IN, abs=0.0001 * IN)
