"""A whole aircraft made up for measuring: 15,000 holes in 400 steps, partly built.

Forty assemblies of ten steps each, as kits have them: match-drill, prepare, six steps
of rows, an inspection, a last one that closes. A quarter is done, a quarter half done.
Everything is INVENTED.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from uuid import uuid5

from benchmarks.plans import NAMES
from rivetwright.bench.open import Assembly, Project
from rivetwright.engines.plan import work_out
from rivetwright.intake.shop_file import read_shop
from rivetwright.model.opening import Delivery, Hold, Opening, Question, StepState
from rivetwright.model.pattern import Straight
from rivetwright.model.plan import DIMPLE, Part, Plan, Row, Sheet
from rivetwright.model.plan import Project as Aircraft
from rivetwright.model.step import Need, Step
from rivetwright.record.state import (
    AssemblyNow,
    Booked,
    Done,
    HoleNow,
    RivetIn,
    State,
    StepNow,
)
from rivetwright.standards.codes import rivet_code

SHOP = Path(__file__).resolve().parent.parent / "examples" / "ostrel" / "shop.yaml"
TODAY = date(2026, 11, 25)
ASSEMBLIES, HOLES, SETTING_STEPS, ROWS_A_STEP = 40, 375, 7, 2
STEPS = SETTING_STEPS + 3
PITCH_MM = 25.0
AT = "2026-11-01T18:00:00.000Z"
OPERATIONS = ("drilled", "deburred", "dimpled", "primed")
# A log as a builder's who has built a third of it.
LOG = (
    ("match-drill", 95, "172 holes"),
    ("deburr", 150, "172 holes"),
    ("dimple", 85, "255 dimples"),
    ("prime", 80, "15 parts"),
    ("set, squeezer", 90, "50 rivets"),
    ("check heads", 16, "44 rivets"),
)
LOG_DAYS = 120


def airframe(assemblies: int = ASSEMBLIES, holes: int = HOLES) -> tuple[Project, State]:
    """The aircraft with its shop, and what a record says of it.

    Args:
        assemblies: how many, each of ten steps.
        holes: of each, spread over its rows.
    """
    shop = read_shop(SHOP)
    plans = [_plan(k, holes) for k in range(assemblies)]
    state = State(position=1, digest="made")
    state.booked = _booked(plans)
    opened = []
    for k, plan in enumerate(plans):
        share = (0.0, 0.5, 0.0, 1.0)[k % 4]
        state.openings.append(plan.id)
        state.assemblies[plan.id] = _built(plan, share)
        worked_plan = work_out(plan, shop=shop)
        opened.append(Assembly(plan.id, Path(f"{plan.id}.yaml"), worked_plan))
    return Project(Path("made"), tuple(opened), shop, ()), state


def _plan(k: int, holes: int) -> Plan:
    """One assembly; every fifth waits for a part, every seventh for an answer."""
    name = f"assembly-{k}"
    rows = SETTING_STEPS * ROWS_A_STEP
    counts = [holes // rows + (j < holes % rows) for j in range(rows)]
    callouts = (rivet_code("MS20470", "AD", 4, 8), rivet_code("MS20426", "AD", 3, 6))
    made = tuple(
        Row(
            str(uuid5(NAMES, f"{name} {j}")),
            f"R{j}",
            callouts[j % 2],
            Straight((0.0, 0.0), (PITCH_MM, 0.0), count),
            f"{name}-{2 + j // ROWS_A_STEP + (j == rows - 1)}",
            stack=_stack(name, j),
        )
        for j, count in enumerate(counts)
    )
    parts = tuple(
        Part(f"{name}-p{j}", "sheet", 0.635) for j in range(SETTING_STEPS + 1)
    )
    done = ("done", "under way", "not started", "done")[k % 4]
    return Plan(
        name,
        name,
        Aircraft("made", "made"),
        "mm",
        parts,
        (),
        made,
        _steps(name),
        opening=Opening(
            day=TODAY,
            holds=_holds(k),
            questions=_questions(k),
            deliveries=_deliveries(k, name),
            steps=tuple(StepState(f"{name}-{j}", done) for j in range(2)),
        ),
    )


def _stack(name: str, j: int) -> tuple[Sheet, ...]:
    preparation = DIMPLE if j % 2 else "plain"
    part = j // ROWS_A_STEP
    return tuple(Sheet(f"{name}-p{part + side}", preparation) for side in (0, 1))


def _steps(name: str) -> tuple[Step, ...]:
    titles = ["assemble, match-drill", "deburr, dimple, prime"]
    titles += [f"rows of step {j}" for j in range(2, 2 + SETTING_STEPS - 1)]
    titles += ["pre-cover inspection", "close it"]
    made = []
    for j, title in enumerate(titles):
        needs: tuple[Need, ...] = (Need("step", f"{name}-{j - 1}"),) if j else ()
        is_visit = title.startswith("pre-cover")
        if is_visit:
            needs += (Need("inspector"),)
        made.append(
            Step(f"{name}-{j}", title, needs, kit_minutes=60, is_inspection=is_visit)
        )
    return tuple(made)


def _holds(k: int) -> tuple[Hold, ...]:
    if k % 7:
        return ()
    return (Hold(f"H{k}", ("R3:1-4",), "waits for a tool", "tool", "BB3", TODAY),)


def _questions(k: int) -> tuple[Question, ...]:
    return () if k % 7 else (Question(f"Q{k}", ("R5:1-3",), "which length?", TODAY),)


def _deliveries(k: int, name: str) -> tuple[Delivery, ...]:
    if k % 5:
        return ()
    due = TODAY + timedelta(days=20 + 3 * k)
    return (Delivery(f"{name}-p{SETTING_STEPS}", "on order", due),)


def _booked(plans: list[Plan]) -> list[Booked]:
    lines = []
    for k in range(LOG_DAYS):
        day = (TODAY - timedelta(days=2 * (LOG_DAYS - k))).isoformat()
        operation, minutes, counted = LOG[k % len(LOG)]
        plan = plans[k % len(plans)].id
        seconds = 60 * (minutes + 7 * (k % 5))
        lines.append(
            Booked(
                f"b{k}", "builder", plan, operation, seconds, True, day, counted=counted
            )
        )
    return lines


def _built(plan: Plan, share: float) -> AssemblyNow:
    """An assembly of which a share of the rows is set, and all is prepared."""
    now = AssemblyNow(revision=1)
    if not share:
        return now
    done = Done("f", "builder", AT)
    worked = {name: {"": done} for name in OPERATIONS}
    for j, row in enumerate(plan.rows):
        is_set = j < share * len(plan.rows)
        rivet = RivetIn("f", str(row.callout), AT) if is_set else None
        assert isinstance(row.pattern, Straight)
        now.rows[row.id] = {
            number + 1: HoleNow(worked=worked, rivet=rivet)
            for number in range(row.pattern.count)
        }
    for j in range(2 if share < 1 else STEPS):
        now.steps[f"{plan.id}-{j}"] = StepNow(state="done")
    return now
