"""Every measured figure has a goal that can be judged."""

from __future__ import annotations

import tomllib

from tests.tidy.tree import ROOT

FIELDS = {"name", "goal", "unit", "comparison", "bench", "how", "said"}


def figures() -> list[dict[str, object]]:
    """The figures of benchmarks/goals.toml."""
    with (ROOT / "benchmarks" / "goals.toml").open("rb") as file:
        return list(tomllib.load(file)["figure"])


def test_every_figure_is_complete() -> None:
    """Name, goal, unit, comparison, benchmark, way of measuring, source: all there."""
    for figure in figures():
        assert set(figure) == FIELDS, figure
        assert figure["comparison"] in ("max", "min"), figure
        assert isinstance(figure["goal"], float | int), figure
        words = {name: figure[name] for name in FIELDS - {"goal"}}
        assert all(str(word).strip() for word in words.values()), figure


def test_names_of_figures_are_told_apart() -> None:
    """No two figures have one name, and each begins with its benchmark."""
    names = [str(figure["name"]) for figure in figures()]
    assert len(names) == len(set(names))
    for figure in figures():
        assert str(figure["name"]).startswith(f"{figure['bench']}_"), figure
