"""The command `compare`: a plan and its bulletin, two files, JSON."""

from __future__ import annotations

import json
from pathlib import Path

from tests.unit.cli.conftest import Command


def test_a_bulletin_is_compared(command: Command, ostrel: Path) -> None:
    """What differs, in what order it is done, what it needs."""
    done = command("compare", ostrel / "root-rib.yaml", ostrel / "sb-07.yaml")
    assert (done.code, done.told) == (0, "")
    assert "8 holes changed, 5 added, 0 gone." in done.out
    assert "1. Take out 4 MS20470AD4-4.5 at B9:1-4" in done.out
    assert "Stack: 602 + 611; now 621 + 602 + 611" in done.out


def test_a_plan_against_itself(command: Command, ostrel: Path) -> None:
    """Nothing differs."""
    done = command("compare", ostrel / "flap.yaml", ostrel / "flap.yaml")
    assert "Nothing differs." in done.out


def test_a_comparison_as_json(command: Command, ostrel: Path) -> None:
    """Holes by name, lengths in mm."""
    files = ostrel / "root-rib.yaml", ostrel / "sb-07.yaml"
    said = json.loads(command("compare", *files, "--json").out)
    assert said["bulletin"] == "SB-07"
    assert said["before_step"] == "wing-15"
    b9 = next(one for one in said["changes"] if one["row"] == "B9")
    assert b9["set"] == ["B9:1", "B9:2", "B9:3", "B9:4"]
    assert b9["differences"]["callout"]["after"] == "MS20470AD4-5"
    assert said["takes"] == [
        {"code": "MS20470AD4-4", "count": 5},
        {"code": "MS20470AD4-5", "count": 8},
    ]


def test_a_bulletin_for_another_plan_is_refused(command: Command, ostrel: Path) -> None:
    """It says for which one it is."""
    done = command("compare", ostrel / "flap.yaml", ostrel / "sb-07.yaml")
    assert done.code == 2
    assert "root-rib" in done.told


def test_two_assemblies_are_not_compared(command: Command, ostrel: Path) -> None:
    """Else every rivet of the first would have to come out."""
    done = command("compare", ostrel / "aileron.yaml", ostrel / "flap.yaml")
    assert done.code == 2
    assert "assemblies aileron and flap" in done.told
    assert "two revisions of one assembly" in done.told
