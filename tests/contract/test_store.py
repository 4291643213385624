"""What every store keeps to, in SQLite and in PostgreSQL alike."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import Connection, text
from sqlalchemy.exc import DBAPIError

from rivetwright.errors import FactRefused, NotAllowed, StaleDecision, StoreRefused
from rivetwright.record import migrate
from rivetwright.record.chain import FIRST, Head, verify
from rivetwright.record.devices import MARKS, READS, Doors
from rivetwright.record.fact import Fact
from rivetwright.record.fold import fold
from rivetwright.record.follow import Follower
from rivetwright.record.kinds import HoldLifted, HoleWorked, RivetsSet, Undone
from rivetwright.record.store import Store
from rivetwright.record.tables import absent_triggers
from tests.contract.conftest import Clock

PROJECT = "3d1f7a52-6c0e-4b8e-9a41-7be0c2d5f018"
Open = Callable[[], Store]


def fact(number: int, device: str = "phone", **more: object) -> Fact:
    """A rivet set, told apart by its number."""
    made = Fact(
        id=f"{number:032x}",
        project=PROJECT,
        assembly="aileron",
        person="builder",
        device=device,
        device_seq=number,
        happened=f"2026-11-25T19:{number // 60 % 60:02}:{number % 60:02}.000Z",
        body=RivetsSet((f"row:{number}",), "MS20470AD4-4"),
    )
    return replace(made, **more)  # type: ignore[arg-type]


def test_empty_store_has_no_facts(opened: Open) -> None:
    """A chain begins with 64 noughts and nothing."""
    store = opened()
    assert store.head(PROJECT) == Head(0, FIRST)
    assert not list(store.entries(PROJECT))
    assert not store.projects()


def test_facts_come_back_as_they_were_put(opened: Open, clock: Clock) -> None:
    """In order, chained, with the time of arrival, also after opening again."""
    store = opened()
    put = [fact(1), fact(2), fact(3)]
    assert [one.seq for one in store.append(put)] == [1, 2, 3]
    store.close()
    again = opened()
    entries = list(again.entries(PROJECT))
    assert [one.fact for one in entries] == put
    assert {one.arrived for one in entries} == {"2026-11-25T19:00:00.000Z"}
    assert verify(entries) == again.head(PROJECT)
    assert again.projects() == [PROJECT]


def test_fact_posted_twice_is_one_fact(opened: Open) -> None:
    """The second time it is told with its old place, alone and among others."""
    store = opened()
    store.append([fact(1), fact(2)])
    again = store.append([fact(2), fact(3), fact(3)])
    assert [(one.seq, one.is_new) for one in again] == [
        (2, False),
        (3, True),
        (3, False),
    ]
    assert store.head(PROJECT).seq == 3


def test_decision_is_refused_when_somebody_recorded_since(opened: Open) -> None:
    """The phone lifted the hold having seen entry 1; the tablet set a rivet since."""
    store = opened()
    store.append([fact(1)])
    lifted = fact(9, saw=1, body=HoldLifted("D9", "the bar is here"))
    store.append([fact(2, "tablet")])
    with pytest.raises(StaleDecision) as refused:
        store.append([fact(3), lifted])
    assert "position 1; entry 2" in refused.value.found
    assert store.head(PROJECT).seq == 2, "nothing of the batch was taken"
    store.append([replace(lifted, saw=2)])


def test_own_facts_do_not_make_a_decision_stale(opened: Open) -> None:
    """What the device recorded itself it knows; so it does another assembly."""
    store = opened()
    store.append([fact(1), fact(2), fact(5, "tablet", assembly="flap")])
    store.append([fact(3, saw=0, body=HoldLifted("D9", "the bar is here"))])


def test_facts_of_two_projects_are_not_taken_together(opened: Open) -> None:
    """One chain a project, one transaction a chain."""
    other = replace(fact(2), project="another")
    with pytest.raises(FactRefused):
        opened().append([fact(1), other])


def test_each_project_has_a_chain_of_its_own(opened: Open) -> None:
    """Both count from 1, and neither holds the other's facts."""
    store = opened()
    store.append([fact(1)])
    store.append([replace(fact(1), project="another")])
    assert store.head(PROJECT).seq == store.head("another").seq == 1
    assert store.position_of("another", fact(1).id) == 1
    assert store.position_of("another", fact(2).id) is None


