"""Densities of rivet alloys, against the second figure that each source prints.

Table 4.3 of an aluminium design manual prints pounds per cubic inch beside kilograms
per cubic metre (1100: 0.098 and 2,710; 2024: 0.100 and 2,780); a public table of
wrought alloys grams per cubic centimetre beside pounds (2017: 2.79 and .1008; 5056:
2.64 and .0954). READ in stored copies of both pages. One pound per cubic inch is
0.45359237 kg / (25.4 mm)^3 = 27.6799 g/cm3.
"""

from __future__ import annotations

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.density import density_g_mm3
from rivetwright.standards.source import Status


@pytest.mark.parametrize(
    ("letters", "printed_g_cm3", "rounding"),
    [("A", 2.710, 0.02), ("DD", 2.780, 0.02), ("D", 2.79, 0.006), ("B", 2.64, 0.006)],
)
def test_both_printed_figures_agree(
    letters: str, printed_g_cm3: float, rounding: float
) -> None:
    """Within the rounding of the coarser one: half of 0.001 lb/in3 is 0.014 g/cm3."""
    found = density_g_mm3(letters)
    assert float(found.value) * 1000 == pytest.approx(printed_g_cm3, abs=rounding)
    assert found.source.status is Status.READ


def test_what_was_not_read_says_so() -> None:
    """2117, which nearly all rivets are of, is from memory."""
    assert density_g_mm3("AD").source.status is Status.FROM_MEMORY


def test_letters_of_no_alloy_are_refused() -> None:
    """Nothing is guessed for a material that is not in the table."""
    with pytest.raises(OutsideTable, match="letters XX"):
        density_g_mm3("XX")
