"""Figures for setting a squeezer up: units, statuses, refusals."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.source import Status
from rivetwright.standards.squeeze import squeeze_constant, squeeze_figure
from rivetwright.units.force import N_PER_LBF


def test_inches_come_in_millimetres_exactly() -> None:
    """0.0025 in x 25.4 = 0.0635 mm."""
    assert squeeze_constant("head scatter").value == Fraction("0.0635")


def test_stiffness_comes_in_newtons_per_millimetre() -> None:
    """400000 lbf/in over 25.4 mm, each pound-force 4.448 N."""
    found = squeeze_constant("stiffness at 1.5 in")
    assert found.value == 400_000 * N_PER_LBF / Fraction("25.4")
    assert found.status is Status.FROM_MEMORY


def test_other_units_stay_as_printed() -> None:
    """A second, a share of D, degrees."""
    assert squeeze_figure("hold") == 1
    assert squeeze_figure("band most") == 0.56
    assert squeeze_figure("hand opens") == 45


def test_unknown_figure_is_refused_with_the_known_ones() -> None:
    """The refusal lists what there is."""
    with pytest.raises(OutsideTable) as refused:
        squeeze_constant("luck")
    assert "head scatter" in refused.value.allowed
