"""A stage worked out once for the search: rows in order, changes, what comes first."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rivetwright.model.stage import BARE, Setup, Stage, StepCosts, Token

__all__ = ["BARE", "Stage", "Tables", "change_s"]

# Rows with fewer holes to set than this are short enough to need no rule.
ROW_COUNT_MIN = 3


def change_s(costs: StepCosts, before: Setup | None, after: Setup) -> float:
    """Time to change from one setup to another.

    Other tool, other yoke, other dies, other gap: the first that differs decides
    what has to be done again and proved. The rivet's bin and a second person come
    on top.

    Args:
        costs: what each part takes.
        before: what is rigged; None: nothing.
        after: what is wanted.

    Returns:
        The time [s].
    """
    if before == after:
        return 0.0
    time_s = _tool_change_s(costs, before, after)
    if before is None or before.rivet != after.rivet:
        time_s += costs.bin_s
    if after.crew > (before.crew if before else 1):
        time_s += costs.crew_s
    return time_s


def _tool_change_s(costs: StepCosts, before: Setup | None, after: Setup) -> float:
    proved_s = costs.proof_s + (costs.gap_s if after.gap_mm is not None else 0.0)
    if before is None or before.tool != after.tool:
        return costs.tool_s + costs.dies_s + proved_s
    dies_s = costs.dies_s if before.dies != after.dies else 0.0
    if before.yoke != after.yoke:
        return costs.yoke_s + dies_s + proved_s
    if dies_s:
        return dies_s + proved_s
    return proved_s if before.gap_mm != after.gap_mm else 0.0


@dataclass(frozen=True, eq=False)
class Tables:
    """What every part of the search asks of a stage, worked out once.

    Per row, the holes stand in the order of their place along it.
    """

    stage: Stage

    @cached_property
    def change_s(self) -> NDArray[np.float64]:
        """Setup changes, shape (setups + 1, setups); the last line is a bare bench."""
        setups = self.stage.setups
        befores: list[Setup | None] = [*setups, None]
        return np.array(
            [[change_s(self.stage.costs, a, b) for b in setups] for a in befores],
            dtype=np.float64,
        ).reshape(len(befores), len(setups))

    @cached_property
    def wanted(self) -> NDArray[np.bool_]:
        """Holes that this stage still has to set, shape (holes,)."""
        return ~(self.stage.is_deferred | self.stage.is_set)

    @cached_property
    def rows(self) -> tuple[tuple[int, ...], ...]:
        """Holes of each row in the order of their place."""
        stage = self.stage
        rows: list[list[int]] = [[] for _ in stage.row_after]
        for hole in np.argsort(stage.s_mm, kind="stable").tolist():
            rows[stage.row[hole]].append(hole)
        return tuple(tuple(row) for row in rows)

    @cached_property
    def rank(self) -> NDArray[np.int32]:
        """Place of each hole in its row, counted from nought."""
        rank = np.zeros(len(self.stage), dtype=np.int32)
        for row in self.rows:
            rank[list(row)] = np.arange(len(row))
        return rank

    @cached_property
    def active_rows(self) -> tuple[tuple[int, ...], ...]:
        """Holes of each row without those that stay open."""
        deferred = self.stage.is_deferred
        return tuple(tuple(h for h in row if not deferred[h]) for row in self.rows)

    @cached_property
    def is_clamp_free(self) -> tuple[bool, ...]:
        """Rows that rule B exempts."""
        return tuple(len(row) < ROW_COUNT_MIN for row in self.active_rows)

    @cached_property
    def is_creep_free(self) -> tuple[bool, ...]:
        """Rows that rule C exempts."""
        s_mm, short_mm = self.stage.s_mm, self.stage.creep.short_row_mm
        return tuple(
            len(row) < ROW_COUNT_MIN or bool(s_mm[row[-1]] - s_mm[row[0]] <= short_mm)
            for row in self.active_rows
        )

    @cached_property
    def before_group(self) -> dict[int, tuple[Token, ...]]:
        """What must be done before any hole of a group."""
        return self._before(is_milestone=False)

    @cached_property
    def before_milestone(self) -> dict[int, tuple[Token, ...]]:
        """What must be done before a milestone."""
        return self._before(is_milestone=True)

    def _before(self, *, is_milestone: bool) -> dict[int, tuple[Token, ...]]:
        before: dict[int, list[Token]] = {}
        for first, then in self.stage.precedence:
            if then.is_milestone == is_milestone:
                before.setdefault(then.number, []).append(first)
        return {number: tuple(tokens) for number, tokens in before.items()}

    @cached_property
    def is_there(self) -> NDArray[np.bool_]:
        """Rows whose part is fitted at the start, shape (rows,)."""
        stage = self.stage
        waits = stage.row_after != BARE
        there: NDArray[np.bool_] = np.logical_not(waits)
        there[waits] = stage.done[stage.row_after[waits]]
        return there
