"""Write measured figures beside their goals.

Goals stand in `goals.toml`, one entry a figure. A benchmark hands in what it
measured; the report holds every figure of that file. A figure that nobody measured
stands there without a value and does not hold, so that leaving one out is seen.
"""

from __future__ import annotations

import json
import math
import os
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

ROOT = Path(__file__).resolve().parent.parent
GOALS = ROOT / "benchmarks" / "goals.toml"
REPORT = ROOT / "build" / "bench.json"

Beside = Mapping[str, float | int | str]


class UnknownFigure(LookupError):
    """A benchmark measured a figure that has no goal."""


@dataclass(frozen=True)
class Goal:
    """One figure that a benchmark has to reach."""

    name: str
    goal: float
    unit: str
    comparison: Literal["max", "min"]
    bench: str
    how: str
    said: str

    def holds(self, value: float | None) -> bool:
        """Whether a measured value reaches the goal; without a value it does not."""
        if value is None:
            return False
        return value <= self.goal if self.comparison == "max" else value >= self.goal


@dataclass(frozen=True)
class Entry:
    """One measured figure and what was measured beside it in the same run.

    Args:
        name: as in `goals.toml`.
        value: in the unit that `goals.toml` names.
        beside: name with its unit, and figure, of each thing compared with.
    """

    name: str
    value: float
    beside: Beside = field(default_factory=dict)


def read_goals(path: Path = GOALS) -> list[Goal]:
    """Every figure with its goal, in the order of the file."""
    with path.open("rb") as file:
        return [Goal(**figure) for figure in tomllib.load(file)["figure"]]


def write_entries(
    measured: Iterable[Entry], path: Path = REPORT, goals: Path = GOALS
) -> list[dict[str, Any]]:
    """Write every figure, measured or not, with its goal; return what was written.

    Figures of other benchmarks that an earlier run wrote are kept and judged again.
    Those of the same benchmark are not: a run that left one out did not measure it.

    Raises:
        UnknownFigure: a measured name that `goals.toml` does not have.
    """
    known = {goal.name: goal for goal in read_goals(goals)}
    fresh = {entry.name: entry for entry in measured}
    for name in fresh:
        if name not in known:
            raise UnknownFigure(
                f"{name} was measured and has no goal. Allowed: {', '.join(known)}. "
                f"Add it to {goals.name}"
            )
    benches = {known[name].bench for name in fresh}
    kept = {
        entry.name: entry
        for entry in read_entries(path)
        if entry.name in known and known[entry.name].bench not in benches
    }
    figures = {**kept, **fresh}
    written = [judged(goal, figures.get(goal.name)) for goal in known.values()]
    path.parent.mkdir(parents=True, exist_ok=True)
    # A reader, or a second benchmark, never sees half a report.
    partial = path.with_suffix(".partial")
    partial.write_text(json.dumps(written, indent=1) + "\n", encoding="utf-8")
    os.replace(partial, path)
    return written


def read_entries(path: Path = REPORT) -> list[Entry]:
    """The measured figures of an earlier report; none where there is no report."""
    if not path.is_file():
        return []
    written = json.loads(path.read_text(encoding="utf-8"))
    return [
        Entry(figure["name"], figure["value"], figure["beside"])
        for figure in written
        if figure["value"] is not None
    ]


def judged(goal: Goal, entry: Entry | None) -> dict[str, Any]:
    """One line of the report."""
    # A figure that is not a number was not measured.
    is_measured = entry is not None and math.isfinite(entry.value)
    value = entry.value if entry is not None and is_measured else None
    return {
        "name": goal.name,
        "value": value,
        "unit": goal.unit,
        "goal": goal.goal,
        "comparison": goal.comparison,
        "holds": goal.holds(value),
        "beside": dict(entry.beside) if entry is not None else {},
    }
