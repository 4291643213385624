"""One gap for several stacks, where the bands of their heads overlap.

Sizes in inches by hand: closed height 0.760, cup 0.230 and flat 0.250 leave 0.280;
with shim 0.010 it is 0.270, with 0.020 it is 0.260, with both 0.250. A universal head
is 0.054 high, a shop head has 0.050 to 0.070, clear of what one head scatters
(0.0025) 0.0525 to 0.0675. So a stack of grip g takes gaps from g + 0.1065 to
g + 0.1215:

    grip 0.150: 0.2565 to 0.2715, the widest there is 0.270
    grip 0.147: 0.2535 to 0.2685, the widest there is 0.260
    grip 0.130: 0.2365 to 0.2515, the widest there is 0.250

The first two share 0.260; the third stays alone.
"""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.engines.order.figures import figures_of
from rivetwright.engines.order.from_plan import nothing_done, stage_of
from rivetwright.engines.order.step_plan import StepPlan, plan_steps
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.squeeze.set_up import Verdict
from rivetwright.engines.squeeze.set_ups import SetUps, set_up_of, set_ups
from rivetwright.engines.squeeze.shared import share_gaps
from rivetwright.model.plan import Access, Part, Row
from tests.unit.engines.small import IN, plan_of, row
from tests.unit.engines.test_squeeze_set_up import inch, shop

CODE = "MS20470AD4-5.5"
GRIPS = {"A": 0.150, "B": 0.147, "C": 0.130}


def rows(*names: str) -> tuple[list[Row], list[Part]]:
    """Rows of two holes each, through 0.040 and what the grip leaves."""
    access = Access(tools=("Y2",))
    parts = [Part("top", "sheet", 0.040 * IN)]
    parts += [Part(f"under {k}", "sheet", (GRIPS[k] - 0.040) * IN) for k in names]
    made = [
        row(
            k,
            CODE,
            count=2,
            access=access,
            stack=(("top", "plain"), (f"under {k}", "plain")),
        )
        for k in names
    ]
    return made, parts


def plan(*names: str) -> WorkedPlan:
    """These rows, worked out with the shop."""
    made, parts = rows(*names)
    return work_out(plan_of(*made, parts=parts), shop=shop())


def gaps(found: SetUps) -> list[float]:
    """The gap of each class [in]."""
    return [round(inch(one.gap_mm), 4) for one in found]


def shared(worked_plan: WorkedPlan) -> tuple[SetUps, SetUps]:
    """Set-ups alone, and as they share gaps."""
    alone = set_ups(worked_plan.worked, shop())
    batches = [share_gaps(one, np.arange(len(one))) for one in alone.batches]
    return alone, SetUps(worked_plan.worked, batches)


def test_bands_that_overlap_share_one_gap() -> None:
    """Alone 0.270, 0.260, 0.250; in one go 0.260, 0.260, 0.250."""
    alone, together = shared(plan("A", "B", "C"))
    assert gaps(alone) == [0.270, 0.260, 0.250]
    assert gaps(together) == [0.260, 0.260, 0.250]


def test_heads_of_a_shared_gap_are_those_it_makes() -> None:
    """0.260 less 0.054 and the grip: 0.056 and 0.059, by a caliper; both in band."""
    _, together = shared(plan("A", "B"))
    heads = [one.head_mm for one in together]
    assert [inch(h.central) for h in heads if h] == pytest.approx(
        [0.056, 0.059], abs=0.001
    )
    assert {one.verdict for one in together} == {Verdict.IN_BAND}


def test_a_stack_by_itself_keeps_its_own_gap() -> None:
    """Nothing to share with: 0.270."""
    alone, together = shared(plan("A"))
    assert gaps(together) == gaps(alone) == [0.270]


def test_card_of_a_hole_can_be_asked_for_the_shared_gap() -> None:
    """0.260 asked for: shim 0.020; 0.285, which no pieces leave: its own 0.270."""
    worked = plan("A").worked
    asked = [
        set_up_of(worked, shop(), 0, "Y2", "air", gap_mm=gap * IN)
        for gap in (0.260, 0.285)
    ]
    assert [round(inch(one.gap_mm), 4) for one in asked] == [0.260, 0.270]
    assert asked[0].pieces is not None
    assert [inch(t) for t in asked[0].pieces.shims_mm] == pytest.approx([0.020])


def ordered(*names: str) -> StepPlan:
    """The first order of these rows."""
    worked = plan(*names).worked
    stage = stage_of(worked, shop(), nothing_done(worked), ["1"], figures_of(shop()))
    return plan_steps(stage, work=0.0)


def test_order_changes_no_shims_between_them() -> None:
    """Rows A and B in one set-up; with C there is one change, to its 0.250."""
    both = ordered("A", "B")
    assert [card.rivets for card in both.cards] == [4]
    ways = [
        one.staged.ways[card.setup]
        for one in (ordered("A", "B", "C"),)
        for card in one.cards
    ]
    assert sorted(round(inch(way.gap_mm), 4) for way in ways) == [0.250, 0.260]