def test_clock_set_back_keeps_arrivals_in_order(opened: Open, clock: Clock) -> None:
    """An hour back: the mark is taken and says so; a decision is refused."""
    store = opened()
    store.append([fact(1)])
    clock.move(hours=-1)
    store.append([fact(2)])
    last = list(store.entries(PROJECT))[-1]
    assert (last.arrived, last.behind_ms) == ("2026-11-25T19:00:00.000Z", 3_600_000)
    assert [flag.code for flag in fold(store.entries(PROJECT)).flags] == ["clock-back"]
    decision = fact(3, saw=2, body=HoldLifted("D9", "here"))
    with pytest.raises(StoreRefused) as refused:
        store.append([decision])
    assert "clock" in refused.value.found
    clock.move(hours=1)
    store.append([decision])


def test_counting_of_a_device_is_known(opened: Open) -> None:
    """The largest number a device has used; 0 for one never seen."""
    store = opened()
    store.append([fact(4), fact(2)])
    assert store.last_device_seq(PROJECT, "phone") == 4
    assert store.last_device_seq(PROJECT, "tablet") == 0


def test_entries_are_given_between_two_places(opened: Open) -> None:
    """After one, up to another."""
    store = opened()
    store.append([fact(k) for k in range(1, 8)])
    assert [one.seq for one in store.entries(PROJECT, 2, 5)] == [3, 4, 5]


@pytest.mark.parametrize(
    "words",
    [
        "UPDATE facts SET arrived = ''",
        "DELETE FROM facts",
        "UPDATE documents SET media = ''",
        "DELETE FROM documents",
    ],
)
def test_facts_and_documents_cannot_be_changed(opened: Open, words: str) -> None:
    """The database itself refuses, whoever asks."""
    store = opened()
    store.append([fact(1)])
    store.put_document("text/plain", b"a plan")
    with pytest.raises(DBAPIError), store.database.writing(PROJECT) as connection:
        connection.execute(text(words))
    assert store.head(PROJECT).seq == 1


def test_document_is_found_by_its_digest(opened: Open) -> None:
    """SHA-256 of "abc" is the printed example of FIPS 180-4 (FROM MEMORY)."""
    store = opened()
    digest = store.put_document("text/plain", b"abc")
    assert digest == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert store.put_document("text/plain", b"abc") == digest
    assert store.document(digest) == ("text/plain", b"abc")
    assert store.document("0" * 64) is None


def test_snapshots_are_kept_and_thrown_away(opened: Open) -> None:
    """Newest first; one at the same place is replaced."""
    store = opened()
    store.save_snapshot(PROJECT, Head(10, "a" * 64), "x", b"one")
    store.save_snapshot(PROJECT, Head(20, "b" * 64), "y", b"two")
    store.save_snapshot(PROJECT, Head(20, "b" * 64), "y", b"three")
    assert [seq for seq, _, _ in store.snapshot_places(PROJECT)] == [20, 10]
    assert store.snapshot(PROJECT, 20) == b"three"
    store.drop_snapshots(PROJECT, [10])
    assert store.snapshot(PROJECT, 10) is None


def test_follower_keeps_up_with_late_facts_and_undo(opened: Open) -> None:
    """The state it has grown equals the whole fold, whatever comes in what order."""
    store = opened()
    follower = Follower(store, PROJECT)
    drilled = HoleWorked(("row:1-9",), "drilled")
    for some in (
        [fact(10), fact(11)],
        [fact(5, "tablet", body=drilled)],
        [fact(12, body=Undone(fact(10).id))],
        [fact(1, "old phone", body=drilled), fact(13)],
        [fact(14, body=Undone(fact(12).id))],
    ):
        store.append(some)
        assert follower.state() == fold(store.entries(PROJECT))
    assert follower.state().assembly("aileron").hole("row", 10).rivet is not None


