"""From an order of blocks to every step: rivets in skips, holders out in one go.

Each visit goes along its rows as a person would: rivets spaced out, then all holders
that rule B lets go, then the rivets that were still open. Rules A and B are kept
always, rule C as far as it can be. Any state may be the beginning: some rivets set,
holders moved, a setup rigged, holes that stay open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from rivetwright.engines.order.blocks import Block, Classes
from rivetwright.engines.order.chain import Chain, Chosen
from rivetwright.engines.order.rows import RowRules
from rivetwright.engines.order.stage import BARE
from rivetwright.model.stage import Kind

Pair = tuple[Kind, int]


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
    way = way or Way()
    rules = rules or RowRules(classes.tables, are_ends_free=not way.from_middle)
    return _Construction(classes, rules, way).steps(blocks)


class _Construction:
    """The part as it lies on the bench while the steps are laid down."""

    def __init__(self, classes: Classes, rules: RowRules, way: Way) -> None:
        stage = classes.tables.stage
        self.classes, self.rules, self.way = classes, rules, way
        self.is_set: list[bool] = stage.is_set.tolist()
        there = classes.tables.is_there.tolist()
        self.fitted: list[bool] = there
        self.held = [
            bool(held) and there[row]
            for held, row in zip(stage.holder.tolist(), rules.row_of, strict=True)
        ]
        self.spare = stage.holders_spare
        self.rigged, self.face = stage.rigged, stage.start_face
        self.at = -1
        self.done: list[Pair] = []
        costs = stage.costs
        self.again_s = 2 * costs.swap_s + 1.0
        self.in_s = costs.holder_in_s + costs.holder_out_s + 1.0

    def steps(self, blocks: Iterable[Block]) -> list[Pair]:
        """Every step, block by block."""
        self._hold_loose_rows()
        for block in blocks:
            if block.milestone != BARE:
                self._do(block.milestone)
            else:
                self._visit(block)
        self._clear()
        return self.done

    # --- between the blocks -------------------------------------------------------

    def _do(self, milestone: int) -> None:
        self.done.append((Kind.MILESTONE, milestone))
        self.at = -1
        stage = self.classes.tables.stage
        for row, after in enumerate(stage.row_after.tolist()):
            if after == milestone:
                self.fitted[row] = True
                for hole in self.rules.rows[row]:
                    self.held[hole] = bool(stage.holder[hole])

    def _go_to(self, face: int) -> None:
        if face != self.face:
            self.done.append((Kind.FACE, face))
            self.face, self.at = face, -1

    def _hold_loose_rows(self) -> None:
        """Put holders in where a row is not held together as it lies there."""
        fast = [a or b for a, b in zip(self.is_set, self.held, strict=True)]
        for row, holes in enumerate(self.rules.rows):
            if not self.fitted[row]:
                continue
            while gap := self.rules.loose_gap(row, fast):
                hole = self._hole_to_hold(row, gap)
                if hole < 0 or self.spare <= 0:
                    raise HoldersShort(row)
                self._go_to(self.rules.face[holes[0]])
                self._step(Kind.IN, hole)
                fast[hole] = True

    def _hole_to_hold(self, row: int, gap: tuple[int, int]) -> int:
        """The open hole farthest on that still closes the near side of a gap."""
        left, right = gap
        inside = range(left + 1, right)
        near = [k for k in inside if self.rules.is_gap_held(row, left, k)]
        return self.rules.rows[row][near[-1]] if near else -1

    def _clear(self) -> None:
        """Take out what is held and was set in no block."""
        stays_open = self.rules.stays_open
        for hole, held in enumerate(self.held):
            if held and not stays_open[hole]:
                self._go_to(self.rules.face[hole])
                self._step(Kind.OUT, hole)

    # --- one block ----------------------------------------------------------------

    def _visit(self, block: Block) -> None:
        left = [
            number
            for number in block.classes
            if not all(self.is_set[h] for h in self.classes.classes[number].holes)
        ]
        if not left:
            return
        if block.setup != self.rigged:
            self.done.append((Kind.RIG, block.setup))
            self.rigged, self.at = block.setup, -1
        self._go_to(block.face)
        while left:
            ready = self._ready(left)
            rows = self.rules.by_row(
                hole
                for number in ready
                for hole in self.classes.classes[number].holes
                if not self.is_set[hole]
            )
            while rows:
                rows = self._pass(rows)
            left = [number for number in left if number not in ready]

    def _ready(self, numbers: list[int]) -> set[int]:
        """Classes of a block that wait for no other class of it."""
        before = self.classes.is_before
        batches = {self.classes.classes[number].batch for number in numbers}
        return {
            number
            for number in numbers
            if not any(
                before[first, self.classes.classes[number].batch] for first in batches
            )
        }

    def _pass(self, rows: dict[int, list[int]]) -> dict[int, list[int]]:
        """One pass: rivets, then holders; what is left for the next one."""
        chosen = {
            row: self._choose(row, holes)
            for row, holes in rows.items()
            if any(self.held[h] for h in holes)
        }
        if not chosen:
            self._route(rows, self._rivets)
            return {}
        if not any(one.outs or one.rivets for one in chosen.values()):
            raise HoldersShort(next(iter(chosen)))
        first = {row: one.rivets for row, one in chosen.items() if one.rivets}
        self._route(first, self._rivets)
        moved = {
            row: [*one.ins, *one.outs]
            for row, one in chosen.items()
            if one.ins or one.outs
        }
        self._route(moved, self._holders)
        left = {
            row: [h for h in holes if not self.is_set[h]] for row, holes in rows.items()
        }
        return {row: holes for row, holes in left.items() if holes}

    def _choose(self, row: int, holes: list[int]) -> Chosen:
        """The cheapest choice that moves on, with the holders that are to spare."""
        never = float("inf")
        for again_s, in_s in (
            (self.again_s, self.in_s),
            (never, self.in_s),
            (self.again_s, never),
        ):
            one = self._chain(row, holes, again_s, in_s).choose()
            if len(one.ins) <= self.spare and (one.outs or one.rivets):
                return one
        return self._choose_dearly(row, holes)

    def _chain(self, row: int, holes: list[int], again_s: float, in_s: float) -> Chain:
        return Chain(self.rules, row, holes, self.is_set, self.held, again_s, in_s)

    def _choose_dearly(self, row: int, holes: list[int]) -> Chosen:
        """Every open hole first, then holders in as need be, one by one."""
        rivets = [h for h in holes if not self.held[h]]
        if rivets:
            return Chosen(rivets, [], [])
        for hole in holes:
            one = self._chain(row, [hole], float("inf"), self.in_s).choose()
            if one.outs and len(one.ins) <= self.spare:
                return one
        return Chosen([], [], [])

    # --- one way along the rows ---------------------------------------------------

    def _route(
        self,
        rows: dict[int, list[int]],
        along: Callable[[list[int]], Iterator[Pair]],
    ) -> None:
        """Row after row, the nearest end next."""
        left = dict(rows)
        while left:
            row, is_back = self._nearest(left)
            holes = left.pop(row)
            for kind, hole in along(holes[::-1] if is_back else holes):
                self._step(kind, hole)

    def _nearest(self, rows: dict[int, list[int]]) -> tuple[int, bool]:
        if self.at < 0:
            return next(iter(rows)), False
        ways = [
            (self.rules.walk_s(self.at, holes[end]), row, end == -1)
            for row, holes in rows.items()
            for end in (0, -1)
        ]
        _, row, is_back = min(ways)
        return row, is_back

    def _holders(self, holes: list[int]) -> Iterator[Pair]:
        """Holders in, and then out on the way back; or out along the row."""
        ins = [h for h in holes if not self.held[h]]
        outs = [h for h in holes if self.held[h]]
        yield from ((Kind.IN, h) for h in ins)
        yield from ((Kind.OUT, h) for h in (outs[::-1] if ins else outs))

    def _rivets(self, holes: list[int]) -> Iterator[Pair]:
        """To and fro along the row, each time what rule C lets be set."""
        left = self._ends_first(holes)
        last = self._must_come_early(left)
        while left:
            taken = set()
            for hole in left:
                if self._is_wise(hole, last):
                    taken.add(hole)
                    last.discard(hole)
                    yield Kind.SET, hole
            if not taken:
                hole = self._least_harm(left)
                taken.add(hole)
                last.discard(hole)
                yield Kind.SET, hole
            left = [h for h in reversed(left) if h not in taken]

    def _ends_first(self, holes: list[int]) -> list[int]:
        """The order of the first way along."""
        if self.way.from_middle and len(holes) > 2:
            middle = len(holes) // 2
            return [*holes[middle:], *reversed(holes[:middle])]
        if self.way.ends_first and len(holes) > 2:
            return [holes[0], holes[-1], *holes[1:-1]]
        return holes

    def _must_come_early(self, holes: list[int]) -> set[int]:
        """Last holes of a run with nothing set beyond them: later out of reach."""
        found = set()
        for hole in (min(holes, key=self._rank), max(holes, key=self._rank)):
            left, right = self.rules.neighbours(hole, self.is_set)
            is_end = hole in (
                self.rules.first[self.rules.row_of[hole]],
                self.rules.last[self.rules.row_of[hole]],
            )
            licensed = is_end and self.rules.are_ends_free
            if not licensed and not self.rules.is_bracketed(left, right):
                found.add(hole)
        return found

    def _rank(self, hole: int) -> int:
        return self.rules.rank[hole]

    def _is_wise(self, hole: int, last: set[int]) -> bool:
        """Whether rule C lets it be set, and it takes no later hole's chance."""
        if not self.rules.may_set(hole, self.is_set):
            return False
        if hole in last or not last:
            return True
        left, right = self.rules.neighbours(hole, self.is_set)
        if self.rules.is_bracketed(left, right):
            return True
        s_mm = self.rules.s_mm
        return all(abs(s_mm[hole] - s_mm[h]) >= self.rules.skip_mm for h in last)

    def _least_harm(self, holes: list[int]) -> int:
        """Against rule C anyway: the hole farthest from what is set."""
        s_mm = self.rules.s_mm

        def way_mm(hole: int) -> float:
            near = self.rules.neighbours(hole, self.is_set)
            return min((abs(s_mm[h] - s_mm[hole]) for h in near if h >= 0), default=0.0)

        return max(holes, key=way_mm)

    def _step(self, kind: Kind, hole: int) -> None:
        self.done.append((kind, hole))
        self.at = hole
        if kind == Kind.SET:
            self.is_set[hole] = True
        elif kind == Kind.OUT:
            self.held[hole] = False
            self.spare += 1
        else:
            self.held[hole] = True
            self.spare -= 1
