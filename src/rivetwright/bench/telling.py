"""What a live page is told of a new fact: which holes to paint, and that it came."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rivetwright.bench.now import HoleIds, hole_states
from rivetwright.bench.workshop import Workshop
from rivetwright.record.chain import Entry
from rivetwright.record.fact import Fact
from rivetwright.record.kinds import HoldLifted, Undone
from rivetwright.record.state import State


def told(workshop: Workshop, entry: Entry) -> dict[str, Any]:
    """A fact for live pages: position, assembly, kind, device, holes as they are now.

    Taking back tells of every hole, for it may change any.
    """
    fact = entry.fact
    painted: dict[str, str] = {}
    with workshop.lock:
        if fact.assembly in workshop.plan_ids:
            ids = workshop.hole_ids(fact.assembly, fact.revision)
            state = workshop.state()
            holes = _changed(ids, state, fact)
            painted = hole_states(ids, state, holes)
    return {
        "seq": entry.seq,
        "assembly": fact.assembly,
        "kind": fact.kind,
        "device": fact.device,
        "painted": painted,
    }


def _changed(ids: HoleIds, state: State, fact: Fact) -> Iterable[int]:
    """Holes that may look otherwise after a fact."""
    if isinstance(fact.body, Undone):
        return range(len(ids.holes))
    if isinstance(fact.body, HoldLifted):
        hold = state.assembly(fact.assembly).holds.get(fact.body.hold)
        return ids.indices(hold.holes) if hold else ()
    return ids.indices(getattr(fact.body, "holes", ()))
