"""Figures for the order of work: the table, its statuses, its refusals."""

from __future__ import annotations

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.order import (
    order_cost,
    order_cost_names,
    order_cost_unit,
    order_cost_what,
)
from rivetwright.standards.source import Status


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(("squeezer", 12), ("hand squeezer", 20), ("gun and bar", 25)),
        *(("bin", 20), ("gap", 90), ("proof", 60), ("dies", 40), ("yoke", 180)),
        *(("tool", 45), ("helper", 180), ("holder out", 3), ("holder in", 5)),
        *(("swap", 4), ("hand speed", 250), ("held within", 76), ("end within", 38)),
    ],
)
def test_usual_figures_are_those_of_common_practice(name: str, value: float) -> None:
    """As given for a home shop; no published time study was found."""
    looked = order_cost(name)
    assert looked.value == value
    assert looked.source.status is Status.COMMON_PRACTICE


def test_what_was_only_judged_says_so() -> None:
    """No figure was found for back-riveting and the puller."""
    for name in ("back-riveting", "puller", "fit", "zipping"):
        assert order_cost(name).source.status is Status.JUDGEMENT


def test_every_figure_has_a_unit_and_words() -> None:
    """Seconds, lengths, one speed, one count."""
    units = {order_cost_unit(name) for name in order_cost_names()}
    assert units == {"s", "mm", "mm/s", "holes"}
    assert all(order_cost_what(name) for name in order_cost_names())


def test_an_unknown_figure_is_refused() -> None:
    """With the names there are."""
    with pytest.raises(OutsideTable, match="squeezer"):
        order_cost("spanner")
