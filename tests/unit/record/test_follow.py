"""Snapshots: used, thinned, passed over, and never another state than the fold."""

from __future__ import annotations

import itertools
from datetime import UTC, datetime
from pathlib import Path

import pytest

from rivetwright.record import follow
from rivetwright.record.chain import Head
from rivetwright.record.fold import fold
from rivetwright.record.follow import Follower, superfluous
from rivetwright.record.kinds import RivetsSet, Undone
from rivetwright.record.snapshots import dump_state
from rivetwright.record.state import State
from rivetwright.record.store import Store, open_store
from tests.unit.record.made import PROJECT, fact

EVERY = 5


def clock() -> datetime:
    """One moment."""
    return datetime(2026, 11, 25, 23, tzinfo=UTC)


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Store:
    """A store whose state is kept every five facts."""
    monkeypatch.setattr(follow, "SNAPSHOT_EVERY", EVERY)
    return open_store(tmp_path / "record.sqlite", clock=clock)


def put(store: Store, first: int, last: int) -> None:
    """Facts by number."""
    store.append(
        [fact(k, RivetsSet((f"row:{k}",), "BD4-2")) for k in range(first, last + 1)]
    )


def test_snapshot_is_kept_and_used(store: Store) -> None:
    """Opened again only the facts after it are folded."""
    with store:
        put(store, 1, 12)
        state = Follower(store, PROJECT).state()
        assert [seq for seq, _, _ in store.snapshot_places(PROJECT)] == [12]
        put(store, 13, 14)
        again = Follower(store, PROJECT)
        assert again._from_snapshot() == state
        assert again.state() == fold(store.entries(PROJECT))


def test_snapshot_the_chain_does_not_know_is_passed_over(store: Store) -> None:
    """Of another digest, or no snapshot at all: the facts are folded instead."""
    with store:
        put(store, 1, 6)
        wrong = State(position=6, digest="a" * 64)
        place = "9\t\t0\t0"
        store.save_snapshot(PROJECT, Head(6, "a" * 64), place, dump_state(wrong))
        head = store.head(PROJECT)
        store.save_snapshot(PROJECT, Head(5, "b" * 64), place, b"rubbish")
        store.save_snapshot(PROJECT, head, place, b"rubbish")
        assert Follower(store, PROJECT).state() == fold(store.entries(PROJECT))


def test_undo_of_something_long_ago_goes_back(store: Store) -> None:
    """Past several snapshots, to the one before the fact that is taken back."""
    with store:
        follower = Follower(store, PROJECT)
        for first in range(1, 40, 4):
            put(store, first, first + 3)
            follower.state()
        store.append([fact(41, Undone(f"{3:032x}"))])
        state = follower.state()
        assert state == fold(store.entries(PROJECT))
        assert state.assembly("aileron").hole("row", 3).rivet is None


def test_late_fact_of_another_device_is_folded_where_it_belongs(store: Store) -> None:
    """A tablet that was off the network counts before what the phone did since."""
    with store:
        follower = Follower(store, PROJECT)
        for first in range(1, 30, 6):
            put(store, first, first + 5)
            follower.state()
        late = RivetsSet(("row:30",), "BD4-1")
        early = fact(1, late, device="tablet", id="a" * 32)
        store.append([early])
        state = follower.state()
        assert state == fold(store.entries(PROJECT))
        rivet = state.assembly("aileron").hole("row", 30).rivet
        assert rivet is not None
        assert rivet.callout == "BD4-2", "the phone set that hole later"


def test_snapshots_grow_thin_with_age() -> None:
    """The newest four stay, then about one for each doubling of the way back."""
    every = list(range(200_000, 0, -2000))
    gone = set(superfluous(every))
    kept = [at for at in every if at not in gone]
    assert kept[:4] == every[:4]
    assert len(kept) <= 12
    back = [kept[0] - at for at in kept[4:]]
    assert all(b >= 1.5 * a for a, b in itertools.pairwise(back))
    assert superfluous([]) == []


def test_place_of_a_device_with_tabs_in_its_name_is_read_back(store: Store) -> None:
    """The snapshot after its facts is used."""
    with store:
        some = [
            fact(k, RivetsSet((f"row:{k}",), "BD4-2"), device="a\tb\t1")
            for k in range(1, 8)
        ]
        store.append(some)
        state = Follower(store, PROJECT).state()
        assert Follower(store, PROJECT)._from_snapshot() == state


def test_long_record_is_folded_in_pieces(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Seven at once, with undo and late facts across the pieces; the tail is short."""
    monkeypatch.setattr(follow, "AT_ONCE", 7)
    monkeypatch.setattr(follow, "TAIL_MAX", 4)
    with store:
        put(store, 1, 30)
        late = RivetsSet(("row:29",), "BD4-1")
        store.append([fact(1, late, device="tablet", id="a" * 32)])
        store.append([fact(31, Undone(f"{9:032x}"))])
        put(store, 32, 58)
        assert Follower(store, PROJECT).state() == fold(store.entries(PROJECT))
