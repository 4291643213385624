"""What can be done at one time at the bench, in an order that wastes least.

What leaves an assembly so that it cannot be put away is begun last.  Else first what
makes noise, then without putting one assembly away for another, without
changing the tool, and what most work waits behind. The heads of what was set are
looked at before anything else is taken up.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from rivetwright.engines.work.gates import Gates
from rivetwright.engines.work.pieces import (
    CHECK,
    REPLACE,
    SET,
    Minutes,
    Piece,
    minutes_for,
)
from rivetwright.engines.work.prepare import PRIME
from rivetwright.engines.work.rates import WorkRate, rate_of
from rivetwright.engines.work.session import Session
from rivetwright.engines.work.waits import STEP, Wait
from rivetwright.standards.source import weakest

# A part of a piece is taken up only where so much of it fits in [min] (JUDGEMENT).
_LEAST_MIN = 5.0
_STILL_MIN = 1e-6


@dataclass(frozen=True)
class Turn:
    """Pieces done in one go: one operation in one step, with the same set-up.

    `begins` and `minutes` count from the beginning of the session [min]. `count` of
    `whole_count` fit in; `way` is how rivets are set, quietly where it must be.
    """

    pieces: tuple[Piece, ...]
    begins: float
    minutes: Minutes
    count: int
    whole_count: int
    way: str
    is_noisy: bool
    is_moved: bool
    is_set_up: bool

    @property
    def first(self) -> Piece:
        """The first of its pieces: assembly, step and operation are those of all."""
        return self.pieces[0]

    @property
    def rows(self) -> tuple[str, ...]:
        """The rows in hand."""
        return tuple(dict.fromkeys(row for p in self.pieces for row in p.rows))

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts in hand."""
        return tuple(dict.fromkeys(p.part for p in self.pieces if p.part))

    @property
    def marks(self) -> tuple[str, ...]:
        """Holes of its rows that stay open."""
        return tuple(dict.fromkeys(m for p in self.pieces for m in p.needs.marks))

    @property
    def ends(self) -> float:
        """Minutes from the beginning of the session to its end [min]."""
        return self.begins + self.minutes.likely


@dataclass(frozen=True)
class Held:
    """Pieces of one step that wait for the same thing.

    `wait` is the one thing, `root` what that waits for in turn where it is a step;
    None where the step can simply be worked on. `may_leave`: they come free where
    what waits for the root is left for later.
    """

    wait: Wait
    root: Wait | None
    pieces: tuple[Piece, ...]
    may_leave: bool

    @property
    def minutes(self) -> float:
        """Likely minutes of all of them [min]."""
        return sum(piece.minutes.likely for piece in self.pieces)


@dataclass(frozen=True)
class Now:
    """What can be done, what could be with more time, what waits.

    `later` are pieces for which nothing lacks but time: hours, or primer that was
    laid on this evening has to dry first.
    """

    session: Session
    turns: tuple[Turn, ...]
    later: tuple[Piece, ...]
    held: tuple[Held, ...]

    @property
    def minutes(self) -> Minutes | None:
        """All turns together; None where there are none."""
        return together([turn.minutes for turn in self.turns])

    @property
    def rivets(self) -> int:
        """Rivets to be set."""
        return sum(t.count for t in self.turns if t.first.operation == SET)


def together(some: Sequence[Minutes]) -> Minutes | None:
    """Minutes of several pieces, as weak as the weakest; None for none.

    Low and high are added, as if all went well or badly at once: the range is wide.

    Args:
        some: minutes of each [min].

    Source: as each.
    """
    if not some:
        return None
    bases = {one.basis for one in some}
    return Minutes(
        sum(one.low for one in some),
        sum(one.likely for one in some),
        sum(one.high for one in some),
        bases.pop() if len(bases) == 1 else "mixed",
        sum(one.entries for one in some),
        sum(one.count for one in some),
        weakest(*(one.status for one in some)),
    )


