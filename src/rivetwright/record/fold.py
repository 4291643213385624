"""Facts become state: pure, the same for the same facts in whatever order they came.

Facts taken back are left out before the folding begins, so undo needs no inverse.
`fold(a + b)` is `fold(b, start=fold(a))` wherever every fact of b counts after those
of a and takes none of them back; `record.follow` sees to it that it asks only then.
"""

from __future__ import annotations

import copy
from collections import Counter
from collections.abc import Iterable, Sequence

from rivetwright.record.chain import Entry
from rivetwright.record.fold_holes import HOLE_KINDS
from rivetwright.record.fold_plan import PLAN_KINDS
from rivetwright.record.fold_shop import SHOP_KINDS
from rivetwright.record.kinds import OPENING_DEVICE, PlanIssued, Undone
from rivetwright.record.order import corrected, is_far_ahead, placed_on
from rivetwright.record.rings import no_search_for_rings
from rivetwright.record.state import Flag, LastFact, State
from rivetwright.record.telling import Telling

FAR_CLOCK_MS = 24 * 60 * 60 * 1000
APPLY = {**HOLE_KINDS, **PLAN_KINDS, **SHOP_KINDS}


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
    with no_search_for_rings():
        return _fold_onto(state, entries)


def _fold_onto(state: State, entries: Sequence[Entry]) -> State:
    placed = placed_on(entries, state.ends)
    back = taken_back(entries)
    ids = {entry.fact.id for entry in entries}
    flags: list[Flag] = []
    for place, entry in placed:
        fact, at = entry.fact, place[0]
        told = Telling(state, entry, at, flags)
        end = state.ends.get(fact.device, (0, ""))[0]
        _look_at(told, ids, end)
        if fact.id not in back and not isinstance(fact.body, Undone):
            APPLY[type(fact.body)](told, fact.body)
            _remember(told)
        state.ends[fact.device] = (max(end, fact.device_seq), at)
    if placed:
        state.last_place = max(state.last_place, placed[-1][0])
    if flags:
        state.flags = sorted(state.flags + flags, key=lambda one: (one.fact, one.code))
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
        holes = told.named_now(getattr(fact.body, "holes", ()))
        told.assembly.last[fact.person] = LastFact(fact.id, fact.kind, holes, told.at)


def taken_back(entries: Iterable[Entry]) -> set[str]:
    """Ids of the facts that no longer count; taking back an undo brings them back.

    An undo counts unless one that counts takes it back. Undos that take each other
    back in a ring, which no honest device sends, do nothing.
    """
    undos = {
        entry.fact.id: entry.fact.body.fact
        for entry in entries
        if isinstance(entry.fact.body, Undone)
    }
    waits = Counter(target for target in undos.values() if target in undos)
    back: set[str] = set()
    ready = [undo for undo in undos if not waits[undo]]
    while ready:
        undo = ready.pop()
        target = undos[undo]
        is_settled = target in back
        waits[target] -= 1
        if undo not in back:
            back.add(target)
        if target in undos and not is_settled and (target in back or not waits[target]):
            ready.append(target)
    return back


def _look_at(told: Telling, ids: set[str], end: int) -> None:
    """Flag what is odd about a fact, whatever it says.

    `ids` are those folded with it; `end` is what its device counted before.
    """
    fact = told.fact
    if end == fact.device_seq:
        told.flag(
            "overlapping-device", f"{fact.device} counted {fact.device_seq} twice"
        )
    there = told.state.assemblies.get(fact.assembly)
    issued = there.revision if there is not None else 0
    is_older = 0 < fact.revision < issued
    if is_older and not isinstance(fact.body, PlanIssued):
        told.flag("older-revision", f"revision {fact.revision}, issued is {issued}")
    if told.entry.behind_ms:
        told.flag("clock-back", f"{told.entry.behind_ms / 1000:.0f} s set back")
    if abs(fact.clock_ms) > FAR_CLOCK_MS:
        told.flag("far-clock", f"{fact.clock_ms / 3_600_000:.0f} h off")
    elif is_far_ahead(told.entry):
        said, arrived = corrected(fact), told.entry.arrived
        told.flag("far-clock", f"happened {said}, arrived {arrived}")
    if isinstance(fact.body, Undone) and fact.body.fact not in ids:
        told.flag("undone-unknown", fact.body.fact)


def flags_of(state: State, fact: str) -> list[Flag]:
    """What is odd about one fact."""
    return [flag for flag in state.flags if flag.fact == fact]
