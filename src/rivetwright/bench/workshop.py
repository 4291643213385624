"""One aircraft's folder at work: its plans, its shop, and the record of what was done.

A folder without a record works too: then what had happened is what the files say.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from threading import RLock

from rivetwright.bench.begin import Begun, plan_facts, shop_facts
from rivetwright.bench.head_history import (
    NO_HEADS,
    HeadHistory,
    head_history,
    heads_key,
)
from rivetwright.bench.now import HoleIds, answered_holes, opening_now, shop_now
from rivetwright.bench.open import Assembly, Project, form_of, open_folder
from rivetwright.engines.learning.told import HeadsTold
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.errors import NotFound, PlanRefused, Refusal, nearest_hint
from rivetwright.model.plan import Plan
from rivetwright.model.shop import Shop
from rivetwright.record.chain import Entry
from rivetwright.record.fact import Fact
from rivetwright.record.follow import Follower
from rivetwright.record.state import State
from rivetwright.record.store import Kept, Store, open_store

PLAN_ENDINGS = (".yaml", ".yml")
YAML_MEDIA = "application/yaml"
RECORD, DATABASE, PHOTOS, BACKUPS = "record", "record.sqlite", "photos", "backups"

# Time and size of a file as they stand on disk.
Seen = dict[Path, tuple[int, int]]
Clock = Callable[[], datetime]


def utc_now() -> datetime:
    """The time on this machine's clock."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Opened:
    """The folder as it was read, when that was, and files that say no format.

    `heads` are the measured heads of the record.
    """

    project: Project
    read_at: datetime
    unread: tuple[Path, ...]
    heads: HeadHistory = NO_HEADS

    def assembly(self, key: str) -> Assembly:
        """One assembly by its key.

        Raises:
            PlanRefused: it is not there, and files of the folder were refused.
            NotFound: no plan of the folder has it.
        """
        keys = [one.key for one in self.project.assemblies]
        for one in self.project.assemblies:
            if one.key == key:
                return one
        if self.project.refused:
            # Most likely the file that was just changed: its mistakes say more.
            refused = self.project.refused
            raise PlanRefused([fault for one in refused for fault in one.faults])
        raise NotFound(
            asked=f"open the assembly {key}",
            found=f"no plan of it in the folder {self.project.folder.name}",
            allowed=f"one of: {', '.join(keys) or 'none was read'}"
            + nearest_hint(key, keys),
            do="choose one from the list of assemblies",
        )