def what_now(
    pieces: Sequence[Piece], session: Session, rates: dict[str, WorkRate] | None = None
) -> Now:
    """What can be done at one time at the bench, and what the rest waits for.

    Args:
        pieces: every piece that is left.
        session: what the evening has.
        rates: minutes by operation, for another way of setting [min].

    Source: own order, JUDGEMENT; minutes as the pieces say.
    """
    gates = Gates(pieces, session.lacks)
    turns, later = _Filling(gates, session, rates or {}).filled()
    return Now(session, turns, later, held_pieces(gates))


def held_pieces(gates: Gates) -> tuple[Held, ...]:
    """Everything that cannot be done, by step and by the one thing it waits for.

    Args:
        gates: the pieces and what each has to wait for.

    Source: the plan, the record.
    """
    roots = _Roots(gates)
    groups: dict[tuple[str, tuple[str, str]], list[int]] = {}
    for k in range(len(gates.pieces)):
        if k not in gates.reached.pieces:
            wait = roots.wait(k)
            groups.setdefault((gates.pieces[k].in_step, wait.key), []).append(k)
    return tuple(_held(gates, roots, some) for some in groups.values())


def _held(gates: Gates, roots: _Roots, some: list[int]) -> Held:
    wait = roots.wait(some[0])
    root = roots.root(some[0]) if wait.kind == STEP else None
    may_leave = False
    if root is not None:
        may_leave = some[0] in roots.free_without(root.key)
    return Held(wait, root, tuple(gates.pieces[k] for k in some), may_leave)


class _Roots:
    """The one thing each piece waits for, and what stands at the bottom of it."""

    def __init__(self, gates: Gates) -> None:
        self.gates = gates
        self._root: dict[int, Wait | None] = {}
        self._of_step: dict[str, Wait | None] = {}
        self._free: dict[tuple[str, str], frozenset[int]] = {}

    def wait(self, k: int) -> Wait:
        """The one thing it waits for."""
        return self.gates.first_wait(k) or Wait(STEP, self.gates.pieces[k].step)

    def root(self, k: int) -> Wait | None:
        """What stands at the bottom: something that must come; None for mere work."""
        if k in self._root:
            return self._root[k]
        self._root[k] = None
        own = self.gates.first_wait(k)
        if own is None or own.kind == STEP:
            own = self._before(k) or next(iter(self.gates.waits[k]), None)
        self._root[k] = found = own
        return found

    def _before(self, k: int) -> Wait | None:
        keys = self.gates.pieces[k].after
        for key in keys:
            if key in self.gates.members:
                found = self._step(key)
            elif key in self.gates.at and self.gates.at[key] not in (
                self.gates.reached.pieces
            ):
                found = self.root(self.gates.at[key])
            else:
                continue
            if found is not None:
                return found
        return None

    def _step(self, key: str) -> Wait | None:
        """The first thing that a step which is not whole waits for."""
        if key not in self._of_step:
            self._of_step[key] = None
            for k in self.gates.members[key]:
                is_left = not self.gates.pieces[k].is_left_open
                if is_left and k not in self.gates.reached.pieces:
                    found = self.root(k)
                    if found is not None:
                        self._of_step[key] = found
                        break
        return self._of_step[key]

    def free_without(self, key: tuple[str, str]) -> frozenset[int]:
        """Pieces that come free where what waits for one thing is left for later."""
        if key not in self._free:
            self._free[key] = frozenset(self.gates.freed_by_leaving(key))
        return self._free[key]


@dataclass
class _Bench:
    """How the bench stands while the evening is filled."""

    clock: float = 0.0
    assembly: str = ""
    set_up: tuple[str, ...] = ()
    stock: dict[str, int] = field(default_factory=dict)
    wet: set[tuple[str, str]] = field(default_factory=set)


_Group = tuple[str, str, str, tuple[str, ...]]


