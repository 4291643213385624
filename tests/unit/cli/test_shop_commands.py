"""The commands `tools` and `air`: tables, one hole, JSON, refusals."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.unit.cli.conftest import Command


def test_rows_are_listed_with_their_tools(command: Command, ostrel: Path) -> None:
    """A19 falls apart: six holes, the seventh, and the eighth that waits for BB3."""
    done = command("tools", ostrel / "aileron.yaml")
    assert (done.code, done.told) == (0, "")
    lines = {line.split()[0]: line for line in done.out.splitlines() if line.strip()}
    assert "Y1, Y2, Y3, BB2" in lines["A19:1-6"]
    assert "BB3 (on order, due 2026-12-04)" in lines["A19:8"]
    assert "BB3 needs .293 in behind, there is .186 in" in done.out


def test_a_hole_is_told_tool_by_tool(command: Command, ostrel: Path) -> None:
    """Clear, tight, no with the one reason; ways; and what prepares the sheets."""
    done = command("tools", ostrel / "aileron.yaml", "A5:1")
    assert done.code == 0
    text = " ".join(done.out.split())
    assert "clear BB1 bucking bar, main block" in text
    assert "tight Y2 deep; Y2 opens .968 in between the shortest dies" in text
    assert "no Y1 standard, for pneumatic or hand squeezer; Y1 reach 1.500 in" in text
    assert "509, drill: straight drill clear" in text


def test_another_shop_may_be_named(
    command: Command, ostrel: Path, tmp_path: Path
) -> None:
    """With no tool on order hole 8 is reached by nobody."""
    written = (ostrel / "shop.yaml").read_text(encoding="utf-8")
    start = written.index("  BB3:")
    end = written.index("  BACK:")
    shop = tmp_path / "less.yaml"
    shop.write_text(written[:start] + written[end:], encoding="utf-8")
    done = command("tools", ostrel / "aileron.yaml", "--shop", shop, "--json")
    rows = {row["holes"][0]: row for row in json.loads(done.out)["rows"]}
    assert rows["A19:8"]["verdict"] == "none"


def test_tools_are_written_as_json(command: Command, ostrel: Path) -> None:
    """Figures in mm, days as such; what is no length is null."""
    done = command("tools", ostrel / "aileron.yaml", "A19:8", "--json")
    told = json.loads(done.out)
    assert (told["format"], told["hole"]) == ("rivetwright tools 1", "A19:8")
    first = told["tools"][0]
    assert (first["tool"], first["fit"], first["due"]) == ("BB3", "tight", "2026-12-04")
    assert first["has_mm"] == pytest.approx((0.344 - 0.045) * 25.4)
    blind = next(one for one in told["tools"] if one["tool"] == "BP1")
    assert (blind["limit"], blind["has_mm"]) == ("blind rivets only", None)
    assert [work["operation"] for work in told["preparing"]][:2] == ["drill", "dimple"]


def test_the_air_is_told_with_what_starves_first(
    command: Command, ostrel: Path
) -> None:
    """90 psi still, 88 at the end of a stroke begun at the cut-in."""
    done = command("air", ostrel / "shop.yaml")
    assert (done.code, done.told) == (0, "")
    text = " ".join(done.out.split())
    assert "Standing still, tank at its cut-in 90 psi" in text
    assert "1 A stroke begun at the cut-in lets the tank fall too far (1.8 psi)" in text
    assert "Short: The tank lets through" in text


def test_what_is_missing_is_told(
    command: Command, ostrel: Path, tmp_path: Path
) -> None:
    """A shop without a compressor says what to read off its plate."""
    written = (ostrel / "shop.yaml").read_text(encoding="utf-8")
    start, end = written.index("compressor: {title"), written.index("# From the tank")
    shop = tmp_path / "bare.yaml"
    shop.write_text(written[:start] + written[end:], encoding="utf-8")
    done = command("air", shop)
    assert "the size of the tank" in done.out
    told = json.loads(command("air", shop, "--json").out)
    assert "standing_kpa" not in told["figures"]
    assert told["still"] == []


def test_air_is_written_as_json(command: Command, ostrel: Path) -> None:
    """Ranges as three figures in the unit of their names; without end is null."""
    done = command("air", ostrel / "shop.yaml", "--needed", "70 psi", "--json")
    told = json.loads(done.out)
    assert (told["format"], told["is_enough"]) == ("rivetwright air 1", True)
    low, usual, high = told["figures"]["pace_a_minute"]["value"]
    assert (low, usual, high) == (3, 5, 10)
    assert told["figures"]["lasts_s"]["value"] == [None, None, None]
    assert [one["kind"] for one in told["still"]][:2] == ["regulator", "coupler"]
    assert told["suspects"][-1]["loss_kpa"] is None


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("tools", "aileron.yaml", "Z1:1"), "Z1"),
        (("tools", "aileron.yaml", "--shop", "none.yaml"), "none.yaml"),
        (("air", "aileron.yaml"), "aileron.yaml"),
        (("air", "shop.yaml", "--needed", "much"), "much"),
    ],
)
def test_what_cannot_be_told_is_refused(
    command: Command, ostrel: Path, words: tuple[str, ...], said: str
) -> None:
    """A hole that is none, a file that is none, a plan for a shop, no pressure."""
    placed = [str(ostrel / w) if w.endswith(".yaml") else w for w in words]
    done = command(*placed)
    assert (done.code, done.out) == (2, "")
    assert said in done.told
