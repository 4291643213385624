"""A state as bytes and back; by whom it was made."""

from __future__ import annotations

import json
import zlib

from rivetwright.record.fold import fold
from rivetwright.record.kinds import STOCK, PlanIssued, RivetsSet
from rivetwright.record.snapshots import dump_state, load_state, mark
from rivetwright.record.state import State
from tests.unit.record.made import told


def test_state_reads_as_it_was_written() -> None:
    """Numbers of holes, names with a tab in them, and renamed rows come back."""
    state = fold(
        told(
            RivetsSet(("a:1-2",), "tab\tin"),
            PlanIssued(2, "d" * 64, lineage=(("a", "b"),)),
        )
    )
    loaded = load_state(dump_state(state))
    assert loaded == state
    assert loaded is not None
    assert loaded.stock[STOCK, "tab\tin"].used == 2
    assert loaded.assembly("aileron").row_now("a", 1) == "b"


def test_order_in_which_things_came_does_not_show() -> None:
    """Equal states give equal bytes."""
    one = fold(told(RivetsSet(("a:1",), "x"), RivetsSet(("b:1",), "y")))
    rows = one.assemblies["aileron"].rows
    stored = dump_state(one)
    one.assemblies["aileron"].rows = dict(reversed(rows.items()))
    assert dump_state(one) == stored


def test_snapshot_of_another_program_is_passed_over() -> None:
    """Its mark is another; bytes that are none are no state either."""
    said = json.loads(zlib.decompress(dump_state(State())))
    assert said["snapshot"] == mark()
    said["snapshot"] = "0.0.0 another"
    assert load_state(zlib.compress(json.dumps(said).encode())) is None
    for stored in (b"", b"x", zlib.compress(b"[]"), zlib.compress(b"{}")):
        assert load_state(stored) is None
