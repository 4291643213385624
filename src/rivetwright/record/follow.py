"""The state kept up to date with the record, quick to open however long it is.

A snapshot is used only where the chain still has its digest. A fact that counts
before some that were folded already is folded now where it has nothing in common with
them; where it has, and where it takes one back, the state goes back to a snapshot
before that place, or to the beginning. Why: `design/record.md`.
"""

from __future__ import annotations

from bisect import bisect_right, insort
from collections import deque
from collections.abc import Sequence
from itertools import islice
from threading import RLock

from rivetwright.record.chain import Entry, Head
from rivetwright.record.fold import fold_onto
from rivetwright.record.kinds import Undone
from rivetwright.record.order import Place, placed_on
from rivetwright.record.snapshots import dump_state, load_state
from rivetwright.record.state import State
from rivetwright.record.store import Store
from rivetwright.record.touching import Touched, touched

SNAPSHOT_EVERY = 2000
NEWEST_KEPT = 4
TAIL_MAX = 1000
# Entries in memory at once; only a record this long is first folded in pieces.
AT_ONCE = 100_000
EARLY = "undone-unknown"
NOWHERE: Place = ("", "", 0, 0)


class Follower:
    """One project's state, folded as far as the record goes."""

    def __init__(self, store: Store, project: str) -> None:
        self.store = store
        self.project = project
        self._lock = RLock()
        self._state: State | None = None
        self._saved = 0
        # What was folded last, complete after the place `_tail_after`.
        self._tail: deque[Touched] = deque()
        self._tail_after: Place = NOWHERE

    def state(self) -> State:
        """What the record says now.

        The same state is folded on when facts come: read it under the lock of the
        workshop, and change nothing in it.
        """
        with self._lock:
            head = self.store.head(self.project)
            state = self._state if self._state is not None else self._from_snapshot()
            while state.position < head.seq:
                upto = min(head.seq, state.position + AT_ONCE)
                fresh = self.store.entries(self.project, state.position, upto)
                state = self._on(state, list(fresh))
                self._save(state)
            self._state = state
            return state

    def _on(self, state: State, fresh: Sequence[Entry]) -> State:
        """Fold new entries onto a state, or go back where they count before it."""
        placed = placed_on(fresh, state.ends)
        back_to = self._back_to(state, fresh, placed)
        if back_to is None:
            self._remember(placed)
            return fold_onto(state, fresh)
        start, rest = self._from(back_to, placed[0][0], fresh[-1].seq)
        self._tail.clear()
        self._tail_after = start.last_place
        self._remember(placed_on(rest, start.ends))
        return fold_onto(start, rest)

    def _from(self, back_to: int, place: Place, last: int) -> tuple[State, list[Entry]]:
        """A state to go on from, and every entry after it.

        None of these takes back a fact that is folded in the state already, or is
        taken back by one, or counts before one: a snapshot may be older than a fact
        that came late.
        """
        while True:
            start = self._before(back_to, place)
            rest = list(self.store.entries(self.project, start.position, last))
            back_to = min(self._undone(start, rest), default=last)
            if back_to > start.position and _goes_on(start, rest):
                return start, rest
            back_to = min(back_to, start.position)

    def _undone(self, state: State, entries: Sequence[Entry]) -> list[int]:
        """Positions of what entries take back, and of undos that waited for one.

        An undo may arrive before what it takes back, from another device; more than
        one may.
        """
        ids = {entry.fact.id for entry in entries}
        early = [flag for flag in state.flags if flag.code == EARLY]
        names = [flag.fact for flag in early if flag.text in ids] + [
            entry.fact.body.fact
            for entry in entries
            if isinstance(entry.fact.body, Undone)
        ]
        found = [self.store.position_of(self.project, name) for name in names]
        return [seq for seq in found if seq is not None]

    def _remember(self, placed: Sequence[tuple[Place, Entry]]) -> None:
        """Keep what was folded last, in the order in which it counts."""
        if len(placed) > TAIL_MAX:
            self._tail_after = max(self._tail_after, placed[-TAIL_MAX - 1][0])
            kept = (one for one in self._tail if one.place > self._tail_after)
            self._tail = deque(kept)
        for place, entry in placed[-TAIL_MAX:]:
            insort(self._tail, touched(entry.fact, place), key=_place_of)
        while len(self._tail) > TAIL_MAX:
            self._tail_after = self._tail.popleft().place

    def _back_to(
        self,
        state: State,
        fresh: Sequence[Entry],
        placed: Sequence[tuple[Place, Entry]],
    ) -> int | None:
        """The position before which the state must go back; None: it need not."""
        seq = min([*self._undone(state, fresh), state.position + 1])
        if seq <= state.position or not _counts_on(state, fresh):
            return seq
        late = (
            touched(entry.fact, place)
            for place, entry in placed
            if place <= state.last_place
        )
        return None if all(map(self._fits_now, late)) else seq

    def _fits_now(self, late: Touched) -> bool:
        """Whether a late fact has nothing in common with those that count after it."""
        if late.place <= self._tail_after:
            return False
        first = bisect_right(self._tail, late.place, key=_place_of)
        return all(
            late.is_apart(one) for one in islice(self._tail, first, len(self._tail))
        )

    def _from_snapshot(self) -> State:
        """The newest state that was kept, or none."""
        state = self._before(2**53, (chr(0x10FFFF), "", 0, 0))
        self._tail_after = state.last_place
        return state

    def _before(self, seq: int, place: Place) -> State:
        """The newest snapshot before a position whose last fact counts before a place.

        One that the chain no longer agrees with, or of another form, is passed over.
        """
        for at, digest, last in self.store.snapshot_places(self.project):
            if at >= seq or _read_place(last) >= place:
                continue
            if self.store.digest_at(self.project, at) != digest:
                continue
            stored = self.store.snapshot(self.project, at)
            state = load_state(stored) if stored else None
            if state is not None and (state.position, state.digest) == (at, digest):
                self._saved = max(self._saved, at)
                return state
        return State()

    def _save(self, state: State) -> None:
        """Keep a snapshot now and then; thin out the older ones."""
        if state.position - self._saved < SNAPSHOT_EVERY or self.store.is_read_only:
            return
        head = Head(state.position, state.digest)
        place = _write_place(state.last_place)
        self.store.save_snapshot(self.project, head, place, dump_state(state))
        self._saved = state.position
        there = [at for at, _, _ in self.store.snapshot_places(self.project)]
        self.store.drop_snapshots(self.project, superfluous(there))


