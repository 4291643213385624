"""Figures of the forecast: looked up with their status, or refused."""

from __future__ import annotations

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.forecast import forecast_constant, forecast_figure
from rivetwright.standards.source import Status


def test_a_figure_comes_with_its_status() -> None:
    """What was judged says so; shares lie between nought and one."""
    assert forecast_constant("slope").status is Status.JUDGEMENT
    assert forecast_constant("week drift").status is Status.DERIVED
    assert 0.5 < forecast_figure("slope") <= 1
    assert 0 < forecast_figure("sitting kept") < 1


def test_a_figure_the_table_has_not_is_refused() -> None:
    """The refusal names those there are."""
    with pytest.raises(OutsideTable, match="week drift"):
        forecast_figure("patience")
