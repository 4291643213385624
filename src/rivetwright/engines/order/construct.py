"""From an order of visits to every step: rivets in skips, holders out in one go.

Each visit goes along its rows as a person would: rivets spaced out, then all holders
that rule B lets go, then the rivets that were still open. Rules A and B are kept
always, rule C as far as it can be. Any state may be the beginning: some rivets set,
holders moved, a setup rigged, holes that stay open.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from rivetwright.engines.order.blocks import Block, Classes
from rivetwright.engines.order.passes import RowPasses
from rivetwright.engines.order.rows import RowRules
from rivetwright.engines.order.runs import Choice, RowRuns, ranks_of
from rivetwright.engines.order.stage import BARE
from rivetwright.model.stage import Kind

Pair = tuple[int, int]
_NEVER_S = float("inf")


class HoldersShort(Exception):
    """The row cannot be kept together with the sheet holders there are.

    Args:
        row: the row.
    """

    def __init__(self, row: int) -> None:
        self.row = row
        super().__init__(f"row {row} needs more sheet holders than are to spare")


@dataclass(frozen=True)
class Way:
    """How a person likes to work.

    Args:
        from_middle: rows are begun in the middle and worked outward.
        ends_first: the ends of a row are set before anything else in it.
    """

    from_middle: bool = False
    ends_first: bool = False


class Unit(NamedTuple):
    """Holes of one class in one row: the least that moves from visit to visit."""

    number: int  # of the class
    row: int
    bits: int
    size: int


class Stop(NamedTuple):
    """One stretch of work: a setup on a face with its units, or a milestone.

    `units` has a bit for each unit that is set there.
    """

    setup: int
    face: int
    units: int
    milestone: int = BARE


class _Lying(NamedTuple):
    """How the part lies on the bench after a stop."""

    is_set: tuple[int, ...]
    held: tuple[int, ...]
    spare: int
    rigged: int
    face: int
    at: int
    is_riveting: bool
    cost_s: float


class Built(NamedTuple):
    """What an order of visits comes to."""

    cost_s: float
    steps: list[Pair]


class Builder:
    """Builds the steps of one order of visits after another.

    Args:
        classes: the classes of the stage.
        rules: the rows, where they are at hand.
        way: how the person likes to work.
    """

    def __init__(
        self,
        classes: Classes,
        rules: RowRules | None = None,
        way: Way | None = None,
    ) -> None:
        way = way or Way()
        tables = classes.tables
        stage = tables.stage
        self.classes = classes
        self.rules = rules or RowRules(tables, are_ends_free=not way.from_middle)
        self.runs = RowRuns(
            self.rules, from_middle=way.from_middle, ends_first=way.ends_first
        )
        self.passes = RowPasses(self.runs)
        self.units = self._units()
        of_class: dict[int, int] = {}
        for number, unit in enumerate(self.units):
            of_class[unit.number] = of_class.get(unit.number, 0) | 1 << number
        self.siblings = [of_class[unit.number] for unit in self.units]
        self._holes_of: dict[int, int] = {}
        self.change_s: list[list[float]] = tables.change_s.tolist()
        self.turn_s: list[list[float]] = stage.turn_s.tolist()
        self.rivet_s = [one.rivet_s for one in stage.setups]
        self.costs = stage.costs
        self.start_set = self._bits(stage.is_set.tolist())
        self.start_held = self._bits(
            [
                bool(held) and bool(tables.is_there[row])
                for held, row in zip(stage.holder, self.rules.row_of, strict=True)
            ]
        )
        self.later_held = self._bits(stage.holder.tolist())
        self.rows_after: dict[int, list[int]] = {}
        for row, after in enumerate(stage.row_after.tolist()):
            if not tables.is_there[row]:
                self.rows_after.setdefault(after, []).append(row)
        self.levels = self._levels()
        self._rows_of: dict[int, list[dict[int, int]]] = {}
        self.trail: list[tuple[Stop, _Lying]] = []
        self.latest: list[tuple[Stop, _Lying]] = []
        self.ticks = 0  # rows gone along so far: the measure of work

    def _bits(self, flags: Sequence[bool]) -> list[int]:
        return [
            sum(1 << rank for rank, hole in enumerate(row) if flags[hole])
            for row in self.rules.rows
        ]

    def _units(self) -> list[Unit]:
        rank = self.rules.rank
        return [
            Unit(number, row, sum(1 << rank[h] for h in holes), len(holes))
            for number, one in enumerate(self.classes.classes)
            for row, holes in self.rules.by_row(one.holes).items()
        ]

    def _levels(self) -> list[int]:
        """How many batches wait one for the other before each batch."""
        before = self.classes.is_before
        levels = [0] * len(self.classes.batches)
        for _ in levels:
            for then in range(len(levels)):
                for first in range(len(levels)):
                    if before[first, then]:
                        levels[then] = max(levels[then], levels[first] + 1)
        return levels

    def holes_of(self, units: int) -> int:
        """How many holes some units have."""
        known = self._holes_of.get(units)
        if known is None:
            known = sum(self.units[number].size for number in ranks_of(units))
            self._holes_of[units] = known
        return known

    def rows_of(self, units: int) -> list[dict[int, int]]:
        """Rows of some units with their holes; what has to come first, first."""
        known = self._rows_of.get(units)
        if known is None:
            classes = self.classes.classes
            by_level: dict[int, dict[int, int]] = {}
            for number in ranks_of(units):
                unit = self.units[number]
                level = self.levels[classes[unit.number].batch]
                rows = by_level.setdefault(level, {})
                rows[unit.row] = rows.get(unit.row, 0) | unit.bits
            known = [dict(sorted(by_level[k].items())) for k in sorted(by_level)]
            self._rows_of[units] = known
        return known

    def stops(self, blocks: Iterable[Block]) -> list[Stop]:
        """The same order of blocks, with its classes as units."""
        of: dict[int, list[int]] = {}
        for number, unit in enumerate(self.units):
            of.setdefault(unit.number, []).append(number)
        return [
            Stop(
                block.setup,
                block.face,
                sum(1 << u for number in block.classes for u in of[number]),
                block.milestone,
            )
            for block in blocks
        ]

    def build(self, stops: Iterable[Stop]) -> Built:
        """Steps and cost of an order of visits.

        Args:
            stops: visits and milestones; they keep what comes first.

        Returns:
            Cost with the weight of breaches [s], and the steps.

        Raises:
            HoldersShort: rule B cannot be kept with the holders there are.
        """
        return _Building(self).build(stops)

    def cost_s(self, stops: Sequence[Stop]) -> float:
        """Cost alone, begun where the order leaves the one it rests on [s].

        Args:
            stops: visits and milestones; they keep what comes first.

        Returns:
            Cost with the weight of breaches [s].

        Raises:
            HoldersShort: rule B cannot be kept with the holders there are.
        """
        building = _Building(self)
        same = 0
        for (known, _), stop in zip(self.trail, stops, strict=False):
            if known != stop:
                break
            same += 1
        self.latest = self.trail[:same]
        if same:
            building.resume(self.trail[same - 1][1])
        return building.finish(stops[same:], self.latest)

    def rest(self) -> None:
        """Let further orders be compared with the one that was paid last."""
        self.trail = self.latest


def construct(
    classes: Classes,
    blocks: Iterable[Block],
    *,
    rules: RowRules | None = None,
    way: Way | None = None,
) -> list[Pair]:
    """Steps for an order of blocks.

    Args:
        classes: the classes of the stage.
        blocks: the blocks in their order; they keep what comes first.
        rules: the rows, where they are at hand.
        way: how the person likes to work.

    Returns:
        Pairs of kind and index.

    Raises:
        HoldersShort: rule B cannot be kept with the holders there are.
    """
    builder = Builder(classes, rules, way)
    return builder.build(builder.stops(blocks)).steps


class _Building:
    """The part as it lies on the bench while the steps are laid down."""

    def __init__(self, builder: Builder) -> None:
        stage = builder.classes.tables.stage
        self.builder, self.rules, self.runs = builder, builder.rules, builder.runs
        self.is_set = list(builder.start_set)
        self.held = list(builder.start_held)
        self.spare = stage.holders_spare
        self.rigged, self.face = stage.rigged, stage.start_face
        self.setup = self.rigged  # of the visit
        self.at, self.is_riveting = -1, False
        self.cost_s = 0.0
        self.is_resumed = False
        self.steps: list[Pair] = []

    def build(self, stops: Iterable[Stop]) -> Built:
        """Every step, stop by stop."""
        self._begin()
        for stop in stops:
            self._make(stop)
        self._clear()
        return Built(self.cost_s, self.steps)

    def _begin(self) -> None:
        there = self.builder.classes.tables.is_there.tolist()
        self._hold_loose_rows(row for row, is_there in enumerate(there) if is_there)

    def _make(self, stop: Stop) -> None:
        if stop.milestone != BARE:
            self._do(stop.milestone)
        else:
            self._visit(stop)

    def resume(self, lying: _Lying) -> None:
        """Go on from a state."""
        self.is_set, self.held = list(lying.is_set), list(lying.held)
        self.spare, self.rigged = lying.spare, lying.rigged
        self.face, self.at = lying.face, lying.at
        self.is_riveting, self.cost_s = lying.is_riveting, lying.cost_s
        self.is_resumed = True

    def finish(self, stops: Iterable[Stop], trail: list[tuple[Stop, _Lying]]) -> float:
        """Cost of an order from here on, noting the state after each stop [s]."""
        if not self.is_resumed:
            self._begin()
        for stop in stops:
            self._make(stop)
            lying = _Lying(
                tuple(self.is_set),
                tuple(self.held),
                self.spare,
                self.rigged,
                self.face,
                self.at,
                self.is_riveting,
                self.cost_s,
            )
            trail.append((stop, lying))
        self._clear()
        return self.cost_s

    # --- between the visits -------------------------------------------------------

    def _do(self, milestone: int) -> None:
        self.steps.append((Kind.MILESTONE, milestone))
        self.at = -1
        stage = self.builder.classes.tables.stage
        self.cost_s += stage.milestones[milestone].time_s
        for row in self.builder.rows_after.get(milestone, ()):
            self.held[row] = self.builder.later_held[row]
        self._hold_loose_rows(self.builder.rows_after.get(milestone, ()))

    def _go_to(self, face: int) -> None:
        if face != self.face:
            self.steps.append((Kind.FACE, face))
            self.cost_s += self.builder.turn_s[self.face][face]
            self.face, self.at = face, -1

    def _rig(self, setup: int) -> None:
        """Rig a setup; as late as may be, for a change ends holder work free."""
        if setup != self.rigged:
            self.steps.append((Kind.RIG, setup))
            self.cost_s += self.builder.change_s[self.rigged][setup]
            self.rigged, self.at = setup, -1

    def _hold_loose_rows(self, rows: Iterable[int]) -> None:
        """Put holders in where a row is not held together as it lies there."""
        for row in rows:
            holes = self.rules.rows[row]
            fast = [False] * len(self.rules.rank)
            for rank in ranks_of(self.is_set[row] | self.held[row]):
                fast[holes[rank]] = True
            while gap := self.rules.loose_gap(row, fast):
                rank = self._rank_to_hold(row, gap)
                if rank < 0 or self.spare <= 0:
                    raise HoldersShort(row)
                self._go_to(self.rules.face[holes[0]])
                self._hold(row, 1 << rank)
                fast[holes[rank]] = True

    def _rank_to_hold(self, row: int, gap: tuple[int, int]) -> int:
        """The open hole farthest on that still closes the near side of a gap."""
        left, right = gap
        near = [
            rank
            for rank in range(left + 1, right)
            if self.rules.is_gap_held(row, left, rank)
        ]
        return near[-1] if near else -1

    def _clear(self) -> None:
        """Take out what is held and was set in no visit."""
        stays_open = self.rules.stays_open
        for row, holes in enumerate(self.rules.rows):
            for rank in ranks_of(self.held[row]):
                if not stays_open[holes[rank]]:
                    self._go_to(self.rules.face[holes[rank]])
                    self._release(row, 1 << rank, is_back=False)

    # --- one visit ----------------------------------------------------------------

    def _visit(self, stop: Stop) -> None:
        if not stop.units:
            return
        self._go_to(stop.face)
        self.setup = stop.setup
        for rows in self.builder.rows_of(stop.units):
            left = rows
            while left:
                left = self._pass(left)

    def _pass(self, rows: dict[int, int]) -> dict[int, int]:
        """One pass: rivets, then holders; what is left for the next one."""
        chosen = {
            row: self.builder.passes.best(
                row, bits, self.is_set[row], self.held[row], self.spare
            )
            for row, bits in rows.items()
            if bits & self.held[row]
        }
        if not chosen:
            self._rivets(rows)
            return {}
        if not any(one.outs or one.rivets for one in chosen.values()):
            raise HoldersShort(next(iter(chosen)))
        self._rivets({row: one.rivets for row, one in chosen.items() if one.rivets})
        self._holders({row: one for row, one in chosen.items() if one.outs or one.ins})
        left = {row: bits & ~self.is_set[row] for row, bits in rows.items()}
        return {row: bits for row, bits in left.items() if bits}

    # --- one way along the rows ---------------------------------------------------

    def _rivets(self, rows: dict[int, int]) -> None:
        """Row after row, the nearest end next."""
        self.builder.ticks += len(rows)
        left = dict(rows)
        self._rig(self.setup)
        rivet_s = self.builder.rivet_s[self.rigged]
        while left:
            row, is_back = self._nearest(left)
            bits = left.pop(row)
            run = self.runs.rivets(row, bits, self.is_set[row], is_back)
            self._move(run.holes[0], is_rivet=True)
            self.at = run.holes[-1]
            self.cost_s += (
                run.walk_s
                + rivet_s * len(run.holes)
                + self.builder.costs.creep_penalty_s * run.breaches
            )
            self.is_set[row] |= bits
            self.steps += [(Kind.SET, hole) for hole in run.holes]

    def _holders(self, chosen: dict[int, Choice]) -> None:
        """Holders in, and out on the way back; or out along the row."""
        left = {row: one.outs | one.ins for row, one in chosen.items()}
        while left:
            row, is_back = self._nearest(left)
            del left[row]
            one = chosen[row]
            if one.ins:
                self._hold(row, one.ins, is_back=is_back)
            self._release(row, one.outs, is_back=is_back != bool(one.ins))

    def _nearest(self, rows: dict[int, int]) -> tuple[int, bool]:
        """The row with the nearest end, and whether that is its far one."""
        if self.at < 0:
            return next(iter(rows)), False
        of, walk_s, at = self.rules.rows, self.rules.walk_s, self.at
        best_s, best = _NEVER_S, (-1, False)
        for row, bits in rows.items():
            holes = of[row]
            near_s = walk_s(at, holes[(bits & -bits).bit_length() - 1])
            if near_s < best_s:
                best_s, best = near_s, (row, False)
            far_s = walk_s(at, holes[bits.bit_length() - 1])
            if far_s < best_s:
                best_s, best = far_s, (row, True)
        return best

    def _move(self, hole: int, *, is_rivet: bool) -> None:
        if self.at >= 0:
            self.cost_s += self.rules.walk_s(self.at, hole)
            if self.is_riveting != is_rivet:
                self.cost_s += self.builder.costs.swap_s
        self.at, self.is_riveting = hole, is_rivet

    def _hold(self, row: int, bits: int, *, is_back: bool = False) -> None:
        ranks = ranks_of(bits)
        for rank in reversed(ranks) if is_back else ranks:
            hole = self.rules.rows[row][rank]
            self._move(hole, is_rivet=False)
            self.steps.append((Kind.IN, hole))
        self.held[row] |= bits
        self.spare -= len(ranks)
        self.cost_s += self.builder.costs.holder_in_s * len(ranks)

    def _release(self, row: int, bits: int, *, is_back: bool) -> None:
        ranks = ranks_of(bits)
        for rank in reversed(ranks) if is_back else ranks:
            hole = self.rules.rows[row][rank]
            self._move(hole, is_rivet=False)
            self.steps.append((Kind.OUT, hole))
        self.held[row] &= ~bits
        self.spare += len(ranks)
        self.cost_s += self.builder.costs.holder_out_s * len(ranks)
