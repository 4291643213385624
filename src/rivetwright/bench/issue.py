"""Issue a revision: the plan file as it is now is stored for good, and counts.

Rows are matched by permanent id. A row whose id is gone while a new one has its name
is doubtful: it is the same row only when a person says so, and what was done to its
holes then moves with it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field

from rivetwright.bench.keep import Answer, Sender, keep_here
from rivetwright.bench.open import Assembly
from rivetwright.bench.workshop import YAML_MEDIA, Workshop
from rivetwright.errors import FactRefused, NotFound
from rivetwright.intake.plan_file import read_plan_bytes
from rivetwright.model.plan import Plan
from rivetwright.record.kinds import PlanIssued


@dataclass(frozen=True)
class Doubtful:
    """A row that may be an old one under a new id."""

    name: str
    old_id: str
    new_id: str


@dataclass(frozen=True)
class Change:
    """What issuing a plan's file would change; `content` is the file as it was read.

    `gone` are rows with something done to them that the file no longer has.
    """

    assembly: str
    issued: int
    revision: int
    digest: str
    added: tuple[str, ...]
    gone: tuple[str, ...]
    doubtful: tuple[Doubtful, ...]
    drawing: str
    content: bytes = field(repr=False)

    @property
    def is_new_number(self) -> bool:
        """Whether the file's revision number is higher than the one issued."""
        return self.revision > self.issued


def pending(workshop: Workshop, key: str) -> Change | None:
    """What would change by issuing an assembly's file; None where it is as issued.

    Raises:
        NotFound: no such assembly, or no record was begun.
    """
    with workshop.lock:
        assembly = _plain(workshop, key)
        raw = assembly.file.read_bytes()
        digest = hashlib.sha256(raw).hexdigest()
        now = workshop.state().assembly(assembly.key)
        if now.revision_digest == digest:
            return None
        # From these very bytes: the file may be written while it is looked at.
        plan = read_plan_bytes(raw, str(assembly.file))
        before = issued_plan(workshop, now.revision_digest)
        old = {row.id: row.name for row in before.rows} if before else {}
        new = {row.id: row.name for row in plan.rows}
        by_name = {row.name: row.id for row in plan.rows if row.id not in old}
        lost = {row: name for row, name in old.items() if row not in new}
        doubtful = tuple(
            Doubtful(name, row, by_name[name])
            for row, name in lost.items()
            if name in by_name and row in now.rows
        )
        unsure = {one.old_id for one in doubtful}
        return Change(
            plan.id,
            now.revision,
            plan.revision,
            digest,
            tuple(name for row, name in new.items() if row not in old),
            tuple(
                name
                for row, name in lost.items()
                if row in now.rows and row not in unsure
            ),
            doubtful,
            plan.drawing,
            raw,
        )


def _plain(workshop: Workshop, key: str) -> Assembly:
    assembly = workshop.read().assembly(key)
    if assembly.bulletin is not None:
        raise NotFound(
            asked=f"issue {key}",
            found="a plan as it is after a bulletin",
            allowed="a plan that has a file of its own",
            do="write the bulletin's changes into the plan's file first",
        )
    return assembly


def issued_plan(workshop: Workshop, digest: str) -> Plan | None:
    """The plan as it was issued last, read from what was stored."""
    stored = workshop.document(digest) if digest else None
    return read_plan_bytes(stored[1], "the plan as issued") if stored else None


def issue(
    workshop: Workshop, sender: Sender, key: str, same: Mapping[str, bool], saw: int
) -> Answer:
    """Store an assembly's file and let it count as a new revision.

    Args:
        workshop: the folder and its record.
        sender: who issues it.
        key: the assembly.
        same: for each doubtful row, by its old id, whether it is the same row.
        saw: how far the record went that was looked at.

    Raises:
        FactRefused: nothing changed, its number is not higher, or a doubtful row
            was not decided.
    """
    with workshop.lock:
        change = pending(workshop, key)
        _check(key, change, same)
        assert change is not None
        body = PlanIssued(
            change.revision,
            workshop.put_document(YAML_MEDIA, change.content),
            change.drawing,
            tuple(
                (one.old_id, one.new_id) for one in change.doubtful if same[one.old_id]
            ),
        )
        return keep_here(
            workshop,
            sender,
            body,
            assembly=change.assembly,
            revision=change.revision,
            saw=saw,
        )


def _check(key: str, change: Change | None, same: Mapping[str, bool]) -> None:
    """See that there is something to issue, and that nothing is left in doubt."""
    if change is None or not change.is_new_number:
        found = (
            "the file that was issued already"
            if change is None
            else f"revision {change.revision}, and {change.issued} was issued"
        )
        raise FactRefused(
            asked=f"issue a revision of {key}",
            found=found,
            allowed="a changed file with a higher revision number",
            do="write revision: one higher, and based_on: the one before, in it",
        )
    open_ones = [one.name for one in change.doubtful if one.old_id not in same]
    if open_ones:
        raise FactRefused(
            asked=f"issue a revision of {key}",
            found=f"rows of the same name and another id: {', '.join(open_ones)}",
            allowed="each decided by a person: the same row, or another",
            do="say for each whether it is the same row",
        )
