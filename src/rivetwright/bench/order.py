"""The order of a step from the present record: cards, runs, holders, minutes, bound."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from rivetwright.bench.holders import HolderUse, holders_for, steps_with_holes
from rivetwright.bench.order_bench import OrderBench
from rivetwright.bench.order_wanted import Wanted
from rivetwright.bench.runs import named_end
from rivetwright.engines.order.boxes import Box, boxes_of
from rivetwright.engines.order.figures import Figures
from rivetwright.engines.order.holders import HolderPlan
from rivetwright.engines.order.said import SET, Card, Press
from rivetwright.engines.order.setting import SetBy
from rivetwright.engines.order.stage import BARE
from rivetwright.engines.order.step_plan import StepPlan
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import NotFound, nearest_hint
from rivetwright.model.shop import Shop
from rivetwright.model.step import Step
from rivetwright.record.state import State

__all__ = [
    "StepOrder",
    "Wanted",
    "asked_order",
    "order_of_step",
    "steps_with_holes",
]


@dataclass(frozen=True)
class StepOrder:
    """A step's order as far as it goes from here.

    `names` are its steps; `done_count` rivets set already; `waiting` plan holes that
    must wait. `plan` is None where nothing can be set. `uses` are sheet holders in
    other assemblies, `away` tools that are left out.
    """

    worked_plan: WorkedPlan
    step: str
    title: str
    names: tuple[str, ...]
    kit_minutes: float | None
    wanted: Wanted
    plan: StepPlan | None
    holders: HolderPlan
    hole_count: int
    done_count: int
    waiting: tuple[int, ...]
    figures: Figures
    is_replanned: bool = False
    uses: tuple[HolderUse, ...] = ()
    away: tuple[str, ...] = ()

    @property
    def cards(self) -> tuple[Card, ...]:
        """The setup cards in order."""
        return self.plan.cards if self.plan else ()

    @property
    def presses(self) -> tuple[Press, ...]:
        """Every press in order."""
        return tuple(press for card in self.cards for press in card.presses)

    @property
    def without(self) -> tuple[int, ...]:
        """Plan holes that no tool sets tonight."""
        return self.plan.staged.without if self.plan else ()

    @property
    def boxes(self) -> tuple[Box, ...]:
        """The box of sheet holders in the course of the order, size by size."""
        plan = self.plan
        return boxes_of(plan.staged, plan.ordered.steps) if plan else ()

    def set_by(self, card: Card) -> SetBy | None:
        """How a card's setup is rigged; None for one without."""
        if self.plan is None or card.setup == BARE:
            return None
        return self.plan.staged.ways[card.setup]

    @property
    def reminders(self) -> tuple[int, ...]:
        """Plan holes in which a holder stays until their turn."""
        return self.plan.staged.reminders if self.plan else ()

    def grips_mm(self, card: Card) -> tuple[float, ...]:
        """Grips that a card sets rivets through, rising [mm]."""
        grip_mm = self.worked_plan.worked.of_holes("grip_mm")
        holes = (h for press in card.presses if press.kind == SET for h in press.holes)
        return tuple(sorted({round(float(grip_mm[hole]), 3) for hole in holes}))

    def face_name(self, card: Card) -> str:
        """The face a card works on; empty where none is drawn."""
        if self.plan is None:
            return ""
        face = self.plan.staged.faces[card.face]
        return self.worked_plan.worked.plan.faces[face].name if face >= 0 else ""

    def row_end(self, row: int) -> str:
        """The end from which a row's holes are counted."""
        holes = self.worked_plan.worked.holes
        every = range(int(holes.row_start[row]), int(holes.row_start[row + 1]))
        return named_end(holes, holes.plan.rows[row], every)


def order_of_step(
    worked_plan: WorkedPlan,
    shop: Shop | None,
    state: State,
    step: str,
    wanted: Wanted | None = None,
    uses: Sequence[HolderUse] = (),
) -> StepOrder:
    """The order of a step from what the record says now.

    Args:
        worked_plan: the worked-out plan.
        shop: what is owned; None: as the plan names tools.
        state: what the record says.
        step: name of the step, or several parted by a comma.
        wanted: how the person wants it.
        uses: sheet holders in other assemblies.

    Raises:
        NotFound: the plan has no such step.
        Refusal: the sheets cannot be kept together with the holders there are.
    """
    return asked_order(worked_plan, shop, state, step, wanted, uses)()


def asked_order(
    worked_plan: WorkedPlan,
    shop: Shop | None,
    state: State,
    step: str,
    wanted: Wanted | None = None,
    uses: Sequence[HolderUse] = (),
) -> Callable[[], StepOrder]:
    """The same in two parts: the record is read now, the order worked out on call.

    Raises:
        NotFound: the plan has no such step.
    """
    asked = wanted or Wanted()
    names = _names(worked_plan, step)
    bench = OrderBench(worked_plan, shop, state, names, asked, uses)
    holders = holders_for(worked_plan, shop, state, names[0], uses)

    def work_out() -> StepOrder:
        plan = bench.plan()
        return StepOrder(
            worked_plan=worked_plan,
            step=", ".join(names),
            title=bench.steps[0].title if len(names) == 1 else "",
            names=names,
            kit_minutes=_kit_minutes(bench.steps),
            wanted=asked,
            plan=plan[0] if plan else None,
            holders=holders,
            hole_count=len(bench.own),
            done_count=int(bench.is_set[bench.own].sum()),
            waiting=bench.waiting,
            figures=bench.figures,
            is_replanned=bool(plan and plan[1]),
            uses=tuple(uses),
            away=bench.left_out,
        )

    return work_out


def _kit_minutes(steps: Iterable[Step]) -> float | None:
    known = [one.kit_minutes for one in steps if one.kit_minutes is not None]
    return sum(known) if known else None


def _names(worked_plan: WorkedPlan, step: str) -> tuple[str, ...]:
    known = [one.name for one in worked_plan.worked.plan.steps]
    names = tuple(part.strip() for part in step.split(",") if part.strip())
    for name in names or (step,):
        if name not in known:
            raise NotFound(
                asked=f"work out the order of the step {name or 'without a name'}",
                found="no such step in this plan",
                allowed=f"one of {', '.join(known)}" + nearest_hint(name, known),
                do="choose a step from the list",
            )
    return names
