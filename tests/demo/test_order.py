"""The order of the demo's steps: the scenario's rules hold, its holders are enough.

Order rules, sheet holders and the kit's minutes are those of the scenario's table of
steps (INVENTED): A11 before A12; C1-C11 before the bottom skin; C19 before C15-C18
before C13 and C14; skin rows from the middle outward; a holder in every second hole.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.bench.open import open_folder
from rivetwright.bench.order import StepOrder, Wanted, order_of_step
from rivetwright.bench.order_steps import step_times
from rivetwright.engines.order.checker import check_plan, check_start
from rivetwright.engines.order.figures import figures_of
from rivetwright.engines.order.from_plan import Staged, nothing_done, stage_of
from rivetwright.engines.order.holders import MATCH_DRILLING, holder_plan
from rivetwright.engines.order.said import EVENT, SET
from rivetwright.engines.order.step_plan import StepPlan, plan_steps
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.shop import Shop
from rivetwright.record.fold import fold
from rivetwright.record.kinds import Delivered
from rivetwright.record.state import State
from tests.unit.record.made import told

IN = 25.4
STEPS = [
    *(("aileron", f"aileron-{k}") for k in (3, 4, 5, 6, 8)),
    *(("flap", f"flap-{k}") for k in (3, 4, 6, 7, 8)),
    *(("root-rib", f"rib-{k}") for k in (3, 4, 5, 6)),
]


@pytest.fixture(scope="module")
def shop(root: Path) -> Shop:
    """The demo's shop."""
    found = open_folder(root / "examples" / "ostrel").shop
    assert found is not None
    return found


@pytest.fixture(scope="module")
def plans(root: Path) -> dict[str, WorkedPlan]:
    """The demo's plans, worked out with its shop."""
    folder = open_folder(root / "examples" / "ostrel")
    return {one.key: one.worked_plan for one in folder.assemblies}


def staged(plan: WorkedPlan, shop: Shop, *steps: str) -> Staged:
    """The stage of some steps with nothing of the plan set."""
    worked = plan.worked
    return stage_of(worked, shop, nothing_done(worked), steps, figures_of(shop))


def set_in_order(plan: StepPlan, worked_plan: WorkedPlan) -> list[str]:
    """Names of the holes in the order in which they are set."""
    name = worked_plan.worked.holes.name
    presses = (press for card in plan.cards for press in card.presses)
    return [name(h) for press in presses if press.kind == SET for h in press.holes]


def rows_of(names: list[str]) -> list[str]:
    """The row of each hole."""
    return [name.partition(":")[0] for name in names]


def last_before(rows: list[str], first: tuple[str, ...], then: tuple[str, ...]) -> bool:
    """Whether everything of some rows comes before everything of others."""
    last = max(k for k, row in enumerate(rows) if row in first)
    return last < min(k for k, row in enumerate(rows) if row in then)


@pytest.mark.parametrize(
    ("key", "step", "counts"),
    [
        ("aileron", "aileron-5", {3: 37}),
        ("aileron", "aileron-8", {4: 19}),
        ("flap", "flap-4", {3: 35}),
        ("flap", "flap-6", {3: 21, 4: 32}),
    ],
)
def test_holders_are_those_that_the_scenario_counts(
    plans: dict[str, WorkedPlan],
    shop: Shop,
    key: str,
    step: str,
    counts: dict[int, int],
) -> None:
    """Every second hole from a step to the next inspection; 80 and 40 are enough."""
    plan = holder_plan(plans[key].worked, shop, step)
    assert {one.diameter_32nds: one.wanted for one in plan.counts} == counts
    assert plan.is_enough


