"""Rivet alloys."""

from __future__ import annotations

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.materials import alloy, material_codes, temperature_c


def test_letters_are_read_in_either_case() -> None:
    """ad is AD, 2117."""
    assert alloy("ad").value.alloy == "2117-T4"
    assert material_codes()[:4] == ("A", "AD", "D", "DD")


def test_cold_rivets_are_not_driven_as_received() -> None:
    """2024 has its time, 2117 has none."""
    assert not alloy("DD").value.is_driven_as_received
    assert alloy("AD").value.store_hours is None


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32, 0.0), (212, 100.0)])
def test_temperature_converts(fahrenheit: int, celsius: float) -> None:
    """Ice at 32 F, steam at 212 F."""
    assert temperature_c(fahrenheit) == celsius


def test_unknown_letters_are_refused() -> None:
    """The refusal lists the letters."""
    with pytest.raises(OutsideTable, match="A, AD, D, DD, B, M, E, F"):
        alloy("Q")
