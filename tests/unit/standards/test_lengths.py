"""Supplied lengths and their rounding."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.lengths import (
    DEFAULT_ROUNDING,
    round_length_16ths,
    rounding_rules,
    supplied_lengths_16ths,
)
from rivetwright.standards.source import Status

MM_16TH = Fraction(254, 160)
HALVES = Fraction(1, 2)


def test_lengths_run_from_2_to_16() -> None:
    """Whole sizes, and with the halves between them."""
    assert supplied_lengths_16ths("whole sizes") == tuple(range(2, 17))
    both = supplied_lengths_16ths()
    assert both == tuple(2 + n * HALVES for n in range(29))


def test_default_rule_stands_first() -> None:
    """Two rules can be chosen."""
    assert rounding_rules() == (DEFAULT_ROUNDING, "next greater")


def test_tie_goes_upward_and_weakens_the_status() -> None:
    """3.75/16 lies between -3.5 and -4: -4 is our choice, so JUDGEMENT."""
    looked = round_length_16ths(Fraction(15, 4) * MM_16TH)
    assert (looked.value, looked.status) == (Fraction(4), Status.JUDGEMENT)
    plain = round_length_16ths(Fraction(37, 10) * MM_16TH)
    assert (plain.value, plain.status) == (Fraction(7, 2), Status.READ)


def test_tie_is_seen_through_a_double() -> None:
    """A tie off by less than the tolerance is a tie."""
    looked = round_length_16ths(float(Fraction(15, 4) * MM_16TH) - 4e-7)
    assert looked.value == 4


def test_only_supplied_lengths_are_chosen() -> None:
    """With -4 and -5 alone, 4.4 becomes -4 and 4.5 becomes -5."""
    only = [Fraction(5), Fraction(4)]
    for wanted, code in ((Fraction(44, 10), 4), (Fraction(9, 2), 5)):
        looked = round_length_16ths(wanted * MM_16TH, supplied_16ths=only)
        assert looked.value == code


def test_next_greater_takes_an_exact_fit_as_it_is() -> None:
    """4/16 wanted is -4; a hair more is -4.5."""
    exact = round_length_16ths(4 * MM_16TH, rule="next greater")
    more = round_length_16ths(4 * MM_16TH + Fraction(1, 1000), rule="next greater")
    assert (exact.value, more.value) == (Fraction(4), Fraction(9, 2))


@pytest.mark.parametrize(
    ("wanted", "rule"),
    [
        (Fraction(17, 10), DEFAULT_ROUNDING),
        (Fraction(163, 10), DEFAULT_ROUNDING),
        (Fraction(161, 10), "next greater"),
        (Fraction(30), "next greater"),
        (Fraction(1), "next greater"),
    ],
)
def test_length_beyond_the_supplied_ones_is_refused(
    wanted: Fraction, rule: str
) -> None:
    """Nothing is clipped to the shortest or the longest length."""
    with pytest.raises(OutsideTable, match=r"-2, -2\.5"):
        round_length_16ths(wanted * MM_16TH, rule=rule)


def test_end_lengths_stand_for_half_a_step_beyond() -> None:
    """1.8/16 is still nearest to -2, 16.2/16 to -16."""
    assert round_length_16ths(Fraction(18, 10) * MM_16TH).value == 2
    assert round_length_16ths(Fraction(162, 10) * MM_16TH).value == 16


def test_one_supplied_length_stands_for_itself_alone() -> None:
    """With one length in the tin there is no step to round by."""
    only = [Fraction(4)]
    assert round_length_16ths(4 * MM_16TH, supplied_16ths=only).value == 4
    with pytest.raises(OutsideTable):
        round_length_16ths(Fraction(41, 10) * MM_16TH, supplied_16ths=only)


def test_nothing_supplied_is_refused() -> None:
    """An empty list says so."""
    with pytest.raises(OutsideTable, match="nothing is supplied"):
        round_length_16ths(MM_16TH, supplied_16ths=[])


def test_unknown_rule_is_refused() -> None:
    """The refusal names the two rules."""
    with pytest.raises(OutsideTable, match="next greater"):
        round_length_16ths(MM_16TH, rule="by eye")
