"""What the template of the bench screen needs, gathered from the evening."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from rivetwright.bench.evening import Evening
from rivetwright.bench.hours import forgotten, zone_of
from rivetwright.bench.now import HoleIds
from rivetwright.bench.open import Assembly
from rivetwright.bench.operations import by_row
from rivetwright.bench.runs import Run
from rivetwright.bench.supplies import supply_names
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.order.said import FIRST, RIG
from rivetwright.record.order import read_utc, write_utc
from rivetwright.record.photos import BYTES_MAX
from rivetwright.record.state import QuestionNow, Timer
from rivetwright.texts.bench_words import count_words
from rivetwright.texts.order_card import press_words, run_words
from rivetwright.web.bench_stages import shown_stage, stages_of
from rivetwright.web.pictures import bare_map_picture, strip_picture
from rivetwright.web.sayings import Sayings
from rivetwright.web.set_up_lines import bench_cards, shop_of

MAP_PX = (358, 177)
ID_BYTES = 16
BENCH_WORK = (
    *("drill", "deburr", "dimple", "countersink", "prime", "hold"),
    *("set", "check", "remove"),
)
OTHER_WORK = ("read", "tidy", "order", "film")


@dataclass(frozen=True)
class FaceMap:
    """A face of the step with its hole map."""

    name: str
    title: str
    picture: Markup


def fresh_id() -> str:
    """An id for a mark: 128 random bits."""
    return secrets.token_hex(ID_BYTES)


def screen(
    workshop: Workshop,
    assembly: Assembly,
    evening: Evening,
    asked: Mapping[str, str],
    say: Sayings,
) -> dict[str, Any]:
    """Everything that the panel shows: screens, which is shown, timer, people."""
    ids = workshop.hole_ids(evening.assembly)
    plan = ids.holes.plan
    stages = stages_of(evening, {row.name: row.face for row in plan.rows}, say)
    shop = workshop.read().project.shop
    now = workshop.clock()
    return {
        "assembly": assembly,
        "plan": plan,
        "evening": evening,
        "operation_rows": by_row(evening.operations),
        "stages": stages,
        "shown": shown_stage(stages, asked.get("at", "")),
        "set_up_cards": bench_cards(
            assembly, shop_of(assembly, shop), evening.runs, evening.order
        ),
        "places": {run.key: places_of(ids, run) for run in evening.runs},
        # The order is that of this plan, also where it is the one after a bulletin.
        "befores": befores(HoleIds(assembly.worked_plan.worked.holes), evening),
        "asked": asked,
        "people": shop.people if shop else (),
        "row_names": {row.id: row.name for row in plan.rows},
        "row_lasts": row_lasts(ids),
        "photo_bytes_max": BYTES_MAX,
        "callouts": callouts(ids),
        "supplies": supply_names(workshop),
        "questions": open_questions(workshop, evening.assembly),
        "forgotten": forgotten(evening.timer, now, workshop.time_zone),
        "timer_since": evening.timer and clock_time(evening.timer, workshop.time_zone),
        "bench_work": BENCH_WORK,
        "other_work": OTHER_WORK,
        "now": write_utc(now),
        "fresh_id": fresh_id,
    }


@dataclass(frozen=True)
class Before:
    """What is done before a run, in words; `holes` are those that get a holder."""

    words: str
    holes: tuple[str, ...] = ()


def befores(ids: HoleIds, evening: Evening) -> dict[str, list[Before]]:
    """What a worked-out order wants done before each run, by the run's key."""
    order = evening.order
    if order is None:
        return {}
    said: dict[str, list[Before]] = {}
    for run in evening.runs:
        if run.card is None:
            continue
        lines = said.setdefault(run.key, [])
        for press in run.before:
            if press.kind == RIG:
                # What is rigged stands on the set-up's own card below.
                continue
            words = press_words(order, run.card, press)
            if press.row >= 0 and ids.holes.plan.rows[press.row].name != run.row:
                row = ids.holes.plan.rows[press.row].name
                words = f"{count_words(row, order.row_end(press.row))}. {words}"
            is_in = press.kind == FIRST
            lines.append(Before(words, ids.ranges(press.holes) if is_in else ()))
        if run.press is not None:
            lines.append(Before(run_words(order, run.press)))
    return said


def open_questions(workshop: Workshop, assembly: str) -> list[QuestionNow]:
    """Questions of an assembly that nobody answered yet."""
    asked = workshop.state().assembly(assembly).questions.values()
    return [one for one in asked if not one.answer]


@dataclass(frozen=True)
class Place:
    """A hole of a run: permanent id, name, number, which of its row, when it is set."""

    id: str
    name: str
    number: int
    counted: int
    turn: int


def places_of(ids: HoleIds, run: Run) -> list[Place]:
    """Each hole of a run, in the order of their numbers."""
    columns = ids.holes
    turns = {name: turn for turn, name in enumerate(run.names)}
    return [
        Place(
            columns.id(at),
            columns.name(at),
            int(columns.number[at]),
            at - int(columns.row_start[columns.row[at]]) + 1,
            turns[columns.name(at)],
        )
        for at in ids.indices(run.hole_ids)
    ]


def row_lasts(ids: HoleIds) -> dict[str, int]:
    """The last number of each row that has holes, by its name."""
    columns = ids.holes
    ends = [int(end) for end in columns.row_start]
    return {
        row.name: int(columns.number[end - 1])
        for row, start, end in zip(columns.plan.rows, ends, ends[1:], strict=False)
        if end > start
    }


def callouts(ids: HoleIds) -> list[str]:
    """Every callout of the plan, once."""
    plan = ids.holes.plan
    later = [one.callout for one in plan.open_holes if one.callout is not None]
    every = [*(row.callout for row in plan.rows), *later]
    return sorted({str(one) for one in every})


def clock_time(timer: Timer, zone: str) -> str:
    """When a timer began, by the clock on the wall."""
    return f"{read_utc(timer.since).astimezone(zone_of(zone)):%H:%M}"


def face_maps(
    assembly: Assembly, evening: Evening, room_px: tuple[int, int]
) -> list[FaceMap]:
    """The faces that the holes of a step lie on."""
    worked_plan = assembly.worked_plan
    plan = worked_plan.worked.plan
    rows = {name.partition(":")[0] for name in evening.states}
    used = {row.face for row in plan.rows if row.name in rows}
    return [
        FaceMap(
            face.name,
            face.title,
            bare_map_picture(worked_plan, face.name, room_px),
        )
        for face in plan.faces
        if face.name in used
    ]


def row_strips(assembly: Assembly, evening: Evening) -> list[Markup]:
    """Pictures of the step's rows that lie on no face."""
    plan = assembly.worked_plan.worked.plan
    rows = {name.partition(":")[0] for name in evening.states}
    return [
        strip_picture(assembly.worked_plan, row.name)
        for row in plan.rows
        if row.name in rows and not row.face
    ]
