"""What comes before what: ties, rings, names not there, many trials at once."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.engines.network.precedence import Precedence
from rivetwright.errors import NotFound, Refusal


def test_nothing_takes_no_time() -> None:
    """Without activities there is no chain and no time."""
    network = Precedence({})
    assert network.critical([]) == ()
    assert network.passes([]).whole == 0


def test_trials_at_once_are_those_one_by_one() -> None:
    """Two trials of a fork: the longer arm decides in each, 1 + 5 and 1 + 7."""
    network = Precedence({"a": (), "b": ("a",), "c": ("a",), "d": ("b", "c")})
    durations = np.array([[1.0, 5, 2, 0], [1.0, 3, 7, 0]])
    found = network.passes(durations)
    assert found.whole.tolist() == [6, 8]
    assert found.slack.tolist() == [[0, 0, 3, 0], [0, 4, 0, 0]]
    assert network.critical(durations[1]) == ("a", "c", "d")


def test_order_needs_no_order_of_names() -> None:
    """What comes first may be written last."""
    network = Precedence({"late": ("early",), "early": ()})
    assert network.order == (1, 0)
    assert network.depth.tolist() == [1, 0]
    assert network.behind([2.0, 3.0]).tolist() == [2, 5]


def test_a_ring_is_told() -> None:
    """Two that wait for each other are named, the third is not."""
    with pytest.raises(Refusal, match=r"b, c wait for each other"):
        Precedence({"a": (), "b": ("a", "c"), "c": ("b",)})


def test_a_need_that_is_none_is_told() -> None:
    """The nearest name is offered."""
    with pytest.raises(NotFound, match="no activity aileron-33"):
        Precedence({"aileron-3": ("aileron-33",)})