class _Filling:
    """The evening filled turn by turn."""

    def __init__(
        self, gates: Gates, session: Session, rates: dict[str, WorkRate]
    ) -> None:
        self.gates, self.session, self.rates = gates, session, rates
        self.bench = _Bench(assembly=session.on_bench, stock=dict(session.stock))
        self.state = gates.at_first()
        self.ready: dict[_Group, list[int]] = {}
        for k, count in enumerate(gates.unmet):
            if not count:
                self._offer(k)

    def filled(self) -> tuple[tuple[Turn, ...], tuple[Piece, ...]]:
        """Turns in order, and what nothing lacks but time."""
        turns: list[Turn] = []
        while self.ready:
            group = min(self.ready, key=self._wish)
            turn = self._turn(group)
            if turn is None:
                self.ready.pop(group)
                continue
            turns.append(turn)
            self._take(group, turn)
        done = {piece.key for turn in turns for piece in turn.pieces}
        pieces = self.gates.pieces
        free = (pieces[k] for k in sorted(self.gates.reached.pieces))
        return tuple(turns), tuple(piece for piece in free if piece.key not in done)

    def _offer(self, k: int) -> None:
        """Put a piece on the list of what can be done."""
        piece = self.gates.pieces[k]
        if self.gates.waits[k] or self._is_wet(piece):
            return
        key = (piece.assembly, piece.step, piece.operation, set_up_of(piece))
        self.ready.setdefault(key, []).append(k)

    def _is_wet(self, piece: Piece) -> bool:
        """Whether parts that were primed this evening would be put together."""
        if piece.operation not in (SET, REPLACE):
            return False
        return any((piece.assembly, p) in self.bench.wet for p in piece.needs.parts)

    def _wish(self, group: _Group) -> tuple[object, ...]:
        """The smaller, the sooner it is taken up."""
        assembly, _, operation, set_up = group
        here = self.ready[group]
        is_noisy = self.gates.pieces[here[0]].is_noisy
        is_same = set_up == self.bench.set_up or not set_up
        return (
            operation != CHECK,
            self.gates.pieces[here[0]].in_step in self.session.avoided,
            self.session.quiet_after is not None and not is_noisy,
            assembly != self.bench.assembly,
            not is_same,
            -self._behind(here),
            here[0],
        )

    def _behind(self, here: Sequence[int]) -> float:
        """Minutes of the work that waits behind the steps of some pieces."""
        return self._minutes_behind[self.gates.pieces[here[0]].in_step]

    @cached_property
    def _minutes_behind(self) -> dict[str, float]:
        return minutes_behind(self.gates)

    def _turn(self, group: _Group) -> Turn | None:
        """As much of a group as fits; None where too little does."""
        assembly, _, _, set_up = group
        way, is_noisy, rate = self._way(self.gates.pieces[self.ready[group][0]])
        taken, count = self._fitting(self.ready[group], rate, is_noisy)
        if not taken:
            return None
        whole = sum(piece.count for piece in taken)
        all_minutes = together([self._minutes(piece, rate) for piece in taken])
        assert all_minutes is not None
        if count < whole:
            all_minutes = _share(all_minutes, count / whole)
        return Turn(
            tuple(taken),
            self.bench.clock,
            all_minutes,
            count,
            whole,
            way,
            is_noisy,
            bool(self.bench.assembly) and assembly != self.bench.assembly,
            bool(set_up) and set_up != self.bench.set_up,
        )

    def _way(self, piece: Piece) -> tuple[str, bool, WorkRate | None]:
        """How rivets are set: quietly where no noise may be made any more."""
        room = self.session.noisy_minutes - self.bench.clock
        is_late = room < piece.minutes.likely - _STILL_MIN
        if piece.is_noisy and piece.quiet_way and is_late:
            return piece.quiet_way, False, rate_of(self.rates, piece.quiet_way)
        return piece.way, piece.is_noisy, None

    def _minutes(self, piece: Piece, rate: WorkRate | None) -> Minutes:
        return piece.minutes if rate is None else minutes_for(rate, piece.count)

    def _fitting(
        self, here: Iterable[int], rate: WorkRate | None, is_noisy: bool
    ) -> tuple[list[Piece], int]:
        """Pieces that fit in, the last of them in part, and how many of theirs.

        Rivets are set only where their heads can be looked at in the same evening.
        """
        taken: list[Piece] = []
        count = 0
        stock = dict(self.bench.stock)
        free = self.session.minutes - self.bench.clock
        loud = self.session.noisy_minutes - self.bench.clock if is_noisy else free
        for k in here:
            piece = self.gates.pieces[k]
            minutes, heads = self._minutes(piece, rate).likely, self._heads(k)
            share = min(free / (minutes + heads), loud / minutes) + _STILL_MIN
            if not _takes_rivets(piece, stock):
                continue
            if share >= 1.0:
                taken.append(piece)
                count += piece.count
                free, loud = free - minutes - heads, loud - minutes
                continue
            fits = int(piece.count * share)
            if piece.count > 1 and fits and fits * minutes >= _LEAST_MIN * piece.count:
                taken.append(piece)
                count += fits
                break
        return taken, count

    def _heads(self, k: int) -> float:
        """Minutes in which the heads of a piece are looked at afterwards."""
        return sum(
            self.gates.pieces[later].minutes.likely
            for later in self.gates.next_of_piece.get(k, ())
            if self.gates.pieces[later].operation == CHECK
        )

    def _take(self, group: _Group, turn: Turn) -> None:
        """Note a turn as done; what comes ready by it goes on the list."""
        assembly, _, _, set_up = group
        self.bench.clock = turn.ends
        self.bench.assembly = assembly
        self.bench.set_up = set_up or self.bench.set_up
        done = {piece.key for piece in turn.pieces}
        here = self.ready.pop(group)
        # What did not fit in is not asked again: the time is over for it.
        is_whole = turn.count == turn.whole_count
        last = turn.pieces[-1].key
        for k in here:
            piece = self.gates.pieces[k]
            if piece.key not in done or (piece.key == last and not is_whole):
                continue
            _takes_rivets(piece, self.bench.stock)
            if piece.operation == PRIME:
                self.bench.wet.add((piece.assembly, piece.part))
            for later in self.gates.after_doing(self.state, k):
                self._offer(later)


