"""The page of tools tells for every row what gets there, and what is in the way."""

from __future__ import annotations

from functools import cache
from typing import Any

from rivetwright.bench.open import open_plan
from rivetwright.paper.tools_by_row import tools_by_row
from tests.unit.drawing.pictures import ROOT, demo

OSTREL = ROOT / "examples" / "ostrel"


@cache
def lines(name: str) -> dict[str, dict[str, Any]]:
    """The lines of a demo assembly by their holes."""
    made = tools_by_row(open_plan(OSTREL / f"{name}.yaml", shop=OSTREL / "shop.yaml"))
    return {line["cells"][0].replace("\u200b", ""): line for line in made}


def test_a_row_with_a_clear_tool_tells_no_more() -> None:
    """Two bars are clear at A5 and the yoke of the plan is tight: that is enough."""
    line = lines("aileron")["A5:1-3"]
    assert line["cells"][1:] == ["Y2", "BB1, BB2", "Y2", "", ""]
    assert line["severity"] == ""


def test_what_waits_is_checked_and_what_nobody_reaches_stops() -> None:
    """The eighth hole of A19 and the last flange hole, by their figures."""
    waits, nobody = lines("aileron")["A19:8"], lines("aileron")["A23:1"]
    assert waits["severity"] == "check"
    assert waits["cells"][4] == "BB3 (on order, due 2026-12-04)"
    assert waits["cells"][5].endswith("is set; two people")
    assert nobody["severity"] == "stop"
    assert nobody["cells"][5] == "BB3 needs .293 in behind, there is .186 in"


def test_only_tight_is_checked_with_what_is_tightest() -> None:
    """P9: the main block at the front attach angle."""
    line = lines("root-rib")["B5:1-7"]
    assert (line["severity"], line["cells"][3]) == ("check", "BB1")
    assert "there is .460 in; two people" in line["cells"][5]


def test_without_a_shop_there_is_no_page() -> None:
    """Nothing is known of tools."""
    assert tools_by_row(demo("flap")) == []
