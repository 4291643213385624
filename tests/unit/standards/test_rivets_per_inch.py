"""Rivets per inch: look-up, closed form and count."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.rivets_per_inch import (
    rivets_per_inch,
    rivets_per_inch_reckoned,
    splice_count,
    splice_share,
    splice_tables,
)

INCH = Fraction(254, 10)


def test_two_tables_to_choose_from() -> None:
    """Neither is a default: the circular does not say which to use."""
    assert splice_tables() == ("Table 4-9", "Table 4-10")


@pytest.mark.parametrize(
    ("thickness", "governs", "per_inch"),
    [
        # 1/(1.6 x .1285) = 4.864; .064/(.5 x .012969) = 9.870
        ("0.016", "bearing", 4.864),
        ("0.064", "shear", 9.870),
    ],
)
def test_closed_form_takes_the_greater_number(
    thickness: str, governs: str, per_inch: float
) -> None:
    """Thin sheet bears too little, thick sheet pulls more than the rivets shear."""
    found = rivets_per_inch_reckoned(
        Fraction(thickness) * INCH, INCH / 8, table="Table 4-10"
    ).value
    assert found.governs == governs
    assert found.per_inch == pytest.approx(per_inch, abs=0.001)


@pytest.mark.parametrize(
    ("width", "per_inch", "share", "count"),
    [
        (1, Fraction(4), 1, 4),
        (1, Fraction(41, 10), 1, 5),
        (10, Fraction("4.9"), Fraction(3, 4), 37),
        (10, 4.9, 1, 49),
    ],
)
def test_count_rounds_up_twice_and_no_further(
    width: int, per_inch: float, share: Fraction | int, count: int
) -> None:
    """A whole number stays whole, even as a double."""
    assert splice_count(width * INCH, per_inch, share=share) == count


def test_bolts_are_asked_for_by_name() -> None:
    """AN-3 bolts in 0.064: 3.3 per inch; none in 0.016."""
    sheet = Fraction(64, 1000) * INCH
    looked = rivets_per_inch(sheet, "AN-3 bolt", table="Table 4-10")
    assert looked.value == Fraction("3.3")
    with pytest.raises(OutsideTable, match="3/32, 1/8"):
        rivets_per_inch(Fraction(16, 1000) * INCH, "AN-3 bolt", table="Table 4-10")


def test_unknown_names_are_refused() -> None:
    """A table or a case that the circular does not have."""
    with pytest.raises(OutsideTable, match="Table 4-9, Table 4-10"):
        rivets_per_inch_reckoned(1, 3, table="Table 4-99")
    with pytest.raises(OutsideTable, match="intermediate frames"):
        splice_share("spars")
