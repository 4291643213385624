"""The plans made up for measuring, and what is measured on them."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from benchmarks import run, shapely_versions
from benchmarks.plan_bench import growth_exponent
from benchmarks.plans import made_up_plan
from benchmarks.report import Entry
from rivetwright.engines.plan import work_out
from rivetwright.model.columns import expand

COUNT = 3_000


def test_plan_has_the_holes_asked_for() -> None:
    """3,000 holes in rows of 50 over at most the named number of outlines."""
    plan = made_up_plan(COUNT, outlines=40)
    assert sum(row.pattern.count for row in plan.rows) == COUNT
    assert len(plan.parts) <= 40
    assert all(
        len(layer.outline.corners_mm) == 40
        for face in plan.faces
        for layer in face.layers
    )


def test_plan_is_mostly_clean_with_stacks_of_two_to_five() -> None:
    """Fewer than one row in ten has a finding, and no edge or pitch is short."""
    worked_plan = work_out(made_up_plan(COUNT))
    rows = {worked_plan.worked.holes.row[f.holes[0]] for f in worked_plan.findings}
    assert len(rows) < COUNT / 50 / 10
    families = {finding.code.split("-")[0] for finding in worked_plan.findings}
    assert families <= {"LENGTH"}
    counts = worked_plan.worked["sheet_count"]
    assert set(np.unique(counts)) == {2.0, 3.0, 4.0, 5.0}


def test_shapely_versions_agree_with_the_engines() -> None:
    """Edge distances of loop, vectorised version and engines are the same lengths."""
    plan = made_up_plan(COUNT)
    holes = expand(plan)
    worked = work_out(plan).worked
    together = shapely_versions.answer_together(plan, holes)
    assert together == pytest.approx(worked["edge_distance_mm"], abs=1e-9)
    sample = np.arange(0, COUNT, 100)
    faces = shapely_versions.prepare(plan, holes)
    for hole, (sheets, edge_mm, _) in zip(
        sample,
        shapely_versions.answer_one_by_one(faces, holes, sample),
        strict=True,
    ):
        assert sheets == worked.at("sheet_count", int(hole))
        assert edge_mm == pytest.approx(together[hole], abs=1e-9)


def test_growth_in_proportion_is_one() -> None:
    """Ten times the holes in ten times the seconds: exponent 1; squared: 2."""
    counts = [1e4, 1e5, 1e6]
    assert growth_exponent(counts, [0.1, 1.0, 10.0]) == pytest.approx(1.0)
    assert growth_exponent(counts, [0.1, 10.0, 1000.0]) == pytest.approx(2.0)
    assert np.isnan(growth_exponent([1e4], [0.1]))


def test_unknown_benchmark_is_told_the_known_ones(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A name that is none says which are."""
    assert run.main(["plans"]) == 2
    assert "Allowed: plan" in capsys.readouterr().out


@pytest.fixture
def measured(monkeypatch: pytest.MonkeyPatch) -> Callable[[float], list[Entry]]:
    """Stand-in for a benchmark: one figure of a given value, nothing written."""
    written: list[Entry] = []

    def judge(entries: list[Entry]) -> list[dict[str, object]]:
        written.extend(entries)
        return [
            {
                "name": entry.name,
                "value": entry.value,
                "unit": "s",
                "goal": 1.0,
                "comparison": "max",
                "holds": entry.value <= 1.0,
            }
            for entry in entries
        ]

    def make(value: float) -> list[Entry]:
        monkeypatch.setitem(run.BENCHES, "plan", lambda _: [Entry("plan_s", value)])
        return written

    monkeypatch.setattr(run, "write_entries", judge)
    return make


def test_a_figure_that_falls_short_fails_the_run(
    measured: Callable[[float], list[Entry]],
) -> None:
    """Within the goal exits 0, over it 1."""
    measured(0.5)
    assert run.main(["plan"]) == 0
    measured(1.5)
    assert run.main(["plan"]) == 1


def test_a_quick_run_writes_nothing(measured: Callable[[float], list[Entry]]) -> None:
    """A quick run leaves sizes out, so it is no measurement."""
    written = measured(0.5)
    assert run.main(["plan", "--quick"]) == 0
    assert written == []
