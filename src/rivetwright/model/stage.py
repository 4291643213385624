"""A stage of setting: its holes as columns, what is rigged, and what must come first.

A stage is what is planned in one go: the holes of one or more steps, the setups that
can set them, the sheet holders that keep the parts together, and the state it begins
from. Answers come as a sequence of steps. Lengths in mm, times in seconds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

BARE = -1  # nothing is rigged; a row that waits for no milestone


class Kind(IntEnum):
    """What one step does; its letter in a plan file is `LETTERS[kind]`."""

    RIG = 0
    FACE = 1
    MILESTONE = 2
    SET = 3
    OUT = 4
    IN = 5


LETTERS = "SFMROI"


@dataclass(frozen=True)
class StepCosts:
    """What each kind of work takes; every figure may be edited."""

    tool_s: float
    yoke_s: float
    dies_s: float
    gap_s: float
    proof_s: float
    bin_s: float
    crew_s: float
    holder_out_s: float
    holder_in_s: float
    swap_s: float
    speed_mm_s: float
    creep_penalty_s: float


@dataclass(frozen=True)
class Clamp:
    """Held together: how far an open hole may lie from something fast."""

    reach_mm: float
    end_mm: float


@dataclass(frozen=True)
class Creep:
    """No zipping: how far from a set rivet, or between which, one may be set."""

    skip_mm: float
    bracket_mm: float
    short_row_mm: float


@dataclass(frozen=True)
class Setup:
    """A tool as it is rigged; `gap_mm` is None where the tool has no gap to set."""

    tool: str
    yoke: str | None
    dies: str
    gap_mm: float | None
    rivet: str
    crew: int
    rivet_s: float


@dataclass(frozen=True)
class Milestone:
    """Something to do in between: fit a bracket, inspect, lay on a skin."""

    name: str
    time_s: float


class Token(NamedTuple):
    """A group of holes, or a milestone, in what must come first."""

    is_milestone: bool
    number: int

    def __str__(self) -> str:
        """As a file writes it: `g2`, `m0`."""
        return f"{'m' if self.is_milestone else 'g'}{self.number}"


@dataclass(frozen=True)
class Stage:
    """One stage and the state it begins from; columns have the shape (holes,).

    Args:
        name: what the stage is called.
        costs: what each kind of work takes.
        clamp: rule B, held together.
        creep: rule C, no zipping.
        turn_s: from one face to another, shape (faces, faces).
        setups: every setup that some hole admits.
        groups: names of the groups of holes.
        milestones: what is done in between.
        precedence: all of the left before any of the right.
        row_after: per row the milestone that brings its part; BARE: there already.
        face: the face a hole is worked on.
        row: its row.
        s_mm: its place along the row.
        x_mm: its place on the face.
        y_mm: its place on the face.
        options: the setups that can set it.
        group: its group.
        holder: a sheet holder is in it now, or comes with its row's milestone.
        is_deferred: it stays open in this stage, and may keep its holder.
        is_set: its rivet is set already.
        done: milestones that are done already, shape (milestones,).
        rigged: the setup that is rigged now; BARE: none.
        start_face: the face that lies ready now.
        holders_spare: sheet holders in the box now.
    """

    name: str
    costs: StepCosts
    clamp: Clamp
    creep: Creep
    turn_s: NDArray[np.float64]
    setups: tuple[Setup, ...]
    groups: tuple[str, ...]
    milestones: tuple[Milestone, ...]
    precedence: tuple[tuple[Token, Token], ...]
    row_after: NDArray[np.int32]
    face: NDArray[np.int32]
    row: NDArray[np.int32]
    s_mm: NDArray[np.float64]
    x_mm: NDArray[np.float64]
    y_mm: NDArray[np.float64]
    options: tuple[tuple[int, ...], ...]
    group: NDArray[np.int32]
    holder: NDArray[np.bool_]
    is_deferred: NDArray[np.bool_]
    is_set: NDArray[np.bool_]
    done: NDArray[np.bool_]
    rigged: int = BARE
    start_face: int = 0
    holders_spare: int = 0

    def __len__(self) -> int:
        """Number of holes."""
        return len(self.face)


@dataclass(frozen=True)
class StageSet:
    """Stages planned one by one; `precedence` holds pairs of their places."""

    name: str
    stages: tuple[Stage, ...]
    precedence: tuple[tuple[int, int], ...]


@dataclass(frozen=True, eq=False)
class Steps:
    """A plan: the steps in their order, as two columns of the shape (steps,).

    `index` names a setup, a face, a milestone or a hole, by the kind of step.
    """

    kind: NDArray[np.int8]
    index: NDArray[np.int32]

    @classmethod
    def of(cls, pairs: Iterable[tuple[int, int]]) -> Steps:
        """Steps from pairs of kind and index."""
        listed = [(int(kind), int(index)) for kind, index in pairs]
        columns = np.array(listed, dtype=np.int32).reshape(-1, 2)
        return cls(columns[:, 0].astype(np.int8), columns[:, 1].copy())

    def __len__(self) -> int:
        """Number of steps."""
        return len(self.kind)

    def __iter__(self) -> Iterator[tuple[int, int]]:
        """Pairs of kind and index, in plain numbers."""
        return zip(self.kind.tolist(), self.index.tolist(), strict=True)

    def __eq__(self, other: object) -> bool:
        """Whether both hold the same steps in the same order."""
        return isinstance(other, Steps) and list(self) == list(other)
