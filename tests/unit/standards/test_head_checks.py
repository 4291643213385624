"""Figures, rules and defects for checking heads."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.head_checks import (
    defect,
    head_check,
    head_check_figure,
    head_rule,
)
from rivetwright.standards.source import Status


def test_inches_come_in_mm_and_shares_as_they_are() -> None:
    """.002 in is .0508 mm; 40 % stays a share."""
    assert head_check("feeler").value == Fraction("0.0508")
    assert head_check("share of the rim").value == Fraction(2, 5)
    assert head_check_figure("pilot under") == pytest.approx(25.4 / 32)


def test_rules_and_defects_carry_their_status() -> None:
    """One read, one from memory."""
    assert head_rule("next size").status is Status.READ
    assert defect("cracks in the tail").status is Status.FROM_MEMORY


@pytest.mark.parametrize("look", [head_check, head_rule, defect])
def test_an_unknown_name_is_refused(look: Callable[[str], object]) -> None:
    """What the tables do not have is refused with what they have."""
    with pytest.raises(OutsideTable, match="no such thing"):
        look("no such thing")
