"""How long a rivet takes, learned from runs that were begun and ended, never from taps.

What is told is the middle of the newest runs: one interrupted evening moves it little.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from rivetwright.record.state import Key, RunTimed

# Fewer runs say nothing (JUDGEMENT: of three, one may be odd and the middle holds).
RUNS_MIN = 3


@dataclass(frozen=True)
class Rate:
    """Seconds a rivet of one set-up, and how many runs and rivets it rests on."""

    setup: str
    callout: str
    rivet_s: float
    runs: int
    rivets: int


def rates(timed: Mapping[Key, Sequence[RunTimed]]) -> tuple[Rate, ...]:
    """The rate of every set-up with enough timed runs, most rivets first."""
    found = [
        Rate(
            setup,
            callout,
            median(run.seconds / run.rivets for run in runs),
            len(runs),
            sum(run.rivets for run in runs),
        )
        for (setup, callout), runs in timed.items()
        if len(runs) >= RUNS_MIN
    ]
    return tuple(sorted(found, key=lambda one: (-one.rivets, one.callout, one.setup)))
