"""A number as it is written, apart from its unit."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from rivetwright.errors import QuantityRefused
from rivetwright.units.written import exact_number, tidy_text, written_number


def test_text_is_brought_to_one_form() -> None:
    """Dashes, primes and wide spaces become plain ones."""
    assert tidy_text(" 1 \u2013\u00a01/16\u2033 ", asked="-", allowed="-") == (
        '1 - 1/16"'
    )


def test_overlong_text_is_cut_in_the_refusal() -> None:
    """A thousand characters are refused and not repeated."""
    with pytest.raises(QuantityRefused, match="1000 characters") as refusal:
        tidy_text("9" * 1000, asked="read", allowed="less")
    assert len(str(refusal.value)) < 300


def test_array_scalar_is_taken_as_its_decimal() -> None:
    """A number out of a column is the same shortest decimal."""
    assert exact_number(np.float64(0.032), asked="read") == Fraction(32, 1000)


def test_refusal_repeats_the_whole_quantity() -> None:
    """The number is read alone, but the refusal shows it with its unit."""
    with pytest.raises(QuantityRefused, match=r"found 1/0 mm"):
        written_number("1/0", whole="1/0 mm", asked="read", allowed="a size")
