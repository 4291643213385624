"""Margins for tools and ways of riveting: looked up, never beyond their tables."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.reach import (
    opposite_head_ratio,
    reach_margin_mm,
    squeezer_way,
    ways_of_kind,
)
from rivetwright.standards.source import Status
from rivetwright.standards.table import read_table

INCH = Fraction(254, 10)


@pytest.mark.parametrize(
    ("name", "inches", "status"),
    [
        ("reach past the hole", "0.10", Status.INVENTED),
        ("room over a flange", "0.10", Status.INVENTED),
        ("room for a gun set", "0.25", Status.INVENTED),
        ("tight", "0.030", Status.JUDGEMENT),
    ],
)
def test_margins_are_those_of_the_demo_rules(
    name: str, inches: str, status: Status
) -> None:
    """Reach and gap 0.10 in more, 0.25 in for the set: the demo's; 0.030 is judged."""
    found = reach_margin_mm(name)
    assert found.value == Fraction(inches) * INCH
    assert found.status is status
    assert found.row.startswith("reach_margins.csv:")


def test_a_head_opposite_takes_45_thousandths_for_3_32() -> None:
    """0.48 of 0.09375 in is 0.045 in, which the demo takes."""
    assert opposite_head_ratio().value * Fraction(3, 32) == Fraction("0.045")


def test_every_margin_has_a_status_that_claims_no_document() -> None:
    """No row of the table says that it was read anywhere."""
    rows = read_table("reach_margins").rows
    assert {row.source.status for row in rows} == {Status.INVENTED, Status.JUDGEMENT}


def test_a_margin_the_table_lacks_is_refused() -> None:
    """The refusal names what there is; a ratio is no length."""
    with pytest.raises(OutsideTable, match="tight"):
        reach_margin_mm("loose")
    with pytest.raises(OutsideTable, match="look up a margin for tools"):
        reach_margin_mm("opposite shop head")


def test_gun_and_bar_takes_two_and_is_noisy() -> None:
    """One on the gun, one on the bar."""
    (way,) = ways_of_kind("bar")
    assert (way.value.takes_two, way.value.is_noisy) == (True, True)
    assert way.status is Status.COMMON_PRACTICE


def test_the_hand_squeezer_is_quiet_and_asks_for_both_hands() -> None:
    """The pneumatic one leaves a hand free, and its compressor is heard."""
    hand, pneumatic = squeezer_way("hand").value, squeezer_way("pneumatic").value
    assert (hand.is_noisy, hand.needs_both_hands, hand.takes_two) == (
        False,
        True,
        False,
    )
    assert (pneumatic.is_noisy, pneumatic.needs_both_hands) == (True, False)
    assert [one.value for one in ways_of_kind("yoke")] == [pneumatic, hand]


def test_a_kind_without_a_way_is_refused() -> None:
    """The refusal names the kinds there are."""
    with pytest.raises(OutsideTable, match="yoke, bar, back-rivet, puller"):
        ways_of_kind("hammer")
    with pytest.raises(OutsideTable, match="pneumatic, hand"):
        squeezer_way("hydraulic")
