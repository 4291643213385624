"""The report of benchmarks: every figure stands there, measured or not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from benchmarks.report import Entry, Goal, UnknownFigure, read_goals, write_entries

GOALS = """
[[figure]]
name = "plan_seconds"
goal = 1.0
unit = "s"
comparison = "max"
bench = "plan"
how = "by the clock"
said = "here"

[[figure]]
name = "plan_share"
goal = 0.5
unit = "share"
comparison = "min"
bench = "plan"
how = "counted"
said = "here"

[[figure]]
name = "order_seconds"
goal = 60
unit = "s"
comparison = "max"
bench = "order"
how = "by the clock"
said = "here"
"""


@pytest.fixture
def goals(tmp_path: Path) -> Path:
    """A goals file of three figures and two benchmarks."""
    path = tmp_path / "goals.toml"
    path.write_text(GOALS, encoding="utf-8")
    return path


@pytest.fixture
def report(tmp_path: Path) -> Path:
    """Where the report is written; the folder does not exist yet."""
    return tmp_path / "build" / "bench.json"


def by_name(report: Path) -> dict[str, dict[str, object]]:
    """The lines of a report by the name of their figure."""
    return {line["name"]: line for line in json.loads(report.read_text("utf-8"))}


def test_goal_holds_up_to_and_at_its_limit() -> None:
    """`max` holds at the goal and below it, `min` at the goal and above it."""
    most = Goal("a", 2.0, "s", "max", "plan", "", "")
    least = Goal("b", 2.0, "s", "min", "plan", "", "")
    assert [most.holds(v) for v in (1.9, 2.0, 2.1)] == [True, True, False]
    assert [least.holds(v) for v in (1.9, 2.0, 2.1)] == [False, True, True]


def test_report_writes_value_goal_and_what_stood_beside(
    goals: Path, report: Path
) -> None:
    """A measured figure is written with unit, goal, verdict and its comparison."""
    write_entries([Entry("plan_seconds", 0.4, {"plain_s": 9.0})], report, goals)
    assert by_name(report)["plan_seconds"] == {
        "name": "plan_seconds",
        "value": 0.4,
        "unit": "s",
        "goal": 1.0,
        "comparison": "max",
        "holds": True,
        "beside": {"plain_s": 9.0},
    }


def test_report_names_what_was_not_measured(goals: Path, report: Path) -> None:
    """A figure nobody measured has no value and does not hold."""
    write_entries([Entry("plan_seconds", 0.4)], report, goals)
    lines = by_name(report)
    assert list(lines) == ["plan_seconds", "plan_share", "order_seconds"]
    assert lines["plan_share"]["value"] is None
    assert lines["plan_share"]["holds"] is False


def test_report_keeps_the_figures_of_other_benchmarks(
    goals: Path, report: Path
) -> None:
    """Measuring the order leaves the figures of the plan as they were."""
    write_entries([Entry("plan_seconds", 0.4, {"plain_s": 9.0})], report, goals)
    write_entries([Entry("order_seconds", 61.0)], report, goals)
    lines = by_name(report)
    assert lines["plan_seconds"]["value"] == 0.4
    assert lines["plan_seconds"]["beside"] == {"plain_s": 9.0}
    assert lines["order_seconds"]["holds"] is False


def test_report_drops_an_old_figure_of_the_same_benchmark(
    goals: Path, report: Path
) -> None:
    """What this run of a benchmark left out counts as not measured."""
    write_entries([Entry("plan_share", 0.9)], report, goals)
    write_entries([Entry("plan_seconds", 0.4)], report, goals)
    assert by_name(report)["plan_share"]["value"] is None


def test_report_judges_a_kept_figure_by_the_goal_of_today(
    goals: Path, report: Path
) -> None:
    """A goal raised since the figure was measured decides."""
    write_entries([Entry("plan_seconds", 0.4)], report, goals)
    goals.write_text(GOALS.replace("goal = 1.0", "goal = 0.3"), encoding="utf-8")
    write_entries([Entry("order_seconds", 1.0)], report, goals)
    assert by_name(report)["plan_seconds"]["holds"] is False


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_report_takes_no_figure_that_is_not_a_number(
    value: float, goals: Path, report: Path
) -> None:
    """Neither NaN nor infinity is a measurement, even where more is better."""
    write_entries([Entry("plan_share", value)], report, goals)
    assert by_name(report)["plan_share"]["value"] is None
    assert by_name(report)["plan_share"]["holds"] is False


def test_report_refuses_a_figure_without_a_goal(goals: Path, report: Path) -> None:
    """An unknown name is told with the known ones, and nothing is written."""
    with pytest.raises(UnknownFigure, match=r"plan_minutes.*plan_seconds"):
        write_entries([Entry("plan_minutes", 1.0)], report, goals)
    assert not report.exists()


def test_goals_of_the_project_can_be_read() -> None:
    """The project's own file has the goals of the million holes as designed."""
    known = {goal.name: goal for goal in read_goals()}
    assert known["plan_1000000_holes_seconds"].goal == 20.0
    assert known["plan_1000000_peak_gib"].goal == 4.0