def _counts_on(state: State, entries: Sequence[Entry]) -> bool:
    """Whether no device counted an entry before what is folded of it already."""
    counted = {device: end[0] for device, end in state.ends.items()}
    facts = [entry.fact for entry in entries]
    return all(fact.device_seq >= counted.get(fact.device, 0) for fact in facts)


def _goes_on(state: State, entries: Sequence[Entry]) -> bool:
    """Whether all entries count after what is folded already."""
    if not state.position:
        return True
    placed = placed_on(entries, state.ends)
    return _counts_on(state, entries) and placed[0][0] > state.last_place


def superfluous(positions: Sequence[int]) -> list[int]:
    """Snapshots to throw away: the newest few stay, then one for each doubling back.

    Args:
        positions: newest first.
    """
    if not positions:
        return []
    newest, kept = positions[0], set(positions[:NEWEST_KEPT])
    step = SNAPSHOT_EVERY * NEWEST_KEPT
    reach = newest - step
    for at in positions[NEWEST_KEPT:]:
        if at <= reach:
            kept.add(at)
            while at <= reach:
                step *= 2
                reach = newest - step
    return [at for at in positions if at not in kept]


def _place_of(one: Touched) -> Place:
    return one.place


def _write_place(place: Place) -> str:
    return "\t".join(str(part) for part in place)


def _read_place(text: str) -> Place:
    # A device may have a tab in its name; times and counts have none.
    at, rest = text.split("\t", 1)
    device, device_seq, seq = rest.rsplit("\t", 2)
    return at, device, int(device_seq), int(seq)
