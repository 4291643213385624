"""Facts become state: pure, the same for the same facts in whatever order they came.

Facts taken back are left out before the folding begins, so undo needs no inverse.
`fold(a + b)` is `fold(b, start=fold(a))` wherever every fact of b counts after those
of a and takes none of them back; `record.follow` sees to it that it asks only then.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Sequence
from datetime import timedelta

from rivetwright.record.chain import Entry
from rivetwright.record.fold_holes import HOLE_KINDS
from rivetwright.record.fold_shop import SHOP_KINDS
from rivetwright.record.kinds import OPENING_DEVICE, PlanIssued, Undone
from rivetwright.record.order import placed_on, read_utc
from rivetwright.record.state import Flag, LastFact, State
from rivetwright.record.telling import Telling

FAR_CLOCK_MS = 24 * 60 * 60 * 1000
AHEAD_MAX = timedelta(minutes=2)
APPLY = {**HOLE_KINDS, **SHOP_KINDS}


def fold(entries: Iterable[Entry], start: State | None = None) -> State:
    """What the record says after these entries.

    Args:
        entries: in any order, none twice.
        start: what it said before them; it is left as it is.
    """
    state = copy.deepcopy(start) if start is not None else State()
    return fold_onto(state, list(entries))


def fold_onto(state: State, entries: Sequence[Entry]) -> State:
    """The same, changing the state it is given."""
    placed = placed_on(entries, state.ends)
    back = taken_back([entry for _, entry in placed])
    ids = {entry.fact.id for _, entry in placed}
    for place, entry in placed:
        told = Telling(state, entry, place[0])
        _look_at(told, ids)
        if entry.fact.id not in back and not isinstance(entry.fact.body, Undone):
            APPLY[type(entry.fact.body)](told, entry.fact.body)
            _remember(told)
        counted = max(state.ends.get(entry.fact.device, (0, ""))[0], place[2])
        state.ends[entry.fact.device] = (counted, place[0])
        state.last_place = max(state.last_place, place)
    for entry in entries:
        if entry.seq > state.position:
            state.position, state.digest = entry.seq, entry.digest
    return state


def _remember(told: Telling) -> None:
    """What this person recorded last, so that it can be taken back."""
    fact = told.fact
    if not fact.assembly or fact.device.startswith(OPENING_DEVICE):
        return
    last = told.assembly.last.get(fact.person)
    if last is None or (last.at, last.fact) <= (told.at, fact.id):
        holes = getattr(fact.body, "holes", ())
        told.assembly.last[fact.person] = LastFact(fact.id, fact.kind, holes, told.at)


def taken_back(ordered: Sequence[Entry]) -> set[str]:
    """Ids of the facts that no longer count; taking back an undo brings them back."""
    back: set[str] = set()
    for entry in reversed(ordered):
        body = entry.fact.body
        if isinstance(body, Undone) and entry.fact.id not in back:
            back.add(body.fact)
    return back


def _look_at(told: Telling, ids: set[str]) -> None:
    """Flag what is odd about a fact, whatever it says."""
    fact, state = told.fact, told.state
    if state.ends.get(fact.device, (0, ""))[0] == fact.device_seq:
        told.flag(
            "overlapping-device", f"{fact.device} counted {fact.device_seq} twice"
        )
    issued = state.assembly(fact.assembly).revision
    is_older = 0 < fact.revision < issued
    if is_older and not isinstance(fact.body, PlanIssued):
        told.flag("older-revision", f"revision {fact.revision}, issued is {issued}")
    if told.entry.behind_ms:
        told.flag("clock-back", f"{told.entry.behind_ms / 1000:.0f} s set back")
    if abs(fact.clock_ms) > FAR_CLOCK_MS:
        told.flag("far-clock", f"{fact.clock_ms / 3_600_000:.0f} h off")
    elif read_utc(told.at) > read_utc(told.entry.arrived) + AHEAD_MAX:
        told.flag("far-clock", f"happened {told.at}, arrived {told.entry.arrived}")
    if isinstance(fact.body, Undone) and fact.body.fact not in ids:
        told.flag("undone-unknown", fact.body.fact)


def flags_of(state: State, fact: str) -> list[Flag]:
    """What is odd about one fact."""
    return [flag for flag in state.flags if flag.fact == fact]
