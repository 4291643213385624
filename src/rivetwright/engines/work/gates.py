"""Which pieces keep which others waiting, and what comes free when something comes.

Pieces are joined through their steps: a step is whole when nothing is left in it but
what the drawing leaves open.
"""

from __future__ import annotations

from collections import ChainMap, deque
from collections.abc import Callable, Iterable, MutableMapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from rivetwright.engines.work.pieces import Piece
from rivetwright.engines.work.waits import (
    ANSWER,
    BULLETIN,
    DRYING,
    FINDING,
    HOLD,
    INSPECTOR,
    PART,
    QUIET,
    SECOND,
    STEP,
    STOCK,
    TOOL,
    Wait,
)

Key = tuple[str, str]
# Nobody is called, and no hour is waited for, before the work itself is ready.
_AT_LAST = (INSPECTOR, SECOND, QUIET, DRYING, STOCK)
# What is left for later are holes; a kit, a step and an inspection are not left.
_LEAVABLE = (ANSWER, FINDING, PART, TOOL, BULLETIN, HOLD)


@dataclass
class Reached:
    """Pieces that can be done, one after the other, and how far the counting is.

    `unmet` is how much a piece still has before it, `left_in` how many pieces keep a
    step from being whole.
    """

    pieces: MutableMapping[int, bool]
    unmet: MutableMapping[int, int]
    left_in: MutableMapping[str, int]

    def over(self) -> Reached:
        """One that goes on from here and leaves this one as it is."""
        return Reached(
            ChainMap({}, self.pieces),
            ChainMap({}, self.unmet),
            ChainMap({}, self.left_in),
        )


