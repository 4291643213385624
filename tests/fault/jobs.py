"""What a child does until it is killed: marks, photos, backups, a migration.

Everything follows from the job's device and its numbers, so that a child that goes on
after a kill sends again what was never acknowledged, just as a phone does.
"""

from __future__ import annotations

import io
import os
import pickle
import random
import signal
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from PIL import Image

from rivetwright.bench.workshop import Workshop
from rivetwright.record import migrate
from rivetwright.record.backup import back_up, restore
from rivetwright.record.fact import Fact
from rivetwright.record.files import FileLayer, RealFiles
from rivetwright.record.kinds import Counted, PhotoTaken
from rivetwright.record.photos import keep_photo
from rivetwright.record.store import Store
from rivetwright.web.serve import serve
from tests.fault.events import Acknowledged, Event, Read
from tests.fault.made_facts import PROJECT, made_fact, made_facts
from tests.fault.noted_layer import noted_disk
from tests.fault.opened import open_store
from tests.fault.sqlite_shim import FINE

Tell = Callable[[str, str], None]
FOREVER = 10**9


@dataclass(frozen=True)
class Job:
    """One run at a record: where, with which files, and whom to tell what is kept.

    `after` is the number of the device's last acknowledged fact; `rounds` how many
    times to go round.
    """

    folder: Path
    device: str
    tell: Tell
    files: FileLayer
    after: int = 0
    rounds: int = FOREVER

    @property
    def place(self) -> Path:
        """The record's file."""
        return self.folder / "record" / "record.sqlite"

    @property
    def photos(self) -> Path:
        """Where its photos are."""
        return self.folder / "record" / "photos"

    def kept(self, device_seq: int) -> None:
        """Tell that a fact is kept."""
        self.tell("fact", f"{self.device}:{device_seq}")


def do_marks(job: Job) -> None:
    """Append marks, one to five at a time, some of them decisions.

    After every few the record is closed and opened again, as from one evening to the
    next: that moves everything into the main file.
    """
    at, left = job.after, job.rounds
    while left > 0:
        chance = random.Random(f"{job.device}:{at}")
        evening = min(chance.randint(2, 12), left)
        left -= evening
        with open_store(job.place) as store:
            for _ in range(evening):
                at = _mark(job, store, at, chance.randint(1, 5))


def _mark(job: Job, store: Store, after: int, size: int) -> int:
    marks = made_facts(job.device, size, after=after)
    if size == 1:
        marks = [_decision(store, job.device, after + 1)]
    store.append(marks)
    for mark in marks:
        job.kept(mark.device_seq)
    return after + size


def _decision(store: Store, device: str, device_seq: int) -> Fact:
    seen = store.head(PROJECT).seq
    return made_fact(device, device_seq, body=Counted("stock", "AN470", 40), saw=seen)


def do_photos(job: Job) -> None:
    """Keep photos, each with the fact that speaks of it."""
    with open_store(job.place) as store:
        for number in _numbers(job):
            photo = keep_photo(job.photos, made_picture(job.device, number), job.files)
            body = PhotoTaken(photo.digest, photo.media, photo.byte_count)
            store.append([made_fact(job.device, number, body=body)])
            job.kept(number)


def do_backups(job: Job) -> None:
    """Make a backup after each mark."""
    with open_store(job.place) as store:
        for number in _numbers(job):
            store.append([made_fact(job.device, number)])
            job.kept(number)
            made = back_up(job.folder, job.folder / "backups", files=job.files)
            job.tell("backup", f"{store.head(PROJECT).seq} {made}")


def _numbers(job: Job) -> range:
    return range(job.after + 1, job.after + 1 + job.rounds)


def made_picture(device: str, number: int) -> bytes:
    """A photo of coloured noise, other for each number, some 20 KB of JPEG."""
    chance = random.Random(f"{device}:{number}")
    small = Image.frombytes("RGB", (24, 16), chance.randbytes(24 * 16 * 3))
    written = io.BytesIO()
    small.resize((480, 320)).save(written, "JPEG", quality=85)
    return written.getvalue()


def do_begin(job: Job) -> None:
    """Begin the record of a folder of plans, then mark on in it."""
    with closing(Workshop(job.folder)) as workshop:
        workshop.begin()
        job.tell("begun", str(workshop.position()))
    do_marks(job)


def do_restore(job: Job) -> None:
    """Put the newest backup in the record's place, then mark on in it."""
    restore(max((job.folder / "backups").iterdir()), job.folder, files=job.files)
    job.tell("restored", "")
    do_marks(job)


def do_serve(job: Job) -> None:
    """Serve a folder as the command does; that prints its address."""
    job.tell("pid", str(os.getpid()))
    serve(job.folder, 0)


JOBS = {
    "marks": do_marks,
    "photos": do_photos,
    "backups": do_backups,
    "begin": do_begin,
    "restore": do_restore,
    "serve": do_serve,
}


def run(order: dict[str, Any], tell: Tell) -> None:
    """Do the job that an order names.

    `kill_at_event` ends it at that event of the disk, after writing all that went
    before to the file `events`; `schema` is a folder of schema steps to use.
    """
    if "schema" in order:
        migrate.SCHEMA = Path(order["schema"])
    job = Job(Path(order["folder"]), order["device"], tell, RealFiles(), order["after"])
    if "kill_at_event" in order:
        _run_noted(order, job)
    else:
        JOBS[order["job"]](job)


def _run_noted(order: dict[str, Any], job: Job) -> None:
    left = order["kill_at_event"]
    with noted_disk() as (shim, files):

        def judge(event: Event) -> int:
            nonlocal left
            left -= not isinstance(event, Read)
            if left == 0:
                if "events" in order:
                    Path(order["events"]).write_bytes(pickle.dumps(shim.told))
                os.kill(os.getpid(), signal.SIGKILL)
            return FINE

        def tell(what: str, named: str) -> None:
            shim.told.append(Acknowledged(what, named))
            job.tell(what, named)

        shim.judge = judge
        noted = replace(job, tell=tell, files=files)
        JOBS[order["job"]](noted)
