"""The command `heads`: what was measured, what it teaches, JSON."""

from __future__ import annotations

import json
from pathlib import Path

from tests.unit.cli.conftest import Command


def test_heads_are_listed_assembly_by_assembly(command: Command, ostrel: Path) -> None:
    """Groups first, then every head; an assembly without one says so."""
    done = command("heads", ostrel)
    assert (done.code, done.told) == (0, "")
    assert "Squeezer: MS20470AD4 (7 looked at, 7 measured)" in done.out
    assert "Of the last 6 heads out of limits: A6:2, B1:5." in done.out
    assert "No head was looked at yet." in done.out
    (line,) = (one for one in done.out.splitlines() if one.startswith("A6:2"))
    assert ".196 in" in line
    assert ".073 in" in line


def test_heads_of_one_assembly_as_json(command: Command, ostrel: Path) -> None:
    """B1:5, over-squeezed: .251 in is 6.3754 mm, .045 in 1.143 mm; it was replaced."""
    said = json.loads(command("heads", ostrel, "--assembly", "root-rib", "--json").out)
    assert [one["assembly"] for one in said] == ["root-rib"]
    first = said[0]["heads"][0]
    assert first["hole"] == "B1:5"
    assert (first["width_mm"], first["height_mm"]) == (6.3754, 1.143)
    assert first["overall"] == "fails"
    assert first["is_taken_out"] is True
    assert first["teaches_nothing_because"] == "tool not told"


def test_an_assembly_the_folder_has_not_is_refused(
    command: Command, ostrel: Path
) -> None:
    """Those it has are named."""
    done = command("heads", ostrel, "--assembly", "wing")
    assert done.code == 2
    assert "aileron" in done.told
