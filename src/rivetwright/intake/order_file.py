"""Stages of setting as JSON files, and the plans that answer them.

Reads `rivet-order/1` (one stage) and `rivet-order-set/1` (several); writes
`rivet-plan/1`. Refuses indices that point nowhere, columns of different length,
groups and milestones that wait for one another in a ring.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from functools import partial
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from typing import Any

import numpy as np

from rivetwright.intake.faults import Faults
from rivetwright.intake.faults import Path as Place
from rivetwright.intake.json_read import WHOLE_MOST, Reader, load_json
from rivetwright.model.columns import read_only
from rivetwright.model.stage import (
    BARE,
    LETTERS,
    Clamp,
    Creep,
    Milestone,
    Setup,
    Stage,
    StageSet,
    StepCosts,
    Steps,
    Token,
)

STAGE_FORMAT = "rivet-order/1"
SET_FORMAT = "rivet-order-set/1"
PLAN_FORMAT = "rivet-plan/1"
DESCRIBED_IN = "docs/order-file.md"

_TOKEN = re.compile(r"[gm]\d{1,6}")
_COSTS = (
    *("tool", "yoke", "dies", "gap", "proof", "bin", "crew"),
    *("holder_out", "holder_in", "swap", "speed_mm_s", "creep_penalty"),
)
_COLUMNS = (*("face", "line", "s", "x", "y", "opts", "group", "holder", "deferred"),)
# The file's name of a column, ours, and what it is made of.
_ARRAYS: tuple[tuple[str, str, Any], ...] = (
    ("face", "face", np.int32),
    ("line", "row", np.int32),
    ("s", "s_mm", np.float64),
    ("x", "x_mm", np.float64),
    ("y", "y_mm", np.float64),
    ("group", "group", np.int32),
    ("holder", "holder", np.bool_),
)
_SETUP = ("tool", "yoke", "dies", "gap", "rivet", "crew", "rivet_s")
_NEEDED = (
    *("format", "name", "costs", "clamp", "creep", "turn_s", "start_face"),
    *("holders_spare", "setups", "groups", "milestones", "precedence", "lines"),
    "holes",
)
_MORE = ("kind", "seed", "units")
_SLOWEST_MM_S = 1e-3


def read_stages(path: Path | str) -> Stage | StageSet:
    """Read a file with one stage, or with a set of them.

    Args:
        path: the file.

    Returns:
        The stage or the set.

    Raises:
        PlanRefused: the file is not there or has mistakes; carries all of them.
    """
    faults = Faults(str(path), described_in=DESCRIBED_IN)
    written = load_json(Path(path), faults)
    form = written.get("format")
    if form == SET_FORMAT:
        answer: Stage | StageSet = _read_set(written, Reader(faults))
    elif form == STAGE_FORMAT:
        answer = _StageReader(Reader(faults), (), written).read()
    else:
        faults.add(("format",), form, f"{STAGE_FORMAT} or {SET_FORMAT}")
        raise faults.refusal()
    faults.refuse()
    return answer


def _read_set(written: Mapping[str, Any], reader: Reader) -> StageSet:
    needed = ("format", "name", "stages", "stage_precedence")
    reader.fields((), written, needed, _MORE)
    stages = reader.each(
        ("stages",),
        written.get("stages"),
        lambda place, one: _StageReader(reader, place, one).read(),
    )
    place: Place = ("stage_precedence",)
    pairs = reader.each(
        place, written.get("stage_precedence"), partial(_pair, reader, len(stages))
    )
    _no_ring(reader.faults, place, pairs)
    name = reader.text(("name",), written.get("name"))
    return StageSet(name, tuple(stages), tuple(pairs))


def _pair(reader: Reader, count: int, place: Place, written: Any) -> tuple[int, int]:
    pair = reader.each(place, written, partial(reader.whole, below=count), count=2)
    return (pair[0], pair[1]) if pair else (0, 0)


def _no_ring(
    faults: Faults, place: Place, pairs: Sequence[tuple[object, object]]
) -> None:
    """Tell of things that wait for one another in a ring."""
    before: dict[object, set[object]] = {}
    for first, then in pairs:
        before.setdefault(then, set()).add(first)
    try:
        TopologicalSorter(before).prepare()
    except CycleError as ring:
        faults.add(
            place,
            "a ring: " + " before ".join(str(one) for one in ring.args[1]),
            "an order in which each can be done",
            "Take one of these pairs out",
        )


class _StageReader:
    """One stage out of its group of fields."""

    def __init__(self, reader: Reader, place: Place, written: Any) -> None:
        self.reader = reader
        self.place = place
        self.written = reader.fields(place, written, _NEEDED, _MORE)

    def at(self, *steps: str) -> Place:
        """The place of a field of this stage."""
        return (*self.place, *steps)

    def read(self) -> Stage:
        """The stage; faults are noted on the way."""
        take, written = self.reader, self.written

        def each(name: str, taken: Any) -> Any:
            return take.each(self.at(name), written.get(name), taken)

        turns = self._turns()
        setups = each("setups", self._setup)
        groups = each("groups", take.text)
        milestones = each("milestones", self._milestone)
        rows = each("lines", partial(self._row_after, len(milestones)))
        precedence = each(
            "precedence", partial(self._before, len(groups), len(milestones))
        )
        counts = {"face": turns, "line": rows, "opts": setups, "group": groups}
        holes = self._holes({name: len(one) for name, one in counts.items()})
        self._check_order(precedence, rows, holes)
        limits = ("skip_mm", "bracket_mm", "short_line_mm")
        faces = max(len(turns), 1)
        return Stage(
            name=take.text(self.at("name"), written.get("name")),
            costs=self._costs(),
            clamp=Clamp(*self._lengths("clamp", ("reach_mm", "end_mm"))),
            creep=Creep(*self._lengths("creep", limits)),
            turn_s=read_only(np.array(turns, dtype=np.float64)),
            setups=tuple(setups),
            groups=tuple(groups),
            milestones=tuple(milestones),
            precedence=tuple(precedence),
            row_after=read_only(np.array(rows, dtype=np.int32)),
            **holes,
            done=read_only(np.zeros(len(milestones), dtype=np.bool_)),
            start_face=self._count("start_face", faces),
            holders_spare=self._count("holders_spare"),
        )

    def _count(self, name: str, below: int = WHOLE_MOST) -> int:
        return self.reader.whole(self.at(name), self.written.get(name), below)

    def _lengths(self, name: str, fields: Sequence[str]) -> list[float]:
        place = self.at(name)
        group = self.reader.fields(place, self.written.get(name), fields, ())
        return [
            self.reader.number((*place, one), group.get(one), 0.0) for one in fields
        ]

    def _costs(self) -> StepCosts:
        place = self.at("costs")
        group = self.reader.fields(place, self.written.get("costs"), _COSTS, ())
        leasts = {"speed_mm_s": _SLOWEST_MM_S}
        figures = {
            name: self.reader.number(
                (*place, name), group.get(name), leasts.get(name, 0.0)
            )
            for name in _COSTS
        }
        speed_mm_s = figures.pop("speed_mm_s")
        timed = {f"{name}_s": figure for name, figure in figures.items()}
        return StepCosts(**timed, speed_mm_s=speed_mm_s)

    def _turns(self) -> list[list[float]]:
        place, written = self.at("turn_s"), self.written.get("turn_s")
        count = len(written) if isinstance(written, list) else 0
        seconds = partial(self.reader.number, least=0.0)
        line = partial(self._line_of_turns, seconds, count)
        return self.reader.each(place, written, line)

    def _line_of_turns(
        self, seconds: Any, count: int, place: Place, written: Any
    ) -> list[float]:
        line = self.reader.each(place, written, seconds, count=count)
        return line or [0.0] * count

    def _setup(self, place: Place, written: Any) -> Setup:
        take = self.reader
        group = take.fields(place, written, _SETUP, ())
        gap = partial(take.number, least=0.0)
        return Setup(
            tool=take.text((*place, "tool"), group.get("tool")),
            yoke=take.maybe((*place, "yoke"), group.get("yoke"), take.text),
            dies=take.text((*place, "dies"), group.get("dies")),
            gap_mm=take.maybe((*place, "gap"), group.get("gap"), gap),
            rivet=take.text((*place, "rivet"), group.get("rivet")),
            crew=take.whole((*place, "crew"), group.get("crew"), 3, 1),
            rivet_s=take.number((*place, "rivet_s"), group.get("rivet_s"), 0.0),
        )

    def _milestone(self, place: Place, written: Any) -> Milestone:
        take = self.reader
        group = take.fields(place, written, ("name", "time_s"), ())
        return Milestone(
            take.text((*place, "name"), group.get("name")),
            take.number((*place, "time_s"), group.get("time_s"), 0.0),
        )

    def _row_after(self, count: int, place: Place, written: Any) -> int:
        take, field = self.reader, "active_after"
        group = take.fields(place, written, (field,), ())
        milestone = partial(take.whole, below=count)
        after = take.maybe((*place, field), group.get(field), milestone)
        return BARE if after is None else after

    def _before(
        self, groups: int, milestones: int, place: Place, written: Any
    ) -> tuple[Token, Token]:
        token = partial(self._token, groups, milestones)
        pair = self.reader.each(place, written, token, count=2)
        return (pair[0], pair[1]) if pair else (Token(False, 0), Token(False, 0))

    def _token(self, groups: int, milestones: int, place: Place, written: Any) -> Token:
        if isinstance(written, str) and _TOKEN.fullmatch(written):
            token = Token(written[0] == "m", int(written[1:]))
            if token.number < (milestones if token.is_milestone else groups):
                return token
        allowed = f"g and a group below {groups}, or m and a milestone below "
        self.reader.faults.add(place, written, f"{allowed}{milestones}")
        return Token(False, 0)

    def _holes(self, counts: Mapping[str, int]) -> dict[str, Any]:
        take, place = self.reader, self.at("holes")
        group = take.fields(place, self.written.get("holes"), _COLUMNS, ())
        first = group.get("face")
        count = len(first) if isinstance(first, list) else 0

        def column(name: str, taken: Any) -> list[Any]:
            return take.each((*place, name), group.get(name), taken, count=count)

        def options(at: Place, written: Any) -> tuple[int, ...]:
            setup = partial(take.whole, below=counts["opts"])
            return tuple(dict.fromkeys(take.each(at, written, setup)))

        kept = column("deferred", take.flag)
        admitted = column("opts", options)
        for hole, (setups, is_deferred) in enumerate(zip(admitted, kept, strict=False)):
            if not setups and not is_deferred:
                at = (*place, "opts", hole)
                take.faults.add(at, "no setup", "at least one setup that can set it")
        columns: dict[str, Any] = {}
        for name, ours, kind in _ARRAYS:
            if name in counts:
                taken: Any = partial(take.whole, below=counts[name])
            else:
                taken = take.flag if kind is np.bool_ else take.number
            columns[ours] = read_only(np.array(column(name, taken), dtype=kind))
        columns["is_deferred"] = read_only(np.array(kept, dtype=np.bool_))
        columns["is_set"] = read_only(np.zeros(count, dtype=np.bool_))
        return {**columns, "options": tuple(admitted)}

    def _check_order(
        self,
        precedence: Sequence[tuple[Token, Token]],
        rows: Sequence[int],
        holes: Mapping[str, Any],
    ) -> None:
        """Groups wait also for the milestone that brings their row."""
        pairs: set[tuple[Token, Token]] = set(precedence)
        columns = (holes["row"], holes["group"], holes["is_deferred"])
        for row, group, is_deferred in zip(*columns, strict=False):
            if row < len(rows) and rows[row] != BARE and not is_deferred:
                pairs.add((Token(True, rows[row]), Token(False, int(group))))
        _no_ring(self.reader.faults, self.at("precedence"), sorted(pairs))


def steps_form(stage: Stage, steps: Steps) -> dict[str, Any]:
    """A plan in the form of its file."""
    letters = [[LETTERS[kind], index] for kind, index in steps]
    return {"format": PLAN_FORMAT, "instance": stage.name, "steps": letters}


def write_steps(stages: Stage | StageSet, plans: Sequence[Steps]) -> str:
    """The text of a plan file: one plan, or one for each stage of a set.

    Args:
        stages: what was read.
        plans: a plan for each stage, in their order.

    Returns:
        JSON on one line.
    """
    if isinstance(stages, Stage):
        form: dict[str, Any] = steps_form(stages, plans[0])
    else:
        pairs = zip(stages.stages, plans, strict=True)
        form = {"plans": [steps_form(stage, steps) for stage, steps in pairs]}
    return json.dumps(form, separators=(",", ":")) + "\n"


def read_steps(path: Path | str) -> tuple[Steps, ...]:
    """Read a plan file: one plan, or those of a set.

    Args:
        path: the file.

    Returns:
        The steps of each plan.

    Raises:
        PlanRefused: the file is not there or has mistakes; carries all of them.
    """
    faults = Faults(str(path), described_in=DESCRIBED_IN)
    written, reader = load_json(Path(path), faults), Reader(faults)
    if "plans" in written:
        plans = reader.each(("plans",), written["plans"], partial(_read_plan, reader))
    else:
        plans = [_read_plan(reader, (), written)]
    faults.refuse()
    return tuple(plans)


def _read_plan(reader: Reader, place: Place, written: Any) -> Steps:
    group = reader.fields(place, written, ("format", "steps"), ("instance",))
    if group.get("format") != PLAN_FORMAT:
        reader.faults.add((*place, "format"), group.get("format"), PLAN_FORMAT)

    def one(at: Place, step: Any) -> tuple[int, int]:
        is_pair = isinstance(step, list) and len(step) == 2
        if is_pair and step[0] in tuple(LETTERS):
            return LETTERS.index(step[0]), reader.whole((*at, 1), step[1])
        allowed = f"a letter of {LETTERS} and a number, such as R and 12"
        reader.faults.add(at, step, allowed)
        return 0, 0

    return Steps.of(reader.each((*place, "steps"), group.get("steps"), one))
