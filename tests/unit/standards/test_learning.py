"""Figures of learning from heads: looked up with their status, or refused."""

from __future__ import annotations

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.learning import learning_constant, learning_figure
from rivetwright.standards.source import Status


def test_a_figure_comes_with_its_status() -> None:
    """What was judged says so; what was read names its document."""
    assert learning_constant("spring spread").status is Status.JUDGEMENT
    read = learning_constant("ewma weight")
    assert (read.value, read.status) == (0.3, Status.READ)
    assert "6.3.2.4" in str(read.source)
    assert learning_figure("ewma width") == 3


def test_a_figure_the_table_has_not_is_refused() -> None:
    """The refusal names those there are."""
    with pytest.raises(OutsideTable, match="cusum slack"):
        learning_figure("patience")
