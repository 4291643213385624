"""What unlocks most: parts, tools, answers, signatures by the work that they free."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rivetwright.engines.work.gates import Gates
from rivetwright.engines.work.pieces import Piece
from rivetwright.engines.work.waits import Wait

COMES, IS_LEFT = "comes", "is left"


@dataclass(frozen=True)
class Unlock:
    """One thing, what comes free with it at once, and what all stands behind it.

    `way` is comes (the thing itself), or is left: its holes are left for later,
    which a person decides. `wait` is one of those for it, with the day it is expected.
    """

    way: str
    wait: Wait
    freed: tuple[Piece, ...]
    freed_minutes: float
    behind_minutes: float

    @property
    def steps(self) -> tuple[str, ...]:
        """Keys of the steps in which work comes free."""
        return tuple(dict.fromkeys(piece.in_step for piece in self.freed))


def unlocks(gates: Gates) -> tuple[Unlock, ...]:
    """Everything that work waits for, by the minutes that it frees at once.

    Of two that free the same, the one that more work stands behind comes first.

    Args:
        gates: the pieces and what each has to wait for.

    Source: the plan, the record; minutes as the pieces say.
    """
    found = [*_coming(gates), *_leaving(gates)]
    return tuple(
        sorted(
            found,
            key=lambda one: (-one.freed_minutes, -one.behind_minutes, one.wait.key),
        )
    )


def _coming(gates: Gates) -> Iterable[Unlock]:
    for key, some in gates.waiting_for.items():
        yield _unlock(gates, COMES, _wait_of(gates, some[0], key), gates.freed_by(key))


def _leaving(gates: Gates) -> Iterable[Unlock]:
    for key, some in gates.waiting_for.items():
        freed = gates.freed_by_leaving(key)
        if freed:
            yield _unlock(gates, IS_LEFT, _wait_of(gates, some[0], key), freed)


def _wait_of(gates: Gates, k: int, key: tuple[str, str]) -> Wait:
    return next(wait for wait in gates.waits[k] if wait.key == key)


def _unlock(gates: Gates, way: str, wait: Wait, freed: Iterable[int]) -> Unlock:
    pieces = tuple(gates.pieces[k] for k in sorted(freed))
    return Unlock(
        way,
        wait,
        pieces,
        _minutes(pieces),
        _minutes(gates.pieces[k] for k in gates.behind(wait.key)),
    )


def _minutes(pieces: Iterable[Piece]) -> float:
    return sum(piece.minutes.likely for piece in pieces)
