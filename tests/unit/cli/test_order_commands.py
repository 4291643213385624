"""The command that orders a stage file."""

from __future__ import annotations

import json
from pathlib import Path

from rivetwright.engines.order.checker import check_plan
from rivetwright.intake.order_file import read_stages, read_steps
from rivetwright.model.stage import Stage
from tests.unit.cli.conftest import Command

INSTANCES = Path(__file__).parents[3] / "benchmarks" / "order"
TINY = INSTANCES / "tiny-rib-12-s24.json"


def test_a_stage_is_ordered_and_written(command: Command, tmp_path: Path) -> None:
    """The plan is one that the checker allows; minutes and bound are told."""
    out = tmp_path / "plan.json"
    done = command("order-instance", TINY, "-o", out)
    assert (done.code, done.told) == (0, "")
    assert done.out.startswith("tiny-rib-12-s24: 1 stage, 12 holes, ")
    assert "no order takes less than 16.2 minutes" in done.out
    stage = read_stages(TINY)
    assert isinstance(stage, Stage)
    assert check_plan(stage, read_steps(out)[0]).is_allowed


def test_a_set_is_ordered_side_by_side(command: Command, tmp_path: Path) -> None:
    """Two stages, two plans, in their order."""
    stage = json.loads(TINY.read_text("utf-8"))
    form = {
        "format": "rivet-order-set/1",
        "name": "two",
        "stages": [stage, stage],
        "stage_precedence": [],
    }
    file, out = tmp_path / "set.json", tmp_path / "plans.json"
    file.write_text(json.dumps(form), encoding="utf-8")
    done = command("order-instance", file, "-o", out, "--work", "0")
    assert done.code == 0
    assert "two: 2 stages, 24 holes" in done.out
    first, second = read_steps(out)
    assert first == second


def test_a_broken_stage_is_refused(command: Command, tmp_path: Path) -> None:
    """Nothing is written, and the line says what is allowed."""
    file, out = tmp_path / "stage.json", tmp_path / "plan.json"
    file.write_text("{}", encoding="utf-8")
    done = command("order-instance", file, "-o", out)
    assert (done.code, done.out) == (2, "")
    assert "allowed: rivet-order/1 or rivet-order-set/1." in done.told
    assert not out.exists()
