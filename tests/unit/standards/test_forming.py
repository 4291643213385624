"""Figures for squeezing: constants, alloys, measured points, and their refusals."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.forming import alloy_force, force_points, forming_constant
from rivetwright.standards.materials import material_codes
from rivetwright.standards.source import Status
from rivetwright.standards.table import read_table


def test_a_length_comes_in_millimetres_exactly() -> None:
    """1/16 in of travel is 1.5875 mm; a pure number stays as printed."""
    assert forming_constant("rated travel").value == Fraction("1.5875")
    assert forming_constant("friction").value == Fraction("0.15")


def test_a_constant_that_is_not_there_is_refused() -> None:
    """The refusal names those that are."""
    with pytest.raises(OutsideTable, match=r"found creep.*strength, hardening"):
        forming_constant("creep")


def test_every_figure_has_a_document_and_a_status() -> None:
    """No row of the three tables stands without its source."""
    for name in ("forming_constants", "alloy_force", "force_points"):
        for row in read_table(name).rows:
            assert row.source.document, row.label
            assert row.source.status in Status


def test_factors_rise_from_low_to_high() -> None:
    """Low, central and high of every alloy in that order, none of them one number."""
    for row in read_table("alloy_force").rows:
        factors = alloy_force(row.cells["code"].lower()).value
        assert factors.low < factors.central < factors.high


@pytest.mark.parametrize("letters", ["M", "F", "X"])
def test_an_alloy_without_a_factor_is_refused(letters: str) -> None:
    """Monel and steel rivets were never measured or judged: nothing is made up."""
    with pytest.raises(OutsideTable, match=rf"found letters {letters}.*AD, A, B"):
        alloy_force(letters)


def test_factors_are_of_known_alloys() -> None:
    """Every factor's letters are those of a rivet material."""
    codes = {row.cells["code"] for row in read_table("alloy_force").rows}
    assert codes <= set(material_codes())


def test_points_carry_their_row() -> None:
    """The first measured point stands in line 2 of its table, in newtons."""
    first, second = force_points()[:2]
    assert (first.row, first.value.force_n) == ("force_points.csv:2", 0)
    assert second.value.force_n == 4000
    assert {one.status for one in force_points()} == {Status.READ}