class Workshop:
    """A folder of plans, read again when a file in it changes, and its record."""

    def __init__(self, folder: Path, database: str = "", clock: Clock = utc_now):
        self.folder = folder
        self.clock = clock
        self._database = database
        self.lock = RLock()
        self._seen: Seen = {}
        self._digest = b""
        self._read: Opened | None = None
        self._now: Opened | None = None
        self._now_at = -1
        self._heads: tuple[object, HeadHistory] | None = None
        self._ids: dict[tuple[str, int], HoleIds] = {}
        self._project = ""
        self.store: Store | None = None
        self._follower: Follower | None = None
        if self._database or self.database_file.is_file():
            self._open_record()

    @property
    def database_file(self) -> Path:
        """Where the record lies unless a database is named."""
        return self.folder / RECORD / DATABASE

    @property
    def photo_folder(self) -> Path:
        """Where photos lie."""
        return self.folder / RECORD / PHOTOS

    @property
    def backup_folder(self) -> Path:
        """Where backups lie unless another place is named."""
        return self.folder / RECORD / BACKUPS

    @property
    def is_shared(self) -> bool:
        """Whether other programs may write in the same record."""
        return bool(self._database)

    @property
    def has_record(self) -> bool:
        """Whether the record was begun."""
        return self.store is not None

    # --- plans -------------------------------------------------------------------

    def now(self) -> Opened:
        """The folder as it stands on disk, with what the record says.

        Raises:
            Refusal: the folder, or a file in it, cannot be read.
        """
        with self.lock:
            read = self.read()
            state = self.state()
            if self.store is None:
                return read
            if self._now is None or self._now_at != state.position:
                self._now = self._with_record(read, state)
                self._now_at = state.position
            return self._now

    def read(self) -> Opened:
        """The folder as it stands on disk, without the record.

        Time and size are looked at each time, the contents only where these moved.

        Raises:
            Refusal: the folder, or a file in it, cannot be read.
        """
        with self.lock:
            try:
                return self._look()
            except OSError as problem:
                raise Refusal(
                    asked=f"read the folder {self.folder}",
                    found=f"{problem.strerror or problem}: {problem.filename}",
                    allowed="a folder whose plan files this program may read",
                    do="mend the folder or the rights of the file, then load again",
                ) from problem

    def known(self) -> Opened:
        """The folder as it was last read; what a mark is about does not move."""
        return self._read or self.read()

    def _look(self) -> Opened:
        seen = {path: _stamp(path) for path in _written_files(self.folder)}
        if self._read and seen == self._seen:
            return self._read
        digest = _digest(seen)
        if not self._read or digest != self._digest:
            read_at = datetime.now().astimezone()
            unread = tuple(path for path in seen if not form_of(path))
            self._read = Opened(open_folder(self.folder), read_at, unread)
            self._now = None
            self._ids = {}
        self._seen, self._digest = seen, digest
        return self._read

    def _with_record(self, read: Opened, state: State) -> Opened:
        """The same plans, with what the record says instead of their openings."""
        old = (
            {one.key: one for one in self._now.project.assemblies} if self._now else {}
        )
        shop = shop_now(read.project.shop, state)
        fresh = [
            self._assembly_now(one, old.get(one.key), shop, state)
            for one in read.project.assemblies
        ]
        heads = self._heads_now(fresh, shop, state)
        told = [_with_told(one, heads.told) for one in fresh]
        project = replace(read.project, assemblies=tuple(told), shop=shop)
        return replace(read, project=project, heads=heads)

    def _heads_now(
        self, assemblies: Sequence[Assembly], shop: Shop | None, state: State
    ) -> HeadHistory:
        """All heads of the record; read again where one was added, or a rivet left."""
        key = shop, self._digest, heads_key(state)
        if self._heads is None or self._heads[0] != key:
            plans = {
                one.worked_plan.worked.plan.id: one.worked_plan
                for one in reversed(assemblies)
            }
            self._heads = key, head_history(plans.values(), shop, state)
        return self._heads[1]

    def _assembly_now(
        self, read: Assembly, before: Assembly | None, shop: Shop | None, state: State
    ) -> Assembly:
        """One assembly, worked out anew where what had happened, or a tool, moved."""
        worked = read.worked_plan.worked
        plan = worked.plan
        if plan.id in state.openings:
            others = [one.part for one in plan.opening.deliveries]
            opening = opening_now(HoleIds(worked.holes), state, others)
            plan = replace(plan, opening=opening)
        for there in (before, read):
            if there and _is_of(there.worked_plan, plan, shop):
                found = there
                break
        else:
            found = replace(read, worked_plan=work_out(plan, shop=shop))
        if plan.id not in state.openings:
            return found
        answered = answered_holes(found.worked_plan, state)
        if answered == found.worked_plan.answered:
            return found
        worked_plan = replace(found.worked_plan, answered=answered)
        return replace(found, worked_plan=worked_plan)

    def worked_plan(self, plan_id: str, revision: int = 0) -> WorkedPlan:
        """A plan as it was last read, of one revision where the folder has it.

        Raises:
            NotFound: the folder has no such plan.
        """
        with self.lock:
            read = self.known()
            found = read.assembly(plan_id).worked_plan
            for one in read.project.assemblies:
                plan = one.worked_plan.worked.plan
                if (plan.id, plan.revision) == (plan_id, revision):
                    found = one.worked_plan
            return found

    def hole_ids(self, plan_id: str, revision: int = 0) -> HoleIds:
        """Holes of a plan by permanent id, of one revision where the folder has it.

        Raises:
            NotFound: the folder has no such plan.
        """
        with self.lock:
            worked_plan = self.worked_plan(plan_id, revision)
            if (plan_id, revision) not in self._ids:
                self._ids[plan_id, revision] = HoleIds(worked_plan.worked.holes)
            return self._ids[plan_id, revision]

    @property
    def plan_ids(self) -> tuple[str, ...]:
        """Ids of the plans of the folder."""
        read = self.known()
        return tuple(one.key for one in read.project.assemblies if one.bulletin is None)

    @property
    def project_id(self) -> str:
        """The aircraft's permanent id: that of the folder's record, where it has one.

        So a plan that cannot be read, or one of another aircraft put beside it,
        leads away from no record that was begun.

        Raises:
            NotFound: no plan was read, and there is no record either.
        """
        if self._project:
            return self._project
        own = self.store.projects() if self.store and not self.is_shared else []
        plans = [one.worked_plan.worked.plan for one in self.known().project.assemblies]
        for found in [*own, *(plan.project.id for plan in plans)]:
            self._project = found if self.store else ""
            return found
        raise NotFound(
            asked="keep a record",
            found=f"no plan in the folder {self.folder.name}",
            allowed="a folder with at least one plan that can be read",
            do="write a plan first, or mend the one that was refused",
        )

    @property
    def builder(self) -> str:
        """Id of the person who builds: the first builder of the shop file."""
        shop = self.known().project.shop
        for person in shop.people if shop else ():
            if person.role == "builder":
                return person.id
        return "builder"

    @property
    def time_zone(self) -> str:
        """The time zone in which days begin and end; UTC where none is named."""
        shop = self.known().project.shop
        return (shop.time_zone if shop else "") or "UTC"

    # --- record ------------------------------------------------------------------

    def begin(self) -> bool:
        """Begin the record from what the files say; False where nothing was new.

        Raises:
            Refusal: there is no plan, or the record cannot be written.
        """
        with self.lock:
            project = self.project_id
            if self.store is None:
                self._open_record()
            assert self.store is not None
            state = self.state()
            taken = set(state.openings)
            begun = Begun(project, self.builder, self.clock(), state.position)
            facts: list[Fact] = []
            read = self.read().project
            for assembly in read.assemblies:
                plan = assembly.worked_plan.worked.plan
                if assembly.bulletin is None and plan.id not in taken:
                    raw = assembly.file.read_bytes()
                    digest = self.store.put_document(YAML_MEDIA, raw)
                    ids = self.hole_ids(plan.id)
                    facts += plan_facts(ids, begun, digest)
            if read.shop and "shop" not in taken:
                digest = hashlib.sha256(repr(read.shop).encode()).hexdigest()
                facts += shop_facts(read.shop, begun, digest)
            for some in _by_assembly(facts):
                self.store.append(some)
            return bool(facts)

    def append(self, facts: Sequence[Fact]) -> list[Kept]:
        """Put facts into the record; on disk when this returns.

        Raises:
            NotFound: the record was not begun.
            StaleDecision: a decision was made without the newest facts.
            StoreRefused: the record cannot be written.
        """
        return self.begun().append(facts)

    def begun(self) -> Store:
        """The record's store.

        Raises:
            NotFound: the record was not begun.
        """
        if self.store is None:
            raise NotFound(
                asked="write in the record",
                found="no record in this folder yet",
                allowed="a record that was begun",
                do="begin it on the bench page, or with rivetwright record begin",
            )
        return self.store

    def state(self) -> State:
        """What the record says now; an empty state where none was begun."""
        with self.lock:
            return self._follower.state() if self._follower else State()

    def position(self) -> int:
        """Number of facts in the record."""
        if self.store is None:
            return 0
        return self.store.head(self.project_id).seq

    def put_document(self, media: str, content: bytes) -> str:
        """Keep a document for good; gives its digest."""
        return self.begun().put_document(media, content)

    def document(self, digest: str) -> tuple[str, bytes] | None:
        """A document that was kept."""
        return self.begun().document(digest)

    def last_device_seq(self, device: str) -> int:
        """How far a device has counted."""
        return self.begun().last_device_seq(self.project_id, device)

    def position_of(self, fact: str) -> int | None:
        """Where in the record a fact stands; None where it is not."""
        return self.begun().position_of(self.project_id, fact)

    def entries(self, after: int = 0) -> Iterable[Entry]:
        """Facts after a position, in the order in which they arrived."""
        return self.begun().entries(self.project_id, after)

    def _open_record(self) -> None:
        place = self._database or self.database_file
        self.store = open_store(place, clock=self.clock)
        self._follower = Follower(self.store, self.project_id)

    def close(self) -> None:
        """Let go of the record, so that another may write in it."""
        with self.lock:
            if self.store is not None:
                self.store.close()
            self.store = self._follower = None
            self._project = ""


