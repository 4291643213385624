"""The state kept up to date with the record, quick to open however long it is.

A snapshot is used only where the chain still has its digest. A fact that counts
before the last one folded, or takes back one folded already, goes back to a snapshot
before that place, or to the beginning. Why: `design/record.md`.
"""

from __future__ import annotations

from collections.abc import Sequence
from threading import RLock

from rivetwright.record.chain import Entry, Head
from rivetwright.record.fold import fold_onto
from rivetwright.record.kinds import Undone
from rivetwright.record.order import Place, placed_on
from rivetwright.record.snapshots import dump_state, load_state
from rivetwright.record.state import State
from rivetwright.record.store import Store

SNAPSHOT_EVERY = 2000
NEWEST_KEPT = 4


class Follower:
    """One project's state, folded as far as the record goes."""

    def __init__(self, store: Store, project: str) -> None:
        self.store = store
        self.project = project
        self._lock = RLock()
        self._state: State | None = None
        self._saved = 0

    def state(self) -> State:
        """What the record says now.

        The same state is folded on when facts come: read it under the lock of the
        workshop, and change nothing in it.
        """
        with self._lock:
            head = self.store.head(self.project)
            state = self._state if self._state is not None else self._from_snapshot()
            if state.position < head.seq:
                fresh = list(self.store.entries(self.project, state.position, head.seq))
                state = self._on(state, fresh)
            self._state = state
            self._save(state)
            return state

    def _on(self, state: State, fresh: Sequence[Entry]) -> State:
        """Fold new entries onto a state, or go back where they count before it."""
        back_to = self._back_to(state, fresh)
        if back_to is None:
            return fold_onto(state, fresh)
        seq, place = back_to
        start = self._before(seq, place)
        rest = self.store.entries(self.project, start.position, fresh[-1].seq)
        return fold_onto(start, list(rest))

    def _back_to(
        self, state: State, fresh: Sequence[Entry]
    ) -> tuple[int, Place] | None:
        """The earliest position and place that new entries change; None: none."""
        placed = placed_on(fresh, state.ends)
        first = placed[0][0]
        is_late = first <= state.last_place
        late_in_device = any(
            one.fact.device_seq < state.ends.get(one.fact.device, (0, ""))[0]
            for one in fresh
        )
        seq = state.position + 1
        for entry in fresh:
            if isinstance(entry.fact.body, Undone):
                found = self.store.position_of(self.project, entry.fact.body.fact)
                seq = min(seq, found or seq)
        if late_in_device:
            return 0, ("", "", 0, 0)
        if is_late or seq <= state.position:
            return seq, first
        return None

    def _from_snapshot(self) -> State:
        """The newest state that was kept, or none."""
        return self._before(2**53, (chr(0x10FFFF), "", 0, 0))

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


def _write_place(place: Place) -> str:
    return "\t".join(str(part) for part in place)


def _read_place(text: str) -> Place:
    at, device, device_seq, seq = text.split("\t")
    return at, device, int(device_seq), int(seq)