def test_many_writers_make_one_chain(opened: Open) -> None:
    """Eight threads of 20 facts each: 160 in one chain that verifies."""
    store = opened()

    def write(device: int) -> None:
        for k in range(1, 21):
            store.append([fact(device * 100 + k, f"phone-{device}")])

    threads = [threading.Thread(target=write, args=(d,)) for d in range(1, 9)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    entries = list(store.entries(PROJECT))
    assert len(entries) == 160
    assert verify(entries) == store.head(PROJECT)


def test_end_of_a_chain_is_not_noted_late(
    opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A thread held up after its commit does not note an end that is past."""
    store = opened()
    writing, is_held = store._writing, threading.Event()
    other = threading.Thread(target=lambda: store.append([fact(2, "tablet")]))

    @contextmanager
    def held_up(asked: str, project: str) -> Iterator[Connection]:
        with writing(asked, project) as connection:
            yield connection
        if not is_held.is_set():
            is_held.set()
            other.start()
            other.join(timeout=0.5)

    monkeypatch.setattr(store, "_writing", held_up)
    store.append([fact(1)])
    other.join()
    assert store.head(PROJECT).seq == 2


def test_schema_is_the_one_of_the_program(opened: Open) -> None:
    """No difference between tables and migrations, and every guard is there."""
    store = opened()
    with store.database.reading() as connection:
        assert migrate.drift(connection) == []
        assert absent_triggers(connection) == []
        assert migrate.schema_of(connection) == migrate.newest_schema(connection)


def test_newer_schema_is_refused(opened: Open, place: str | Path) -> None:
    """A record made by a newer program is left alone."""
    store = opened()
    with store.database.writing(PROJECT) as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    store.close()
    with pytest.raises(StoreRefused) as refused:
        opened()
    assert "9999" in refused.value.found


def test_code_pairs_one_device_once(opened: Open, clock: Clock) -> None:
    """The second use, an old code and an unknown one are refused."""
    doors = Doors(opened())
    code = doors.make_code(MARKS, "friend")
    assert doors.is_open(code)
    device, token = doors.pair(code, "  a   phone ")
    assert (device.name, device.person, device.role) == ("a phone", "friend", MARKS)
    assert doors.device_of(token) == device
    late = doors.make_code(MARKS, "friend")
    clock.move(minutes=11)
    for wrong in (code, late, "guess"):
        assert not doors.is_open(wrong)
        with pytest.raises(NotAllowed):
            doors.pair(wrong, "phone")
    assert len(doors.devices()) == 1


def test_shut_device_and_old_link_are_not_let_in(opened: Open, clock: Clock) -> None:
    """A device shut out at once; a link after its days."""
    doors = Doors(opened())
    phone, token = doors.pair(doors.make_code(MARKS, "builder"), "phone")
    _, link = doors.add("inspector", "", READS, days=30)
    assert doors.shut_out(phone.id)
    assert not doors.shut_out("unknown")
    assert doors.device_of(token) is None
    assert doors.device_of(link) is not None
    clock.move(days=31)
    assert doors.device_of(link) is None
    assert doors.device_of("") is None


def test_no_secret_is_kept(opened: Open) -> None:
    """Neither code nor token stands in the database, only their digests."""
    store = opened()
    doors = Doors(store)
    code = doors.make_code(MARKS, "builder")
    _, token = doors.pair(code, "phone")
    with store.database.reading() as connection:
        lines = [
            str(tuple(line))
            for table in ("devices", "pair_codes")
            for line in connection.execute(text(f"SELECT * FROM {table}"))
        ]
    assert len(lines) == 2
    assert not any(secret in line for line in lines for secret in (code, token))