def _with_told(assembly: Assembly, told: HeadsTold) -> Assembly:
    """An assembly with what measured heads tell; the same where that is the same."""
    if assembly.worked_plan.told is told:
        return assembly
    return replace(assembly, worked_plan=replace(assembly.worked_plan, told=told))


def _is_of(worked_plan: WorkedPlan, plan: Plan, shop: Shop | None) -> bool:
    """Whether a worked-out plan is of this opening and these tools."""
    worked = worked_plan.worked
    return worked.plan.opening == plan.opening and worked.shop == shop


def _by_assembly(facts: Sequence[Fact]) -> list[list[Fact]]:
    """Facts in runs of one assembly: a decision is judged against its own."""
    runs: dict[str, list[Fact]] = {}
    for fact in facts:
        runs.setdefault(fact.assembly, []).append(fact)
    return list(runs.values())


def _written_files(folder: Path) -> list[Path]:
    """Every file of the folder that may be a plan, a shop or a bulletin."""
    return sorted(
        path
        for path in folder.iterdir()
        if path.suffix in PLAN_ENDINGS and path.is_file()
    )


def _stamp(path: Path) -> tuple[int, int]:
    stat = path.stat()
    return stat.st_mtime_ns, stat.st_size


def _digest(seen: Seen) -> bytes:
    """SHA-256 over names and contents of the files."""
    whole = hashlib.sha256()
    for path in seen:
        whole.update(path.name.encode() + b"\0")
        whole.update(hashlib.sha256(path.read_bytes()).digest())
    return whole.digest()
