"""The command `forecast`: hours, days, rates, and JSON."""

from __future__ import annotations

import json
from pathlib import Path

from tests.unit.cli.conftest import Command


def test_hours_and_day_are_told(command: Command, ostrel: Path) -> None:
    """Ranges first, then assemblies, rates, what may be late, what has no date."""
    done = command("forecast", ostrel)
    assert (done.code, done.told) == (0, "")
    lines = done.out.splitlines()
    assert lines[0].startswith("Left: ")
    assert lines[1].startswith("Likely done ")
    assert lines[2] == "Booked so far: 18 h."
    assert "your log, 3 lines" in done.out
    assert "tool BB3" in done.out
    assert "Without a date: wing-4. wing kit: not ordered." in done.out


def test_forecast_as_json(command: Command, ostrel: Path) -> None:
    """Ranges are low, likely and high."""
    said = json.loads(command("forecast", ostrel, "--json").out)
    low, likely, high = said["left_h"]
    assert low < likely < high
    assert said["done"] == sorted(said["done"])
    assert {one["step"] for one in said["without_date"]} >= {"wing-4", "wing-22"}


def test_an_empty_folder_has_nothing_left(command: Command, tmp_path: Path) -> None:
    """No plan, nothing to foretell."""
    done = command("forecast", tmp_path)
    assert done.code == 0
    assert "Nothing is left that has a date." in done.out
