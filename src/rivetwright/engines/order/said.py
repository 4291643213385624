"""An order of work as a person takes it: setup cards, and in each a few short runs.

A run is one thing done along one row: rivets set, holders out, holders in. It says its
holes by their pattern, counted from an end, so that they are found on metal that
carries no numbers. Any order inside a run that keeps the rules is fine.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from rivetwright.engines.order.from_plan import Staged
from rivetwright.engines.order.plan import Ordered
from rivetwright.engines.order.stage import BARE, Tables
from rivetwright.engines.order.steps import TOLERANCE_MM, Steps, cost_of
from rivetwright.model.stage import Kind

SET, OUT, IN = "set", "out", "in"
RIG, TURN, EVENT, FIRST, MIX = "rig", "turn", "event", "first", "mix"
_KINDS = {Kind.SET: SET, Kind.OUT: OUT, Kind.IN: IN}

WHOLE, FREED, REST = "whole", "freed", "rest"
ONE, ENDS, EVERY, STRETCH, LIST = "one", "ends", "every", "stretch", "list"


@dataclass(frozen=True)
class Pattern:
    """Holes of one row, counted from its first hole as 1.

    `kind` is whole, freed, rest, one, ends, every, stretch or list. Of "every" each
    `step`-th hole from `first` to `last` is meant; `begin` is where it is begun, where
    that is neither of the two.
    """

    kind: str
    first: int = 0
    last: int = 0
    step: int = 0
    begin: int = 0
    places: tuple[int, ...] = ()


@dataclass(frozen=True)
class Press:
    """One thing to do: a run along a row, or what comes between runs.

    Args:
        kind: set, out or in; rig, turn, event, mix, or first for the holders that
            have to be there before the first rivet.
        row: the plan's row; BARE where it is about none.
        holes: the plan's holes in their order.
        patterns: the same, said by their pattern.
        reason: why, as a key.
        time_s: what it takes.
        against: holes set against the skip pattern.
        index: setup, face or event that it is about, by the stage, of a mix the plan's
            row; else BARE.
        leaves: places of the row, counted, that stay open beside what is set.
        places: places of the row, counted, in the order of `holes`.
        open_s: for how long the sealant can still be worked; nought: set dry.
    """

    kind: str
    row: int
    holes: tuple[int, ...]
    patterns: tuple[Pattern, ...]
    reason: str
    time_s: float
    against: tuple[int, ...] = ()
    index: int = BARE
    leaves: tuple[int, ...] = ()
    places: tuple[int, ...] = ()
    open_s: float = 0.0


@dataclass(frozen=True)
class Card:
    """What is done with one setup on one face, or one event; `setup` BARE: an event."""

    setup: int
    face: int
    presses: tuple[Press, ...]

    @property
    def time_s(self) -> float:
        """What the card takes, its own setting up and turning included [s]."""
        return sum(one.time_s for one in self.presses)

    @property
    def rivets(self) -> int:
        """Rivets set on it."""
        return sum(len(one.holes) for one in self.presses if one.kind == SET)


@dataclass(frozen=True)
class _Chunk:
    """Steps that make one press: from `start` up to `stop`."""

    kind: str
    row: int
    indices: tuple[int, ...]
    start: int
    stop: int


def cards_of(staged: Staged, ordered: Ordered) -> tuple[Card, ...]:
    """The order as setup cards with their runs.

    Args:
        staged: the stage and the way back.
        ordered: an order of it.

    Returns:
        Cards in their order; what they say comes to every step of the order.
    """
    return tuple(_cards(staged, list(_presses(staged, ordered))))


def _cards(staged: Staged, presses: Sequence[Press]) -> Iterator[Card]:
    stage = staged.stage
    setup, face = stage.rigged, stage.start_face
    inside: list[Press] = []
    is_event = False
    for one in presses:
        has_work = any(p.kind in (SET, OUT, IN) for p in inside)
        if one.kind == EVENT:
            if inside:
                yield Card(setup if has_work else BARE, face, tuple(inside))
            inside, is_event = [one], True
            continue
        if is_event and one.kind != FIRST:
            yield Card(BARE, face, tuple(inside))
            inside, is_event = [], False
        if one.kind in (RIG, TURN):
            # Holders moved before a tool is rigged go with what it then sets.
            has_rivets = any(p.kind == SET for p in inside)
            if has_rivets or (has_work and one.kind == TURN):
                yield Card(setup, face, tuple(inside))
                inside = []
            setup = one.index if one.kind == RIG else setup
            face = one.index if one.kind == TURN else face
        inside.append(one)
    if inside:
        yield Card(BARE if is_event else setup, face, tuple(inside))


def _presses(staged: Staged, ordered: Ordered) -> Iterator[Press]:
    if len(ordered.steps):
        yield from _put_in(staged, BARE)
    for press in _Saying(staged, ordered).presses():
        yield press
        if press.kind == EVENT:
            yield from _put_in(staged, press.index)


def _put_in(staged: Staged, milestone: int) -> Iterator[Press]:
    """Holders for the rows that are there from a milestone on; BARE: from the start."""
    stage, number = staged.stage, {hole: k for k, hole in enumerate(staged.holes)}
    after = stage.row_after.tolist()
    holes = []
    for hole in staged.to_put_in:
        row = int(stage.row[number[hole]])
        waits = after[row]
        if waits != BARE and stage.done[waits]:
            waits = BARE
        # On wet sealant the sheets are only laid when it is mixed.
        if waits == milestone and not staged.wet_s[row]:
            holes.append(hole)
    if holes:
        yield _first(staged, holes)


def _first(staged: Staged, holes: Sequence[int]) -> Press:
    time_s = staged.figures["holder in"] * len(holes)
    return Press(FIRST, BARE, tuple(holes), (), "held", time_s)


class _Saying:
    """Walks through an order and says each stretch of it."""

    def __init__(self, staged: Staged, ordered: Ordered) -> None:
        self.staged, self.ordered = staged, ordered
        self.tables = Tables(staged.stage)
        self.is_set: list[bool] = staged.stage.is_set.tolist()
        self.freed: dict[int, set[int]] = {}
        self.against = set(ordered.cost.breaches)
        self.mixed_s = 0.0  # for how long the mix can still be worked
        self.mixed_row = BARE
        self.to_lay: dict[int, list[int]] = {}  # holders that go in on wet sealant
        for hole in staged.to_put_in:
            row = int(staged.stage.row[staged.holes.index(hole)])
            if staged.wet_s[row]:
                self.to_lay.setdefault(row, []).append(hole)

    def presses(self) -> Iterator[Press]:
        """Every press in order, with what it takes."""
        pairs = list(self.ordered.steps)
        spent_s = 0.0
        for chunk in self._chunks(pairs):
            until = Steps.of(pairs[: chunk.stop])
            total_s = cost_of(self.tables, until).time_s
            if chunk.row != BARE and chunk.row in self.to_lay:
                yield from self._mixed(chunk)
            if chunk.kind == SET and self.staged.wet_s[chunk.row]:
                yield from self._wet(chunk, total_s - spent_s)
            else:
                self.mixed_s -= total_s - spent_s
                yield self._press(chunk, total_s - spent_s)
            spent_s = total_s

    def _wet(self, chunk: _Chunk, time_s: float) -> Iterator[Press]:
        """A run in a wet row, parted where a mix can be worked no longer."""
        each_s = max(time_s / len(chunk.indices), 1.0)
        left = chunk.indices
        while left:
            count = int(self.mixed_s / each_s)
            if count < 1 or self.mixed_row != chunk.row:
                yield from self._mixed(replace(chunk, indices=left))
                count = max(1, int(self.mixed_s / each_s))
            part, left = left[:count], left[count:]
            part_s = time_s * len(part) / len(chunk.indices)
            press = self._press(replace(chunk, indices=part), part_s)
            yield replace(press, open_s=self.mixed_s)
            self.mixed_s -= part_s

    def _mixed(self, chunk: _Chunk) -> Iterator[Press]:
        """Fresh sealant for a row, and the holders that go in on it."""
        staged, number = self.staged, chunk.row
        self.mixed_s, self.mixed_row = staged.wet_s[number], number
        left = [k for k in self.tables.rows[number] if self.tables.wanted[k]]
        holes = tuple(staged.holes[k] for k in left if not self.is_set[k])
        mix_s, row = staged.figures["mix"], staged.rows[number]
        yield Press(MIX, BARE, holes, (), MIX, mix_s, index=row, open_s=self.mixed_s)
        laid = self.to_lay.pop(number, [])
        if laid:
            first = _first(staged, laid)
            self.mixed_s -= first.time_s
            yield first

    def _chunks(self, pairs: Sequence[tuple[int, int]]) -> Iterator[_Chunk]:
        rows = self.staged.stage.row.tolist()
        start = 0
        for at, (kind, index) in enumerate(pairs):
            after = pairs[at + 1] if at + 1 < len(pairs) else None
            row = rows[index] if kind in _KINDS else BARE
            if (
                after is not None
                and kind in _KINDS
                and after[0] == kind
                and rows[after[1]] == row
            ):
                continue
            indices = tuple(i for _, i in pairs[start : at + 1])
            name = _KINDS.get(Kind(kind), "")
            between = {Kind.RIG: RIG, Kind.FACE: TURN, Kind.MILESTONE: EVENT}
            yield _Chunk(name or between[Kind(kind)], row, indices, start, at + 1)
            start = at + 1

    def _press(self, chunk: _Chunk, time_s: float) -> Press:
        if chunk.row == BARE:
            index = chunk.indices[0]
            return Press(chunk.kind, BARE, (), (), chunk.kind, time_s, index=index)
        patterns = self._patterns(chunk)
        reason = self._reason(chunk, patterns)
        rank = self.tables.rank
        stage, holes = self.staged.stage, self.staged.holes
        row = self.tables.rows[chunk.row]
        if chunk.kind == SET:
            for one in chunk.indices:
                self.is_set[one] = True
        elif chunk.kind == OUT:
            self.freed.setdefault(chunk.row, set()).update(chunk.indices)
        return Press(
            chunk.kind,
            self.staged.rows[chunk.row],
            tuple(holes[k] for k in chunk.indices),
            patterns,
            reason,
            time_s,
            against=tuple(
                holes[k] for k in chunk.indices if self.against and k in self.against
            )
            if chunk.kind == SET
            else (),
            leaves=tuple(int(rank[k]) + 1 for k in row if stage.is_deferred[k])
            if chunk.kind == SET
            else (),
            places=tuple(int(rank[k]) + 1 for k in chunk.indices),
        )

    # --- patterns -------------------------------------------------------------------

    def _patterns(self, chunk: _Chunk) -> tuple[Pattern, ...]:
        wanted = self.tables.wanted
        row, asked = self.tables.rows[chunk.row], set(chunk.indices)
        ranks = [int(self.tables.rank[k]) + 1 for k in chunk.indices]
        if len(asked) == len(row) and len(row) > 1:
            return (Pattern(WHOLE, 1, len(row), 1),)
        if chunk.kind == SET and len(asked) > 1:
            freed = self.freed.pop(chunk.row, set())
            if freed == asked:
                return (Pattern(FREED, places=tuple(ranks)),)
            left = {k for k in row if wanted[k] and not self.is_set[k]}
            if left == asked and any(self.is_set[k] for k in row):
                return (Pattern(REST, places=tuple(ranks)),)
        return tuple(said_places(ranks, len(row)))

    def _reason(self, chunk: _Chunk, patterns: Sequence[Pattern]) -> str:
        if chunk.kind != SET:
            return "held" if chunk.kind == OUT else "beside"
        if self.against.intersection(chunk.indices):
            return "against"
        if self.tables.is_creep_free[chunk.row]:
            return "short"
        if patterns[0].kind in (FREED, REST) or self._is_between(chunk):
            return "between"
        way = self.staged.way
        return "middle" if way.from_middle else "ends" if way.ends_first else "skip"

    def _is_between(self, chunk: _Chunk) -> bool:
        """Whether every hole has a rivet on both sides, near enough to each other."""
        stage, row = self.staged.stage, self.tables.rows[chunk.row]
        most_mm = stage.creep.bracket_mm + TOLERANCE_MM
        for hole in chunk.indices:
            rank = int(self.tables.rank[hole])
            left = [k for k in row[:rank] if self.is_set[k]]
            right = [k for k in row[rank + 1 :] if self.is_set[k]]
            if not (left and right):
                return False
            if stage.s_mm[right[0]] - stage.s_mm[left[-1]] > most_mm:
                return False
        return True


def said_places(places: Sequence[int], row_count: int) -> list[Pattern]:
    """Places in their order, as few patterns as they come to.

    Args:
        places: places of a row, counted from 1, in the order of work.
        row_count: holes of the row.

    Returns:
        Patterns one after the other; together they hold exactly these places.
    """
    if len(places) == 2 and set(places) == {1, row_count}:
        return [Pattern(ENDS, places[0], places[1], places=tuple(places))]
    left, found = list(places), []
    while left:
        count = max(k for k in range(1, len(left) + 1) if _is_even(left[:k]))
        found.append(_pattern(left[:count]))
        left = left[count:]
    loose = [one for one in found if one.kind == ONE]
    if len(loose) > 3:
        return [Pattern(LIST, min(places), max(places), places=tuple(places))]
    return found


def _is_even(places: Sequence[int]) -> bool:
    """Whether places lie evenly apart: at least three, or one, or two neighbours."""
    ordered = sorted(places)
    steps = {b - a for a, b in pairwise(ordered)}
    if len(ordered) < 3:
        return not steps or steps == {1}
    return len(steps) == 1


def _pattern(places: Sequence[int]) -> Pattern:
    ordered = sorted(places)
    if len(ordered) == 1:
        return Pattern(ONE, ordered[0], ordered[0], places=tuple(places))
    step = ordered[1] - ordered[0]
    first, last = places[0], places[-1]
    forth, back = (ordered[0], ordered[-1]), (ordered[-1], ordered[0])
    if (first, last) == forth or first == forth[0]:
        ends, begin = forth, 0
    elif first == back[0]:
        ends, begin = back, 0
    else:
        ends, begin = forth, first
    kind = STRETCH if step == 1 else EVERY
    return Pattern(kind, *ends, step, begin, tuple(places))
