"""What a live page is told of a new fact: which holes to paint, and that it came."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.now import hole_states
from rivetwright.bench.workshop import Workshop
from rivetwright.record.chain import Entry
from rivetwright.record.kinds import Undone


def told(workshop: Workshop, entry: Entry) -> dict[str, Any]:
    """A fact for live pages: position, assembly, kind, device, holes as they are now.

    Taking back tells of every hole, for it may change any.
    """
    fact = entry.fact
    painted: dict[str, str] = {}
    with workshop.lock:
        if fact.assembly in workshop.plan_ids:
            ids = workshop.hole_ids(fact.assembly, fact.revision)
            named = getattr(fact.body, "holes", ())
            holes = (
                range(len(ids.holes))
                if isinstance(fact.body, Undone)
                else ids.indices(named)
            )
            painted = hole_states(ids, workshop.state(), holes)
    return {
        "seq": entry.seq,
        "assembly": fact.assembly,
        "kind": fact.kind,
        "device": fact.device,
        "painted": painted,
    }
