"""What may stand in for a code that is short, on one small row."""

from __future__ import annotations

from datetime import date

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.stock.need import Drawer, OrderRules, code_needs
from rivetwright.engines.stock.stand_ins import StandIn, Way, stand_ins
from rivetwright.engines.stock.wants import wanted_of
from rivetwright.intake.plan_file import read_plan_text

RULES = OrderRules()
PLAN = """
format: rivetwright plan 1
project: {{id: 3d1f7a52-6c0e-4b8e-9a41-7be0c2d5f018, name: Made up}}
assembly: {{id: panel, name: Panel}}
unit: in
parts:
  1: {{title: sheet, thickness: .032}}
  2: {{title: angle, thickness: .040}}
rows:
  R1: {{count: 8, stack: [1, 2], callout: {callout}, step: s}}
steps:
  s: {{title: set}}
"""


def found(callout: str, **on_hand: int) -> tuple[StandIn, ...]:
    """What may stand in for a row's callout, of which none is there."""
    worked = work_out(read_plan_text(PLAN.format(callout=callout)))
    return _found(worked, {name.replace("_", "-"): n for name, n in on_hand.items()})


def _found(worked: WorkedPlan, on_hand: dict[str, int]) -> tuple[StandIn, ...]:
    wants = wanted_of(worked, 0, None, date(2026, 11, 25))
    drawers = {code: Drawer(code, count) for code, count in on_hand.items()}
    needs = code_needs(wants, drawers, RULES)
    (need,) = [one for one in needs if one.wants]
    return stand_ins(need, needs, [worked])


def test_a_longer_one_is_cut() -> None:
    """Same head, metal and diameter: cut down, as the navy's manual has it."""
    (one,) = found("MS20470AD4-4", MS20470AD4_6=12)
    assert (one.code, one.spared, one.way) == ("MS20470AD4-6", 12, Way.CUT)
    assert one.source.document == "NAVEDTRA 14018"


def test_another_head_or_blind_or_weaker_never() -> None:
    """Flush for universal, 1100 for 2117 of the same size, a kit's blind code."""
    on_hand = {"MS20426AD4_6": 99, "MS20470A4_4": 99, "BD4_2": 99, "MS20470AD3_4": 99}
    assert found("MS20470AD4-4", **on_hand) == ()


def test_a_softer_one_a_size_larger_is_asked_for() -> None:
    """AD 5/32 for D 1/8: AC 43.13-1B 4-57b; its length by the rule on its own D.

    0.072 + 1.5 x 0.15625 = 0.3064 in = 4.90 sixteenths: -5.
    """
    (one,) = found("MS20470D4-4", MS20470AD5_5=30, MS20470AD5_7=30)
    assert (one.code, one.way) == ("MS20470AD5-5", Way.ASK_SOFTER)


def test_what_is_needed_itself_is_not_offered() -> None:
    """Three of the longer ones there, five to be kept spare of nothing: all three."""
    (one,) = found("MS20470AD4-4", MS20470AD4_5=3)
    assert one.spared == 3
