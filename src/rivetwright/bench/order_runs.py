"""The runs of the bench screen out of a worked-out order.

What the order has no tool for stands behind it, in the order of the drawing: the bench
takes what a builder does all the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from rivetwright.bench.holders import HolderUse
from rivetwright.bench.now import hole_now
from rivetwright.bench.open_now import Waits
from rivetwright.bench.order import StepOrder, Wanted, order_of_step
from rivetwright.bench.runs import Run, Setup, StopHere, setups_of
from rivetwright.engines.order.said import SET, Card, Press
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import Refusal
from rivetwright.model.shop import Shop


def ordered_setups(
    worked_plan: WorkedPlan,
    waits: Waits,
    shop: Shop | None,
    wanted: Wanted | None = None,
    uses: Sequence[HolderUse] = (),
) -> tuple[tuple[Setup, ...], StepOrder | None]:
    """Set-ups with their runs in the worked-out order, and the order.

    Where none can be worked out they come in the order of the drawing, and None.
    """
    drawn = setups_of(worked_plan, waits)
    if not any(setup.runs for setup in drawn):
        return drawn, None
    try:
        order = order_of_step(worked_plan, shop, waits.state, waits.step, wanted, uses)
    except Refusal:
        return drawn, None
    if order.plan is None:
        return drawn, None
    made = tuple(_Runs(order, waits, drawn).setups())
    ordered = {at for setup in made for run in setup.runs for at in _holes(waits, run)}
    return (*made, *_others(waits, drawn, made, ordered)), order


def _holes(waits: Waits, run: Run) -> list[int]:
    return waits.ids.indices(run.hole_ids)


class _Runs:
    """Turns the cards of an order into set-ups with runs."""

    def __init__(self, order: StepOrder, waits: Waits, drawn: Sequence[Setup]) -> None:
        self.order, self.waits = order, waits
        self.columns = waits.ids.holes
        self.stacks = order.worked_plan.worked.of_holes("used_stack")
        # Of a rivet and a stack, whatever tool: how many there are, how many are set.
        self.counts: dict[tuple[str, str], tuple[int, int]] = {}
        for one in drawn:
            key = one.callout, one.stack
            count, done = self.counts.get(key, (0, 0))
            self.counts[key] = count + one.hole_count, done + one.done_count

    def setups(self) -> Iterator[Setup]:
        """Set-ups with runs that follow on one another; one may come again later."""
        for key, runs in groupby(self._runs(), key=lambda run: run.setup):
            yield self._setup(key, list(runs))

    def _runs(self) -> Iterator[Run]:
        before: list[Press] = []
        for card in self.order.cards:
            for press in card.presses:
                if press.kind == SET:
                    yield self._run(card, press, tuple(before))
                    before = []
                else:
                    before.append(press)

    def _setup(self, key: str, runs: list[Run]) -> Setup:
        callout, stack, tools = key.split("|")
        count, done = self.counts.get((callout, stack), (0, 0))
        return Setup(
            key,
            callout,
            tuple(tool for tool in tools.split(",") if tool),
            stack,
            count,
            done,
            tuple(runs),
        )

    def _run(self, card: Card, press: Press, before: tuple[Press, ...]) -> Run:
        holes = sorted(press.holes)
        row = int(self.columns.row[holes[0]])
        start, stop = (int(k) for k in self.columns.row_start[row : row + 2])
        way = self.order.set_by(card)
        tools = ",".join(way.recorded) if way else ""
        callout = str(self.columns.callout(holes[0]))
        ranges = self.waits.ids.ranges(holes)
        more = f"+{len(holes)}" if len(ranges) > 1 else ""
        seen = [hole_now(self.waits.ids, self.waits.state, at) for at in holes]
        return Run(
            key=f"{ranges[0]}{more}",
            setup=f"{callout}|{self.stacks[holes[0]]}|{tools}",
            row=self.columns.plan.rows[row].name,
            face=self.columns.plan.rows[row].face,
            callout=callout,
            hole_ids=ranges,
            names=tuple(self.columns.name(at) for at in press.holes),
            count=len(holes),
            from_end=self.order.row_end(row),
            first=holes[0] - start + 1,
            last=holes[-1] - start + 1,
            row_count=stop - start,
            holders=sum(bool(hole.holder) for hole in seen),
            stop_after=self._stop(start, press),
            patterns=press.patterns,
            leaves=press.leaves,
            press=press,
            before=before,
            card=card,
        )

    def _stop(self, start: int, press: Press) -> StopHere | None:
        """The first hole of the row, from where the run begins, that must wait."""
        first = min(press.places)
        for place in sorted(press.leaves):
            at = start + place - 1
            why = self.waits.of(at)
            if place > first and why is not None and not self.waits.is_done(at):
                return StopHere(self.columns.name(at), place, why)
        return None


def _others(
    waits: Waits, drawn: Sequence[Setup], made: Sequence[Setup], ordered: set[int]
) -> Iterator[Setup]:
    """What the order leaves out: runs without a tool, and what is all set."""
    known = {(one.callout, one.stack) for one in made}
    for one in drawn:
        runs = tuple(
            run for run in one.runs if not ordered.intersection(_holes(waits, run))
        )
        if runs or (one.callout, one.stack) not in known:
            yield replace(one, runs=runs)
