"""Taking a rivet out at the bench, and what goes into the hole once it is out."""

from __future__ import annotations

from rivetwright.bench.heads import Heads, called_now
from rivetwright.engines.heads.decide import Decision, History, decide_hole
from rivetwright.engines.heads.entry import Look
from rivetwright.engines.heads.next_gates import Gated, Row, next_size_gates
from rivetwright.engines.heads.removal import RemovalCard, removal_card
from rivetwright.record.kinds import STOCK
from rivetwright.record.state import HoleNow
from rivetwright.standards.codes import RivetCode

# Looks at which a drill wanders off the manufactured head.
DAMAGED = frozenset({Look.TOOL_MARK, Look.SHALLOW_MARK, Look.CUT})


def removal_of(heads: Heads, hole: int) -> RemovalCard | None:
    """The card for taking out the rivet of a hole; None where it is no solid one."""
    now = heads.now(hole)
    called = called_now(heads.worked, hole, now.rivet.callout if now.rivet else "")
    if called is None:
        return None
    looks = now.heads[-1].looks if now.heads else ()
    is_damaged = any(one in DAMAGED for one in looks)
    return removal_card(called, is_damaged=is_damaged, removed_count=now.removed_count)


def empty_hole(heads: Heads, hole: int, hole_mm: float) -> Decision | None:
    """What goes into a hole whose rivet is out; None where no solid one is called for.

    Args:
        heads: the heads of an assembly.
        hole: the hole's index.
        hole_mm: the hole as measured [mm].
    """
    called = called_now(heads.worked, hole)
    if called is None:
        return None
    return decide_hole(
        hole_mm,
        called.hole_mm.high,
        gates_of(heads, hole),
        is_flush=called.code.is_flush,
        history=History(heads.now(hole).removed_count),
    )


def gates_of(heads: Heads, hole: int) -> tuple[Gated, ...]:
    """What the next size needs at a hole; empty where no solid rivet is called for."""
    if called_now(heads.worked, hole) is None:
        return ()
    stock = {
        name: one.on_hand
        for (what, name), one in heads.state.stock.items()
        if what == STOCK and one.on_hand is not None
    }
    return next_size_gates(heads.worked, hole, row_of(heads, hole), stock or None)


def row_of(heads: Heads, hole: int) -> Row:
    """What the record says of the oversize rivets of a hole's row."""
    columns = heads.ids.holes
    row = int(columns.row[hole])
    first, end = int(columns.row_start[row]), int(columns.row_start[row + 1])
    larger = [is_oversize(heads, at) for at in range(first, end)]
    beside, at = 0, hole - first
    for way in (-1, 1):
        k = at + way
        while 0 <= k < len(larger) and larger[k]:
            beside, k = beside + 1, k + way
    return Row(end - first, sum(larger), beside)


def is_oversize(heads: Heads, hole: int) -> bool:
    """Whether a hole was opened up, or a larger rivet than drawn sits in it."""
    now: HoleNow = heads.now(hole)
    if now.drill:
        return True
    called = called_now(heads.worked, hole)
    if called is None or now.rivet is None:
        return False
    really = called_now(heads.worked, hole, now.rivet.callout)
    assert really is not None
    code: RivetCode = really.code
    return code.diameter_32nds > called.code.diameter_32nds