class Gates:
    """Pieces and what each has to wait for: other pieces, steps, and what must come.

    Args:
        pieces: every piece that is left.
        lacks: what the evening lacks for a piece; None for nothing.
    """

    def __init__(
        self,
        pieces: Sequence[Piece],
        lacks: Callable[[Piece], Wait | None] | None = None,
    ) -> None:
        self.pieces = pieces
        self.waits = [_waits(piece, lacks) for piece in pieces]
        self.members: dict[str, list[int]] = {}
        self.blocking: dict[str, int] = {}
        for k, piece in enumerate(pieces):
            self.members.setdefault(piece.in_step, []).append(k)
            if not piece.is_left_open:
                self.blocking[piece.in_step] = self.blocking.get(piece.in_step, 0) + 1
        self.at = at = {piece.key: k for k, piece in enumerate(pieces)}
        self.unmet = [0] * len(pieces)
        self.next_of_piece: dict[int, list[int]] = {}
        self.next_of_step: dict[str, list[int]] = {}
        for k, piece in enumerate(pieces):
            for key in piece.after:
                if key in at:
                    self.next_of_piece.setdefault(at[key], []).append(k)
                    self.unmet[k] += 1
                elif self.blocking.get(key):
                    self.next_of_step.setdefault(key, []).append(k)
                    self.unmet[k] += 1

    def at_first(self) -> Reached:
        """Nothing done yet."""
        return Reached({}, dict(enumerate(self.unmet)), dict(self.blocking))

    @cached_property
    def reached(self) -> Reached:
        """What can be done with what is there, whatever time it takes."""
        base = self.at_first()
        first = [k for k, count in enumerate(self.unmet) if not count]
        self._run(base, first, lambda k: not self.waits[k])
        return base

    def freed_by(self, key: Key) -> list[int]:
        """Pieces that can be done as well once one thing has come."""
        base = self.reached
        more = base.over()

        def may(k: int) -> bool:
            return all(wait.key == key for wait in self.waits[k])

        first = [
            k
            for k in self.waiting_for.get(key, ())
            if may(k) and not base.unmet[k] and k not in base.pieces
        ]
        return self._run(more, first, may)

    def freed_by_leaving(self, key: Key) -> list[int]:
        """Pieces that can be done once what waits for one thing is left for later.

        Nothing that closes a face over it comes free, and no step counts as whole
        that closes one itself.
        """
        if key[0] not in _LEAVABLE:
            return []
        waiting = self.waiting_for.get(key, ())
        left = [k for k in waiting if not self.pieces[k].is_left_open]
        faces = {face for k in left for face in self.pieces[k].faces}
        more = self.reached.over()
        ready: list[int] = []

        def may(k: int) -> bool:
            return not self.waits[k] and faces.isdisjoint(self.pieces[k].closes)

        for k in left:
            piece = self.pieces[k]
            if faces.isdisjoint(piece.closes):
                ready += self._leave_one(more, piece.in_step)
        return self._run(more, ready, may)

    def behind(self, key: Key) -> set[int]:
        """Every piece that cannot be done before one thing has come."""
        found: set[int] = set()
        todo = deque(self.waiting_for.get(key, ()))
        steps: set[str] = set()
        while todo:
            k = todo.popleft()
            if k in found:
                continue
            found.add(k)
            todo.extend(self.next_of_piece.get(k, ()))
            piece = self.pieces[k]
            if not piece.is_left_open and piece.in_step not in steps:
                steps.add(piece.in_step)
                todo.extend(self.next_of_step.get(piece.in_step, ()))
        return found

    @cached_property
    def waiting_for(self) -> dict[Key, list[int]]:
        """Pieces by what they wait for."""
        found: dict[Key, list[int]] = {}
        for k, waits in enumerate(self.waits):
            for wait in waits:
                found.setdefault(wait.key, []).append(k)
        return found

    def first_wait(self, k: int) -> Wait | None:
        """The one thing a piece waits for: what it says itself, a step, then people.

        None where it waits for a piece of its own step.
        """
        own = [wait for wait in self.waits[k] if wait.kind not in _AT_LAST]
        if own:
            return own[0]
        for key in self.pieces[k].after:
            if self.reached.left_in.get(key):
                return Wait(STEP, key.partition("/")[2])
            at = self.at.get(key)
            if at is not None and at not in self.reached.pieces:
                return self.first_wait(at)
        return self.waits[k][0] if self.waits[k] else None

    def _leave_one(self, more: Reached, step: str) -> list[int]:
        """Count one piece of a step as if done; what comes ready by that."""
        more.left_in[step] = more.left_in.get(step, 0) - 1
        return self._opened(more, step) if more.left_in[step] == 0 else []

    def _opened(self, more: Reached, step: str) -> list[int]:
        ready = []
        for k in self.next_of_step.get(step, ()):
            more.unmet[k] = more.unmet[k] - 1
            if more.unmet[k] == 0:
                ready.append(k)
        return ready

    def _run(
        self, more: Reached, first: Iterable[int], may: Callable[[int], bool]
    ) -> list[int]:
        """Do what can be done until nothing more comes ready."""
        todo = deque(first)
        done = []
        while todo:
            k = todo.popleft()
            if k in more.pieces or not may(k):
                continue
            more.pieces[k] = True
            done.append(k)
            todo.extend(self.after_doing(more, k))
        return done

    def after_doing(self, more: Reached, k: int) -> list[int]:
        """Count a piece as done; the pieces that have nothing before them any more."""
        ready = []
        for later in self.next_of_piece.get(k, ()):
            more.unmet[later] = more.unmet[later] - 1
            if more.unmet[later] == 0:
                ready.append(later)
        piece = self.pieces[k]
        if not piece.is_left_open:
            ready += self._leave_one(more, piece.in_step)
        return ready


def _waits(
    piece: Piece, lacks: Callable[[Piece], Wait | None] | None
) -> tuple[Wait, ...]:
    """What a piece waits for by plan and record, then what the evening lacks."""
    lacking = lacks(piece) if lacks else None
    return piece.waits if lacking is None else (*piece.waits, lacking)
