"""A day's marks of two phones, sent through a bad network, arrive exactly once."""

from __future__ import annotations

import random
import shutil
import tempfile
from collections.abc import Sequence
from contextlib import closing
from dataclasses import replace
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.bench.keep import Sender, keep
from rivetwright.bench.workshop import Workshop
from rivetwright.record import chain
from rivetwright.record.fact import Fact
from rivetwright.record.fold import fold
from rivetwright.record.state import State
from rivetwright.record.store import Store
from tests.conftest import ROOT
from tests.fault.bench_client import mark_of
from tests.fault.made_facts import PROJECT, made_facts
from tests.fault.opened import open_store
from tests.fault.phones import Phone, empty_all

NOWHERE = ("", "", 0, 0)
DEVICES = ("phone-one", "phone-two")
days = st.tuples(
    st.integers(200, 400), st.integers(200, 400), st.integers(0, 2**32 - 1)
)


def arrived_state(store: Store) -> State:
    """What a record says, apart from when things arrived."""
    state = fold(store.entries(PROJECT))
    return replace(state, digest="", flags=[], last_place=NOWHERE)


@settings(max_examples=12)
@given(days)
def test_a_day_of_two_phones_arrives_exactly_once(day: tuple[int, int, int]) -> None:
    """Lost answers, doubles and late batches leave every mark there once.

    The law: the record holds exactly the marks made, each under one position, and
    says the same as one into which they came in order and over a good network.
    """
    one_count, two_count, seed = day
    marks = [
        made_facts(device, count)
        for device, count in zip(DEVICES, (one_count, two_count), strict=True)
    ]
    with tempfile.TemporaryDirectory() as folder:
        with open_store(Path(folder) / "bad.sqlite") as store:
            positions: dict[str, int] = {}

            def send(batch: Sequence[Fact]) -> set[str]:
                for kept in store.append(batch):
                    assert positions.setdefault(kept.id, kept.seq) == kept.seq
                return {one.id for one in batch}

            phones = [Phone(list(made)) for made in marks]
            empty_all(phones, send, random.Random(seed))
            entries = list(store.entries(PROJECT))
            assert chain.verify(entries) == store.head(PROJECT)
            bad = arrived_state(store)
        with open_store(Path(folder) / "good.sqlite") as store:
            for made in marks:
                store.append(made)
            good = arrived_state(store)
    arrived = [entry.fact for entry in entries]
    assert len(arrived) == one_count + two_count
    assert {one.id: one for one in arrived} == {
        one.id: one for made in marks for one in made
    }
    assert [entry.seq for entry in entries] == list(range(1, len(entries) + 1))
    assert bad == good


@settings(max_examples=3)
@given(st.integers(0, 2**32 - 1))
def test_a_day_of_two_phones_passes_the_bench_exactly_once(seed: int) -> None:
    """So it is where the bench looks at each mark before it is kept.

    A mark sent again is not judged a second time.
    """
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as place:
        folder = shutil.copytree(ROOT / "examples" / "ostrel", Path(place) / "plans")
        with closing(Workshop(folder)) as workshop:
            workshop.begin()
            marks = [
                [replace(one, assembly="root-rib") for one in made_facts(device, 200)]
                for device in DEVICES
            ]

            def send(batch: Sequence[Fact]) -> set[str]:
                sender = Sender(batch[0].device, batch[0].person)
                answer = keep(workshop, sender, [mark_of(one) for one in batch])
                assert answer.refused == ()
                return {one.id for one in answer.taken}

            empty_all([Phone(list(made)) for made in marks], send, chance)
            kept = [entry.fact for entry in workshop.entries()]
    arrived = sorted(one.id for one in kept if one.device in DEVICES)
    assert arrived == sorted(one.id for made in marks for one in made)


def test_a_batch_with_an_id_twice_is_kept_once(tmp_path: Path) -> None:
    """The same mark twice in one batch has one position, and one entry."""
    mark = made_facts(DEVICES[0], 1)[0]
    with open_store(tmp_path / "record.sqlite") as store:
        first, second = store.append([mark, mark])
        assert (first.seq, second.seq) == (1, 1)
        assert (first.is_new, second.is_new) == (True, False)
        assert [entry.fact for entry in store.entries(PROJECT)] == [mark]
