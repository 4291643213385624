"""The study behind the force law says what its script prints."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from design.force_law import CHOSEN, Law, Squeezed, fitted, of_series, report, squeezed
from rivetwright.engines.forming import squeeze_force_n

PAGE = Path(__file__).parents[3] / "design" / "force_law.md"


def test_page_holds_what_the_script_prints() -> None:
    """Table and last line stand in the page as printed."""
    assert report() in PAGE.read_text(encoding="utf-8")


@pytest.mark.parametrize("series", ["a2", "A1"])
def test_chosen_law_is_the_package_s(series: str) -> None:
    """The study's law gives the engine's own force for every head."""
    heads = squeezed(of_series(series))
    volume = heads.width_mm**2 * heads.height_mm / heads.shank_mm**3
    own = squeeze_force_n(heads.shank_mm, heads.height_mm, volume)
    assert CHOSEN.force_n(heads) == pytest.approx(own)


def test_a_law_is_found_again_from_its_own_forces() -> None:
    """Forces made by K 500 MPa, n 0.1 and friction 0.2 are fitted by just these."""
    made = Law("made", 500e3, 0.1, 0.2)
    heads = squeezed(of_series("a2"))
    force_n = made.force_n(heads)
    told = Squeezed(heads.shank_mm, heads.width_mm, heads.height_mm, force_n)
    law = fitted(told, 0.2)
    assert [law.strength_kpa, law.hardening] == pytest.approx([500e3, 0.1])


def test_no_law_of_its_kind_has_smaller_shares() -> None:
    """K and n a hair beside the fitted ones give a larger sum of squares."""
    heads = squeezed(of_series("a2"))
    law = fitted(heads)
    least = np.sum(law.off(heads) ** 2)
    for strength, hardening in ((1.001, 0), (0.999, 0), (1, 0.001), (1, -0.001)):
        other = Law(
            "beside",
            strength * law.strength_kpa,
            law.hardening + hardening,
            law.friction,
        )
        assert np.sum(other.off(heads) ** 2) > least
