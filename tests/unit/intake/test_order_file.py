"""Stage files read whole, or refused with place, found, allowed; plans written."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from rivetwright.errors import PlanRefused
from rivetwright.intake.order_file import read_stages, read_steps, write_steps
from rivetwright.model.stage import BARE, Kind, Stage, StageSet, Steps

INSTANCES = Path(__file__).parents[3] / "benchmarks" / "order"
TINY: dict[str, Any] = json.loads(
    (INSTANCES / "tiny-rib-12-s21.json").read_text("utf-8")
)


def read(tmp_path: Path, written: object) -> Stage | StageSet:
    """Read what is written to a file."""
    file = tmp_path / "stage.json"
    text = written if isinstance(written, str) else json.dumps(written)
    file.write_text(text, encoding="utf-8")
    return read_stages(file)


def faults(tmp_path: Path, written: object) -> list[tuple[str, str, str]]:
    """Place, found and allowed of everything that is refused."""
    with pytest.raises(PlanRefused) as refused:
        read(tmp_path, written)
    return [(one.field, one.found, one.allowed) for one in refused.value.faults]


def changed(*path: str | int, to: object) -> dict[str, Any]:
    """The tiny stage with one value changed."""
    stage = copy.deepcopy(TINY)
    group: Any = stage
    for step in path[:-1]:
        group = group[step]
    group[path[-1]] = to
    return stage


def test_a_stage_is_read_whole() -> None:
    """The tiny rib: twelve holes in three rows, six setups, two in the way of one."""
    stage = read_stages(INSTANCES / "tiny-rib-12-s21.json")
    assert isinstance(stage, Stage)
    assert (stage.name, len(stage), len(stage.setups)) == ("tiny-rib-12-s21", 12, 6)
    assert stage.options[4] == (2, 3)
    assert stage.holder.tolist()[:6] == [True] * 5 + [False]
    assert stage.is_deferred.tolist() == [False] * 11 + [True]
    assert [str(token) for pair in stage.precedence for token in pair] == ["g0", "g1"]
    assert stage.row_after.tolist() == [BARE] * 3
    assert stage.costs.swap_s == 4.0
    assert not stage.is_set.any()


def test_a_set_holds_its_stages(tmp_path: Path) -> None:
    """Two stages, the first before the second."""
    form = {
        "format": "rivet-order-set/1",
        "name": "two",
        "stages": [TINY, TINY],
        "stage_precedence": [[0, 1]],
    }
    read_set = read(tmp_path, form)
    assert isinstance(read_set, StageSet)
    assert (len(read_set.stages), read_set.precedence) == (2, ((0, 1),))


@pytest.mark.parametrize(
    ("stage", "place", "found", "allowed"),
    [
        (
            changed("format", to="rivet-order/9"),
            "format",
            "rivet-order/9",
            "rivet-order/1 or rivet-order-set/1",
        ),
        (
            changed("costs", "swap", to=-1),
            "costs.swap",
            "-1",
            "a number of 0 or more",
        ),
        (
            changed("costs", "speed_mm_s", to=0),
            "costs.speed_mm_s",
            "0",
            "a number of 0.001 or more",
        ),
        (
            changed("holes", "face", 2, to=1),
            "holes.face[3]",
            "1",
            "a whole number from 0 to 0",
        ),
        (
            changed("holes", "s", to=[0.0]),
            "holes.s",
            "a list of 1 value(s)",
            "a list of 12 value(s)",
        ),
        (
            changed("holes", "opts", 1, to=[]),
            "holes.opts[2]",
            "no setup",
            "at least one setup that can set it",
        ),
        (
            changed("holes", "holder", 1, to=True),
            "holes.holder[2]",
            "True",
            "a whole number from 0 to 1",
        ),
        (
            changed("precedence", 0, 1, to="g7"),
            "precedence[1][2]",
            "g7",
            "g and a group below 3, or m and a milestone below 0",
        ),
        (
            changed("precedence", to=[["g0", "g1"], ["g1", "g0"]]),
            "precedence",
            "a ring: g1 before g0 before g1",
            "an order in which each can be done",
        ),
        (
            changed("clamp", to={"reach_mm": 76, "end": 38}),
            "clamp.end",
            "a field of this name",
            "one of reach_mm, end_mm; nearest: end_mm",
        ),
        (
            changed("setups", 0, "rivet_s", to="12 s"),
            "setups[1].rivet_s",
            "12 s",
            "a number of 0 or more",
        ),
    ],
)
def test_a_slip_is_told_by_its_place(
    tmp_path: Path, stage: object, place: str, found: str, allowed: str
) -> None:
    """Field, what stood there, what is allowed."""
    assert (place, found, allowed) in faults(tmp_path, stage)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("{", "Expecting property name enclosed in double quotes"),
        ("[1]", "JSON of another kind"),
        ('{"a": 1, "a": 2}', "the field a twice"),
        ('{"a": NaN}', "the number NaN"),
        ("[" * 100_000, "groups too deep in one another"),
    ],
)
def test_what_is_no_json_of_ours_is_refused(
    tmp_path: Path, text: str, found: str
) -> None:
    """Half a file, a list, a field twice, no number, a tower of brackets."""
    assert faults(tmp_path, text)[0][1] == found


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """Its name is told, and to check it."""
    with pytest.raises(PlanRefused, match=r"none\.json"):
        read_stages(tmp_path / "none.json")


def test_a_plan_is_written_and_read_again(tmp_path: Path) -> None:
    """Letters S F M R O I, one pair a step; the name of the stage beside."""
    stage = read_stages(INSTANCES / "tiny-rib-12-s21.json")
    steps = Steps.of([(Kind.RIG, 0), (Kind.OUT, 3), (Kind.SET, 3), (Kind.IN, 1)])
    text = write_steps(stage, [steps])
    assert json.loads(text) == {
        "format": "rivet-plan/1",
        "instance": "tiny-rib-12-s21",
        "steps": [["S", 0], ["O", 3], ["R", 3], ["I", 1]],
    }
    file = tmp_path / "plan.json"
    file.write_text(text, encoding="utf-8")
    assert read_steps(file) == (steps,)


def test_plans_of_a_set_stand_side_by_side(tmp_path: Path) -> None:
    """One plan for each stage, in their order."""
    stage = read_stages(INSTANCES / "tiny-rib-12-s21.json")
    assert isinstance(stage, Stage)
    plans = [Steps.of([(Kind.RIG, 0)]), Steps.of([])]
    text = write_steps(StageSet("two", (stage, stage), ()), plans)
    file = tmp_path / "plans.json"
    file.write_text(text, encoding="utf-8")
    assert list(read_steps(file)) == plans


def test_a_step_of_another_letter_is_refused(tmp_path: Path) -> None:
    """X is no step."""
    file = tmp_path / "plan.json"
    file.write_text('{"format": "rivet-plan/1", "steps": [["X", 1]]}', "utf-8")
    with pytest.raises(PlanRefused, match="a letter of SFMROI and a number"):
        read_steps(file)
