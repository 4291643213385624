"""An order made fit for a person: each row in one go, holes in an order that is found.

The search saves seconds by jumping from row to row; nobody follows that. Its order of
setups and faces is kept, and the steps in them are laid down anew as a person would go
along the rows. The checker judges the result.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rivetwright.engines.order.blocks import Classes
from rivetwright.engines.order.checker import START, check_plan
from rivetwright.engines.order.construct import Builder, HoldersShort, Stop, Way
from rivetwright.engines.order.plan import Ordered
from rivetwright.engines.order.rows import RowRules
from rivetwright.engines.order.runs import RowRuns
from rivetwright.engines.order.stage import BARE, Tables
from rivetwright.engines.order.steps import Steps, cost_of
from rivetwright.model.stage import Kind, Stage

_ALONG = (Kind.SET, Kind.OUT, Kind.IN)
Pair = tuple[int, int]


def tidied(stage: Stage, ordered: Ordered, way: Way) -> Ordered:
    """The same order of setups and faces, with runs that a person can follow.

    Args:
        stage: the stage.
        ordered: an order of it.
        way: how rows are begun.

    Returns:
        The tidied order with its own cost; the one given, where the checker does not
        allow the tidied one or it goes against the skip pattern more often.
    """
    tables = Tables(stage)
    pairs = list(ordered.steps)
    laid = _laid_anew(tables, pairs, way)
    steps = Steps.of(_Tidying(tables, way).steps(laid if laid is not None else pairs))
    verdict = check_plan(stage, steps)
    is_allowed = all(one.step == START for one in verdict.stopped)
    cost = cost_of(tables, steps)
    if not is_allowed or len(cost.breaches) > len(ordered.cost.breaches):
        return ordered
    return replace(ordered, steps=steps, cost=cost)


def _laid_anew(tables: Tables, pairs: Sequence[Pair], way: Way) -> list[Pair] | None:
    """Steps for the same visits; None where a visit cannot be told from the steps."""
    classes = Classes(tables)
    builder = Builder(classes, way=way)
    stops = _stops(builder, tables.stage, pairs)
    if stops is None:
        return None
    try:
        return [(int(kind), index) for kind, index in builder.build(stops).steps]
    except HoldersShort:
        return None


def _stops(builder: Builder, stage: Stage, pairs: Sequence[Pair]) -> list[Stop] | None:
    """The visits of an order; None where holes that go together are set apart."""
    class_of = builder.classes.class_of
    unit_of = {(u.number, u.row): k for k, u in enumerate(builder.units)}
    setup, face, units = stage.rigged, stage.start_face, 0
    seen = 0
    stops: list[Stop] = []
    for kind, index in pairs:
        if kind == Kind.SET:
            key = int(class_of[index]), int(stage.row[index])
            bit = 1 << unit_of[key]
            if bit & seen:
                return None
            units |= bit
            continue
        if kind in _ALONG:
            continue
        if units:
            stops.append(Stop(setup, face, units))
            seen, units = seen | units, 0
        if kind == Kind.RIG:
            setup = index
        elif kind == Kind.FACE:
            face = index
        else:
            stops.append(Stop(BARE, BARE, 0, index))
    if units:
        stops.append(Stop(setup, face, units))
    return stops


class _Tidying:
    """Goes through an order stretch by stretch, keeping which holes are set."""

    def __init__(self, tables: Tables, way: Way) -> None:
        self.tables = tables
        rules = RowRules(tables, are_ends_free=not way.from_middle)
        self.runs = RowRuns(
            rules, from_middle=way.from_middle, ends_first=way.ends_first
        )
        self.rank: list[int] = tables.rank.tolist()
        self.row_of: list[int] = tables.stage.row.tolist()
        self.set_bits = [
            sum(1 << k for k, hole in enumerate(row) if tables.stage.is_set[hole])
            for row in tables.rows
        ]

    def steps(self, pairs: Sequence[Pair]) -> Iterator[Pair]:
        """The steps, stretches of one kind put in order."""
        at = 0
        while at < len(pairs):
            kind = pairs[at][0]
            stop = at + 1
            while kind in _ALONG and stop < len(pairs) and pairs[stop][0] == kind:
                stop += 1
            if kind in _ALONG:
                yield from self._stretch(kind, [hole for _, hole in pairs[at:stop]])
            else:
                yield pairs[at]
            at = stop

    def _stretch(self, kind: int, holes: Sequence[int]) -> Iterator[Pair]:
        by_row: dict[int, list[int]] = {}
        for hole in holes:
            by_row.setdefault(self.row_of[hole], []).append(hole)
        for row, inside in by_row.items():
            for hole in self._in_order(kind, row, inside):
                yield kind, hole

    def _in_order(self, kind: int, row: int, inside: Sequence[int]) -> Sequence[int]:
        if kind != Kind.SET:
            is_back = self.rank[inside[0]] > self.rank[inside[-1]]
            return sorted(inside, key=self.rank.__getitem__, reverse=is_back)
        bits = sum(1 << self.rank[hole] for hole in inside)
        run = self.runs.rivets(row, bits, self.set_bits[row], False)
        self.set_bits[row] |= bits
        return run.holes