def _takes_rivets(piece: Piece, stock: dict[str, int]) -> bool:
    """Take a piece's rivets out of a stock; False where there are too few."""
    if any(stock.get(code, count) < count for code, count in piece.needs.stock):
        return False
    for code, count in piece.needs.stock:
        if code in stock:
            stock[code] -= count
    return True


def set_up_of(piece: Piece) -> tuple[str, ...]:
    """What has to be rigged for a piece: way, first tool, rivet; empty for nothing.

    Args:
        piece: a piece of work.
    """
    if piece.operation != SET:
        return ()
    return (piece.way, *piece.needs.tools[:1], piece.callout)


def minutes_behind(gates: Gates) -> dict[str, float]:
    """Minutes of all work that comes after each step, by the step's key.

    Args:
        gates: the pieces and what each has to wait for.

    Source: as the pieces.
    """
    own = {
        key: sum(gates.pieces[k].minutes.likely for k in members)
        for key, members in gates.members.items()
    }
    later: dict[str, set[str]] = {key: set() for key in own}
    for key, next_ones in gates.next_of_step.items():
        for k in next_ones:
            later[key].add(gates.pieces[k].in_step)
    behind: dict[str, set[str]] = {}

    def steps_behind(key: str) -> set[str]:
        if key not in behind:
            behind[key] = set()
            for one in later[key]:
                behind[key] |= {one} | steps_behind(one)
        return behind[key]

    return {key: sum(own[one] for one in steps_behind(key)) for key in own}


def _share(minutes: Minutes, ratio: float) -> Minutes:
    return replace(
        minutes,
        low=minutes.low * ratio,
        likely=minutes.likely * ratio,
        high=minutes.high * ratio,
    )
