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


def tidied(
    stage: Stage, ordered: Ordered, way: Way, wet: frozenset[int] = frozenset()
) -> Ordered:
    """The same order of setups and faces, with runs that a person can follow.

    Args:
        stage: the stage.
        ordered: an order of it.
        way: how rows are begun.
        wet: rows that are set wet, each worked through before another is begun.

    Returns:
        The tidied order with its own cost; the one given, where the checker does not
        allow the tidied one or it goes against the skip pattern more often.
    """
    tables = Tables(stage)
    pairs = list(ordered.steps)
    laid = _laid_anew(tables, pairs, way)
    for one in (pairs,) if laid is None else (laid, pairs):
        steps = Steps.of(_Tidying(tables, way, wet).steps(one))
        verdict = check_plan(stage, steps)
        cost = cost_of(tables, steps)
        is_worse = len(cost.breaches) > len(ordered.cost.breaches)
        if not is_worse and all(breach.step == START for breach in verdict.stopped):
            return replace(ordered, steps=steps, cost=cost)
    return ordered


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
    """Goes through an order stretch by stretch, keeping what is set and held.

    Between two changes of tool, face or part the rows do not touch each other, so each
    is worked in as few passes as rule B lets: rivets, all holders that may come out,
    and again.
    """

    def __init__(self, tables: Tables, way: Way, wet: frozenset[int]) -> None:
        self.tables, self.wet = tables, wet
        self.rules = RowRules(tables, are_ends_free=not way.from_middle)
        self.runs = RowRuns(
            self.rules, from_middle=way.from_middle, ends_first=way.ends_first
        )
        self.rank: list[int] = tables.rank.tolist()
        self.row_of: list[int] = tables.stage.row.tolist()
        self.is_set: list[bool] = tables.stage.is_set.tolist()
        self.is_held: list[bool] = tables.stage.holder.tolist()

    def steps(self, pairs: Sequence[Pair]) -> Iterator[Pair]:
        """The steps, each stretch put in order."""
        stretch: list[Pair] = []
        for pair in pairs:
            if pair[0] in _ALONG:
                stretch.append(pair)
                continue
            yield from self._stretch(stretch)
            stretch = []
            yield pair
        yield from self._stretch(stretch)

    def _stretch(self, pairs: Sequence[Pair]) -> Iterator[Pair]:
        by_row: dict[int, list[Pair]] = {}
        for kind, hole in pairs:
            by_row.setdefault(self.row_of[hole], []).append((kind, hole))
        passes = {row: self._passes(row, inside) for row, inside in by_row.items()}
        # Sealant dries while another row is worked on.
        for row in [row for row in passes if row in self.wet]:
            for rivets, moved in passes.pop(row):
                yield from rivets
                yield from moved
        for number in range(max((len(one) for one in passes.values()), default=0)):
            for part in (0, 1):
                for one in passes.values():
                    if number < len(one):
                        yield from one[number][part]

    def _passes(
        self, row: int, pairs: Sequence[Pair]
    ) -> list[tuple[list[Pair], list[Pair]]]:
        """Passes along one row: what is set, then which holders move."""
        to_set = [hole for kind, hole in pairs if kind == Kind.SET]
        to_free = [hole for kind, hole in pairs if kind == Kind.OUT]
        to_hold = [hole for kind, hole in pairs if kind == Kind.IN]
        made: list[tuple[list[Pair], list[Pair]]] = []
        while to_set or to_free or to_hold:
            ready = [h for h in to_set if not self.is_held[h] and h not in to_hold]
            rivets = self._set(row, ready)
            moved = self._hold(to_hold) + self._free(row, to_free)
            if not rivets and not moved:
                # Nothing goes on by passes: the rest as it came.
                made.append(([], self._as_it_came(pairs)))
                break
            to_set = [h for h in to_set if h not in ready]
            made.append((rivets, moved))
        return made

    def _set(self, row: int, holes: Sequence[int]) -> list[Pair]:
        if not holes:
            return []
        inside = self.tables.rows[row]
        is_set = sum(1 << k for k, hole in enumerate(inside) if self.is_set[hole])
        bits = sum(1 << self.rank[hole] for hole in holes)
        run = self.runs.rivets(row, bits, is_set, False)
        for hole in run.holes:
            self.is_set[hole] = True
        return [(int(Kind.SET), hole) for hole in run.holes]

    def _hold(self, to_hold: list[int]) -> list[Pair]:
        """Holders in, where nothing is in the hole yet."""
        done = [h for h in to_hold if not (self.is_held[h] or self.is_set[h])]
        for hole in done:
            self.is_held[hole] = True
            to_hold.remove(hole)
        return [(int(Kind.IN), h) for h in sorted(done, key=self.rank.__getitem__)]

    def _free(self, row: int, to_free: list[int]) -> list[Pair]:
        """Every holder out that rule B lets go, from one end of the row on."""
        fast = [a or b for a, b in zip(self.is_set, self.is_held, strict=True)]
        done = []
        for hole in sorted(set(to_free), key=self.rank.__getitem__):
            if not self.is_held[hole]:
                continue
            fast[hole] = False
            if self.rules.is_held_without(hole, fast):
                self.is_held[hole] = False
                to_free.remove(hole)
                done.append((int(Kind.OUT), hole))
            else:
                fast[hole] = True
        return done

    def _as_it_came(self, pairs: Sequence[Pair]) -> list[Pair]:
        left = []
        for kind, hole in pairs:
            is_done = self.is_set[hole] or (kind == Kind.IN) == self.is_held[hole]
            if kind == Kind.SET and not self.is_set[hole]:
                self.is_set[hole] = True
                left.append((kind, hole))
            elif kind != Kind.SET and not is_done:
                self.is_held[hole] = kind == Kind.IN
                left.append((kind, hole))
        return left
