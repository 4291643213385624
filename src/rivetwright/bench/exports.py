"""The record written out with the plan's own names of holes."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from rivetwright.bench.now import HoleIds
from rivetwright.bench.open import open_folder
from rivetwright.bench.workshop import DATABASE, RECORD, utc_now
from rivetwright.record.export import Naming, as_table, as_text, by_id
from rivetwright.record.store import open_store


def exported(
    folder: Path, database: str = "", *, as_csv: bool = False
) -> Iterator[str]:
    """Lines of the record as plain text, or as CSV; also while it is served.

    Raises:
        StoreRefused: no record was begun, or it cannot be read.
        ChainBroken: a stored line is not what its digest says.
    """
    place = database or folder / RECORD / DATABASE
    naming = _naming(folder)
    with open_store(place, clock=utc_now, read_only=True) as store:
        for project in store.projects():
            entries = store.entries(project)
            if as_csv:
                yield as_table(entries, naming)
            else:
                yield from as_text(entries, naming)


def _naming(folder: Path) -> Naming:
    """How the plans of a folder name holes; by permanent id where they do not."""
    ids = {
        one.worked_plan.worked.plan.id: HoleIds(one.worked_plan.worked.holes)
        for one in open_folder(folder).assemblies
    }

    def named(assembly: str, ranges: tuple[str, ...]) -> str:
        known = ids.get(assembly)
        names = known.names(ranges) if known else ()
        return ", ".join(names) or by_id(assembly, ranges)

    return named
