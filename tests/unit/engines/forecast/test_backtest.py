"""The forecast replayed over a log: a steady builder is foretold, a new one is not."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from rivetwright.engines.forecast.backtest import LEAST_LINES, MOST_LINES, backtest
from rivetwright.engines.work.rates import Logged

FIRST = date(2026, 1, 1)


def _log(minutes: list[float]) -> list[tuple[date, Logged]]:
    """Fifty holes drilled on each of some days."""
    return [
        (FIRST + timedelta(days=k), Logged("match-drill", one, None, "50 holes"))
        for k, one in enumerate(minutes)
    ]


def test_a_short_log_is_not_replayed() -> None:
    """Four lines leave none to foretell; nothing is said of a line that counts none."""
    assert backtest(_log([60.0] * LEAST_LINES)).lines == ()
    assert backtest([(FIRST, Logged("put away", 30.0))]).lines == ()


def test_a_steady_builder_is_foretold() -> None:
    """The same minutes every time: each range holds them, and so do the sums."""
    told = backtest(_log([60.0] * 20))
    assert (len(told.lines), told.held_count) == (16, 16)
    assert all(one.held for one in told.sums)
    assert told.sums[0].took_minutes == 60 * 16


def test_a_jump_is_not_foretold() -> None:
    """The last line takes ten times as long: that one falls out of its range."""
    told = backtest(_log([60.0] * 12 + [600.0]))
    assert [one.held for one in told.lines] == [True] * 8 + [False]


def test_only_the_newest_lines_are_replayed() -> None:
    """A long log costs no more than its newest lines."""
    assert len(backtest(_log([60.0] * 80)).lines) == MOST_LINES


@pytest.mark.parametrize("seed", [1, 2])
def test_four_in_five_are_held(seed: int) -> None:
    """Lines that scatter as judged beforehand: about 80 % of forty are held."""
    rng = np.random.default_rng(seed)
    minutes = 60 * np.exp(0.3 * rng.standard_normal(44))
    told = backtest(_log(minutes.tolist()))
    assert 0.62 < told.held_count / len(told.lines) < 0.97