def test_holders_for_match_drilling_are_told_for_all_rows(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """Aileron: 109 holes of 3/32 and 63 of 1/8 by the table of rows, half of each."""
    plan = holder_plan(plans["aileron"].worked, shop)
    assert plan.purpose == MATCH_DRILLING
    assert [(one.diameter_32nds, one.wanted) for one in plan.counts] == [
        (3, 55),
        (4, 32),
    ]


def test_too_few_holders_are_told_with_how_many(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """With 70 of the 80 of 3/32 in another assembly 10 are left: 25 short of 35."""
    plan = holder_plan(plans["flap"].worked, shop, "flap-4", {3: 70})
    (one,) = plan.counts
    assert (one.free, one.short) == (10, 25)


@pytest.mark.parametrize(("key", "step"), STEPS)
def test_every_step_begins_held_and_its_order_is_allowed(
    plans: dict[str, WorkedPlan], shop: Shop, key: str, step: str
) -> None:
    """Rules A and B throughout; nothing set against C; every rivet set once."""
    stage = staged(plans[key], shop, step)
    assert check_start(stage.stage) == ()
    plan = plan_steps(stage, work=0.0)
    verdict = check_plan(plan.staged.stage, plan.ordered.steps)
    assert verdict.stopped == verdict.zipped == ()
    names = set_in_order(plan, plans[key])
    assert len(names) == len(set(names)) == stage.wanted_count


def test_top_spar_row_comes_before_the_bottom_one(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """A11, the inspection, then A12: after A12 the nose is shut."""
    stage = staged(plans["aileron"], shop, "aileron-5", "aileron-6", "aileron-8")
    plan = plan_steps(stage, work=0.0)
    rows = rows_of(set_in_order(plan, plans["aileron"]))
    assert last_before(rows, ("A11",), ("A12",))
    events = [
        (stage.events[p.index].kind, stage.events[p.index].name)
        for card in plan.cards
        for p in card.presses
        if p.kind == EVENT
    ]
    assert events == [
        ("begin", "aileron-6"),
        ("inspect", "aileron-7"),
        ("begin", "aileron-8"),
    ]
    assert set(rows) == {"A11", "A12", "A19", "A20", "A21", "A22"}


def test_flap_is_closed_from_the_trailing_edge(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """C1-C12 before the bottom skin; C19, then C15-C18, then C13 and C14."""
    steps = [f"flap-{k}" for k in (3, 4, 6, 7, 8)]
    plan = plan_steps(staged(plans["flap"], shop, *steps), work=0.0)
    rows = rows_of(set_in_order(plan, plans["flap"]))
    skin = ("C15", "C16", "C17", "C18")
    assert last_before(rows, tuple(f"C{k}" for k in range(1, 13)), ("C19",))
    assert last_before(rows, ("C19",), skin)
    assert last_before(rows, skin, ("C13", "C14"))


@pytest.mark.parametrize(
    ("key", "step", "row"),
    [("aileron", "aileron-6", "A11"), ("flap", "flap-4", "C12")],
)
def test_skin_rows_are_begun_in_the_middle(
    plans: dict[str, WorkedPlan], shop: Shop, key: str, step: str, row: str
) -> None:
    """The first rivet lies no more than two holes from the middle of the row."""
    plan = plan_steps(staged(plans[key], shop, step), work=0.0)
    assert plan.staged.way.from_middle
    names = [n for n in set_in_order(plan, plans[key]) if n.startswith(f"{row}:")]
    count = sum(r.name == row and r.pattern.count for r in plans[key].worked.plan.rows)
    first = int(names[0].partition(":")[2])
    assert abs(first - (count + 1) / 2) <= 2


def order(
    plans: dict[str, WorkedPlan], shop: Shop, key: str, step: str, **wanted: object
) -> StepOrder:
    """A step's order from the demo's files."""
    asked = Wanted(work=0.0, **wanted)  # type: ignore[arg-type]
    return order_of_step(plans[key], shop, State(), step, asked)


def test_open_holes_stay_open(plans: dict[str, WorkedPlan], shop: Shop) -> None:
    """A12: 18-20 wait for the bracket, 37 for the cap strip; 33 are set."""
    one = order(plans, shop, "aileron", "aileron-8")
    name = plans["aileron"].worked.holes.name
    assert [name(h) for h in one.waiting] == ["A12:18", "A12:19", "A12:20", "A12:37"]
    assert sum(card.rivets for card in one.cards) == 33


def test_planned_minutes_stand_beside_the_kits(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """Flap-4: the kit's guess is 150 min; rivets alone take 56 x 12 s and 14 x 25 s."""
    one = order(plans, shop, "flap", "flap-4")
    assert one.kit_minutes == 150
    assert one.plan is not None
    rivets_s = 56 * 12 + 14 * 25
    assert one.plan.ordered.cost.rivet_s == pytest.approx(rivets_s)
    assert rivets_s < one.plan.time_s < 150 * 60


def test_alone_the_ribs_in_the_middle_wait_for_the_friend(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """C9 and C10: no yoke reaches 9.5 in, gun and bar takes two."""
    one = order(plans, shop, "flap", "flap-4", alone=True)
    name = plans["flap"].worked.holes.name
    assert {name(h).partition(":")[0] for h in one.without} == {"C9", "C10"}
    assert {way.people for way in (one.set_by(c) for c in one.cards) if way} == {1}


def test_quiet_hours_leave_the_hand_squeezer(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """The compressor and the gun are noisy, the hand squeezer is not."""
    one = order(plans, shop, "flap", "flap-6", quiet=True)
    ways = [way for way in (one.set_by(c) for c in one.cards) if way]
    assert {way.tool for way in ways} == {"hand squeezer"}
    assert sum(card.rivets for card in one.cards) == 42


def test_a_tool_that_breaks_leaves_its_holes(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """Hole 7 of A19-A22, 0.660 behind, tail 0.14: Y1's nose 0.62 does not go in.

    Without Y3 the thin bar BB2 (0.50) is left, and that takes the friend.
    """
    gone = {"left_out": ("Y3",)}
    one = order(plans, shop, "aileron", "aileron-5", **gone)
    ways = [way for way in (one.set_by(c) for c in one.cards) if way]
    assert {way.tool for way in ways if way.people == 2} == {"BB2"}
    one = order(plans, shop, "aileron", "aileron-5", alone=True, **gone)
    name = plans["aileron"].worked.holes.name
    seventh = {f"A{k}:7" for k in (19, 20, 21, 22)}
    assert seventh <= {name(h) for h in one.without}
    whole = order(plans, shop, "aileron", "aileron-5")
    assert not seventh & {name(h) for h in whole.without}


def test_step_stopped_by_a_finding_plans_nothing(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """A11 with rivets too short: nothing to set; as if answered, 36 are."""
    assert order(plans, shop, "aileron", "aileron-6").plan is None
    one = order(plans, shop, "aileron", "aileron-6", as_if=True)
    assert sum(card.rivets for card in one.cards) == 36


def test_minutes_of_every_step_stand_beside_the_kits(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """The kit's guesses of the scenario, and less than them, for it drills nothing."""
    times = step_times(plans["flap"], shop, State(), Wanted(), is_planned=True)
    kit = {one.name: one.kit_minutes for one in times}
    assert kit == {
        "flap-3": 70,
        "flap-4": 150,
        "flap-6": 75,
        "flap-7": 40,
        "flap-8": 80,
    }
    planned = {one.name: one.planned_s for one in times if one.planned_s is not None}
    assert all(0 < s < kit[name] * 60 for name, s in planned.items())


def test_a_squeezer_that_breaks_tonight_is_left_out(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """The record says that the pneumatic one is broken: the hand squeezer sets C19."""
    broken = Delivered("tool", "pneumatic squeezer", "broken")
    state = fold(told(broken))
    one = order_of_step(plans["flap"], shop, state, "flap-6", Wanted(work=0.0))
    ways = [way for way in (one.set_by(c) for c in one.cards) if way]
    assert {way.tool for way in ways} == {"hand squeezer"}
    assert one.away == ("pneumatic squeezer",)


def test_rows_begun_in_the_middle_go_in_few_passes(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """C12, 42 holes, a holder in every second and in the 42nd.

    Rivets, holders, rivets; the 41st, beside the 42nd, comes once more: no more than
    three runs of rivets.
    """
    one = order(plans, shop, "flap", "flap-4")
    holes = plans["flap"].worked.holes
    rows = [
        holes.row_of(press.holes[0]).name for press in one.presses if press.kind == SET
    ]
    assert rows.count("C12") <= 3


def test_step_whose_sizes_differ_has_a_box_for_each(
    plans: dict[str, WorkedPlan], shop: Shop
) -> None:
    """Flap-6 to flap-8 by the scenario: 80 of 3/32 and 40 of 1/8 in the shop."""
    one = order(plans, shop, "flap", "flap-6,flap-7,flap-8")
    assert {box.diameter_32nds: box.free for box in one.boxes} == {3: 80, 4: 40}
    assert all(box.short == 0 for box in one.boxes)
