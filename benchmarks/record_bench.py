"""How quick the record is: appends beside bare commits, opening, marks over HTTP, taps.

The disk decides most of it and is not the same twice, so what is compared is measured
in turns in the same run.
"""

from __future__ import annotations

import json
import secrets
import shutil
import sqlite3
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import httpx

from benchmarks.record_pages import measure_taps
from benchmarks.records import PROJECT, made_fact, made_record, now
from benchmarks.report import ROOT, Entry
from benchmarks.served import served
from rivetwright.record.fold import fold
from rivetwright.record.follow import Follower
from rivetwright.record.store import Store, open_store

TURNS, TURN = 12, 100
HTTP_MARKS = 400
DEVICES, MARKS_EACH = 50, 20
MILLION = 1_000_000


def share(times: list[float], part: float) -> float:
    """The time that this part of all times does not exceed [the unit of the times]."""
    return sorted(times)[min(len(times) - 1, int(part * len(times)))]


def clocked(act: Callable[[], object]) -> float:
    """How long something takes [ms]."""
    begin = time.perf_counter()
    act()
    return (time.perf_counter() - begin) * 1000


# --- appends beside bare commits ----------------------------------------------------


def bare_database(file: Path) -> sqlite3.Connection:
    """SQLite as one would use it bare: a log table, write-ahead log, full syncing."""
    bare = sqlite3.connect(file, isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    bare.execute("CREATE TABLE log (seq INTEGER PRIMARY KEY, stored BLOB)")
    return bare


def bare_commit(bare: sqlite3.Connection, stored: bytes) -> None:
    """One bare commit."""
    bare.execute("BEGIN IMMEDIATE")
    bare.execute("INSERT INTO log (stored) VALUES (?)", (stored,))
    bare.execute("COMMIT")


def appends(folder: Path) -> tuple[Entry, list[float]]:
    """Appends and bare commits of the same bytes, in turns."""
    bare = bare_database(folder / "bare.sqlite")
    store = open_store(folder / "record" / "record.sqlite", clock=now)
    ours: list[float] = []
    theirs: list[float] = []
    number = 0
    stored = b"x" * 700
    for _ in range(TURNS):
        theirs += [clocked(lambda: bare_commit(bare, stored)) for _ in range(TURN)]
        for _ in range(TURN):
            fact = made_fact(number)
            ours.append(clocked(lambda fact=fact: store.append([fact])))  # type: ignore[misc]
            number += 1
    store.close()
    bare.close()
    ratio = sum(theirs) / sum(ours)
    for name, times in (("append", ours), ("bare commit", theirs)):
        print(
            f"{name}: {1000 * len(times) / sum(times):.0f} a second, "
            f"p50 {share(times, 0.5):.3f} ms, p99 {share(times, 0.99):.3f} ms"
        )
    beside = {
        "append_p50_ms": share(ours, 0.5),
        "append_p99_ms": share(ours, 0.99),
        "bare_commit_p50_ms": share(theirs, 0.5),
        "bare_commit_p99_ms": share(theirs, 0.99),
    }
    return Entry("record_append_rate_ratio", ratio, beside), ours


# --- opening a long record ----------------------------------------------------------


def opening(folder: Path, count: int) -> Entry:
    """A record of so many facts, from the closed file to the state of every hole."""
    file = folder / "long" / "record.sqlite"
    begin = time.perf_counter()
    with made_record(file, count) as store:
        Follower(store, PROJECT).state()
    made_s = time.perf_counter() - begin
    begin = time.perf_counter()
    with open_store(file, clock=now) as store:
        state = Follower(store, PROJECT).state()
        opened_s = time.perf_counter() - begin
        begin = time.perf_counter()
        whole = fold(store.entries(PROJECT))
        folded_s = time.perf_counter() - begin
    assert whole == state, "the snapshot agrees with the whole fold"
    print(
        f"{count} facts: made in {made_s:.1f} s, opened in {opened_s:.2f} s, "
        f"folded whole in {folded_s:.1f} s"
    )
    beside = {"facts": count, "whole_fold_s": folded_s, "holes": 15_000}
    return Entry("record_open_1000000_facts_seconds", opened_s, beside)


# --- over HTTP ----------------------------------------------------------------------


def demo_folder(folder: Path) -> Path:
    """A copy of the demo to serve."""
    shutil.copytree(ROOT / "examples" / "ostrel", folder)
    return folder


def mark(number: int) -> dict[str, object]:
    """A note on the aileron, as the page's script sends it."""
    return {
        "fact": 1,
        "id": secrets.token_hex(16),
        "kind": "note-written",
        "version": 1,
        "assembly": "aileron",
        "device_seq": number,
        "happened": "2026-11-25T19:00:00.000Z",
        "revision": 1,
        "saw": 0,
        "body": {"text": f"made-up note {number}"},
    }


def post(client: httpx.Client, said: dict[str, object]) -> list[str]:
    """Send one mark; the ids that are on the disk."""
    text = json.dumps({"marks": [said]})
    answer = client.post("/api/marks", content=text, headers={"X-Rivetwright": "mark"})
    return [one["id"] for one in answer.raise_for_status().json()["kept"]]


def over_http(folder: Path, appended: list[float]) -> list[Entry]:
    """One device alone beside the bare append; then fifty at once."""
    with (
        served(demo_folder(folder / "alone")) as address,
        httpx.Client(base_url=address) as client,
    ):
        client.get("/")
        times = [
            clocked(lambda k=k: post(client, mark(k)))  # type: ignore[misc]
            for k in range(1, HTTP_MARKS + 1)
        ]
    extra = share(times, 0.5) - share(appended, 0.5)
    print(f"a mark over HTTP: p50 {share(times, 0.5):.2f} ms, {extra:.2f} ms more")
    alone = {
        "http_p50_ms": share(times, 0.5),
        "http_p99_ms": share(times, 0.99),
        "append_p50_ms": share(appended, 0.5),
    }
    with served(demo_folder(folder / "fifty")) as address:
        sent, kept, waits, whole_s = _fifty(address)
    found = _found(folder / "fifty")
    lost = len([one for one in sent if found.count(one) != 1])
    print(
        f"{DEVICES} devices at once: {len(sent)} marks in {whole_s:.1f} s, "
        f"p50 {share(waits, 0.5):.0f} ms, p99 {share(waits, 0.99):.0f} ms, {lost} lost"
    )
    assert sorted(kept) == sorted(sent), "every mark was acknowledged"
    fifty = {
        "marks": len(sent),
        "marks_a_second": len(sent) / whole_s,
        "p50_ms": share(waits, 0.5),
        "p99_ms": share(waits, 0.99),
    }
    return [
        Entry("record_http_mark_extra_p50_ms", extra, alone),
        Entry("record_fifty_devices_lost_count", lost, fifty),
    ]


def _fifty(address: str) -> tuple[list[str], list[str], list[float], float]:
    """Marks sent and acknowledged by fifty devices at once, how long each waited."""
    sent: list[str] = []
    kept: list[str] = []
    waits: list[float] = []
    begin = threading.Barrier(DEVICES + 1)

    def device() -> None:
        with httpx.Client(base_url=address, timeout=60) as client:
            client.get("/api/now")
            begin.wait()
            for k in range(1, MARKS_EACH + 1):
                said = mark(k)
                sent.append(str(said["id"]))
                waits.append(
                    clocked(lambda said=said: kept.extend(post(client, said)))  # type: ignore[misc]
                )

    threads = [threading.Thread(target=device) for _ in range(DEVICES)]
    for thread in threads:
        thread.start()
    begin.wait()
    at = time.perf_counter()
    for thread in threads:
        thread.join()
    return sent, kept, waits, time.perf_counter() - at


def _found(folder: Path) -> list[str]:
    """Ids of the facts of a served folder's record, once it is served no more."""
    file = folder / "record" / "record.sqlite"
    with open_store(file, clock=now) as store:
        return [entry.fact.id for entry in _entries(store)]


def _entries(store: Store) -> Iterator:  # type: ignore[type-arg]
    for project in store.projects():
        yield from store.entries(project)


def measure(is_quick: bool) -> list[Entry]:
    """Every figure of the record; quick opens a shorter one."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rate, appended = appends(folder)
        entries = [rate, opening(folder, MILLION // 20 if is_quick else MILLION)]
        entries += over_http(folder, appended)
    with tempfile.TemporaryDirectory() as name:
        entries += measure_taps(Path(name))
    return entries
