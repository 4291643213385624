"""Which tools get to each row of the demo, and the planted mistakes about tools.

The demo is invented. The tools by row are those of the list that came with it, printed
by a script that shares no code with this project; `*` marks a tool on order. The
surroundings by hand are the demo's own table; what the outlines say is set beside it.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.reach.around_columns import BY_HAND, OUTLINES
from rivetwright.engines.reach.fit import tools_at
from rivetwright.engines.reach.surroundings import surroundings
from rivetwright.engines.reach.ways import ways_at
from rivetwright.engines.worked import Worked
from rivetwright.intake.bulletin_file import read_bulletin
from rivetwright.intake.plan_file import read_plan
from rivetwright.intake.shop_file import read_shop
from rivetwright.model.bulletin import apply_bulletin
from rivetwright.model.severity import Severity
from rivetwright.model.shop import Shop
from tests.demo.conftest import FILES

MM = 25.4
SKINS = "Y1, Y2, Y3, Y4*, BB2, BB3*"
TOOLS = {
    "Y2, BB1, BB2": "A1 A2 A5 A6 B1 B2 B3 B6 B9 B14 C2 C3 C6 C7",
    "Y1, Y2, Y4*, BB1, BB2": "A3 A4 A7 A8 A9 A10 B10 C1 C4",
    SKINS: "A11 A19 A20 A21 A22 B11 B12 C8 C11 C12",
    "BP1, BP2*": "A12 C15 C16 C17 C18",
    "BB2, BACK": "A13 A14 A15 A16 A17 A18",
    "": "A23 A24 A25 A26",
    "Y2, BB2": "B4 B7 B8",
    "BB1": "B5 C5",
    "Y3, BB2, BB3*": "B13",
    "Y1, Y2, Y3, Y4*, BB2": "B15 B16 B17 B18",
    "BB2": "C9 C10",
    "Y1, Y2, Y4*, BB2": "C13 C14",
    "Y1, Y2, Y3, Y4*, BB1, BB2, BB3*": "C19",
}
ROWS = {row: tools for tools, rows in TOOLS.items() for row in rows.split()}
OF_FILE = {"A": "aileron", "B": "root-rib", "C": "flap"}


@pytest.fixture(scope="module")
def shop(root: Path) -> Shop:
    """The demo's shop."""
    return read_shop(root / "examples" / "ostrel" / "shop.yaml")


@pytest.fixture(scope="module")
def reached(root: Path, shop: Shop) -> dict[str, WorkedPlan]:
    """The worked plans of the demo with its shop, by file name."""
    folder = root / "examples" / "ostrel"
    plans = {name: read_plan(folder / f"{name}.yaml") for name in FILES}
    return {name: work_out(plan, shop=shop) for name, plan in plans.items()}


@pytest.fixture(scope="module")
def drawn(reached: dict[str, WorkedPlan], shop: Shop) -> dict[str, Worked]:
    """The same plans with nothing entered by hand."""
    bare = {}
    for name, one in reached.items():
        plan = one.worked.plan
        rows = tuple(replace(row, access=None) for row in plan.rows)
        bare[name] = Worked(replace(plan, rows=rows), shop)
    return bare


def of(reached: dict[str, WorkedPlan], code: str) -> dict[str, Finding]:
    """Findings of a code by the names of all their holes."""
    return {
        one.worked.holes.name(hole): finding
        for one in reached.values()
        for finding in one.findings
        if finding.code == code
        for hole in finding.holes
    }


def the_way(text: str | float) -> tuple[str, str, float, float]:
    """Tool, limit, what there is and what is needed, in inches to a thousandth."""
    tool, limit, has, needs = str(text).split("|")
    return tool, limit, round(float(has) / MM, 3), round(float(needs) / MM, 3)


# --- tools by row ------------------------------------------------------------------


@pytest.mark.parametrize("row", ROWS)
def test_tools_of_a_row_are_those_of_the_list(
    reached: dict[str, WorkedPlan], row: str
) -> None:
    """The tools at hole 1, clear or tight, are the list's, in its order."""
    worked = reached[OF_FILE[row[0]]].worked
    hole = worked.holes.index(f"{row}:1")
    assert worked.at("tools_that_fit", hole) == ROWS[row]
    found = [fit for fit in tools_at(worked, hole) if fit.gets_there]
    assert [one.tool.id for one in found] == [
        one.rstrip("*") for one in ROWS[row].split(", ") if one
    ]


def test_every_row_of_the_demo_was_listed(reached: dict[str, WorkedPlan]) -> None:
    """The list has each row of the three assemblies, and no other."""
    rows = {row.name for one in reached.values() for row in one.worked.plan.rows}
    assert rows == set(ROWS)


# --- planted mistakes --------------------------------------------------------------


def test_nothing_gets_behind_the_last_flange_holes(
    reached: dict[str, WorkedPlan],
) -> None:
    """P3: 0.186 in behind; BB3 needs 0.150 + (0.1875 - 0.045) = 0.2925 in."""
    found = of(reached, "REACH-01")
    assert set(found) == {"A23:1", "A24:1", "A25:1", "A26:1"}
    for finding in found.values():
        assert finding.severity is Severity.STOP
        tool, limit, has, needs = the_way(finding.fields["in_the_way"])
        assert (tool, limit, has) == ("BB3", "gap behind", 0.186)
        assert needs == pytest.approx(0.2925, abs=0.0006)
        assert finding.fields["planned_tools"] == "Y3"


def test_the_planned_yoke_cannot_set_5_32(reached: dict[str, WorkedPlan]) -> None:
    """P6: 5/32 is over what the yoke takes, 1/8; the main bar can."""
    found = of(reached, "TOOL-01")
    assert set(found) == {"C5:1", "C5:2", "C5:3"}
    finding = found["C5:1"]
    assert finding.severity is Severity.CHECK
    way = the_way(finding.fields["planned_in_the_way"])
    assert way == ("Y2", "size", 0.125, 0.156)
    assert finding.fields["tools_that_fit"] == "BB1"


def test_only_the_blade_on_order_gets_to_hole_8(
    reached: dict[str, WorkedPlan],
) -> None:
    """P9: 0.344 in behind, BB3 due 2026-12-04; with the opposite rivet set 0.299.

    What is left then is 0.344 - 0.045 for 0.2925 needed: tight by 0.0065 in.
    """
    found = of(reached, "REACH-02")
    assert set(found) == {"A19:8", "A20:8", "A21:8", "A22:8"}
    for finding in found.values():
        assert finding.severity is Severity.CHECK
        assert finding.fields["tools_on_order"] == "BB3, due 2026-12-04"
        assert the_way(finding.fields["in_the_way"])[:3] == ("Y3", "gap behind", 0.344)
        tool, limit, has, needs = the_way(finding.fields["order_in_the_way"])
        assert (tool, limit, has) == ("BB3", "gap if second", 0.299)
        assert needs == pytest.approx(0.2925, abs=0.0006)


def test_the_middle_of_the_flap_needs_a_helper(
    reached: dict[str, WorkedPlan],
) -> None:
    """P10: 9.5 in from the edge: no yoke; gun and bar, which takes two people."""
    found = of(reached, "REACH-04")
    for row in ("C9", "C10"):
        for number in range(1, 8):
            finding = found[f"{row}:{number}"]
            assert finding.severity is Severity.NOTE
            way = the_way(finding.fields["squeezer_in_the_way"])
            assert way == ("Y3", "reach", 3.75, 9.6)
            assert finding.fields["tools_that_fit"] == "BB2"
    worked = reached["flap"].worked
    (one,) = ways_at(worked, worked.holes.index("C9:7"))
    assert one.way.value.takes_two
    assert one.way.value.is_noisy


def test_the_bar_beside_the_front_angle_is_tight(
    reached: dict[str, WorkedPlan],
) -> None:
    """Row B5: a wall 0.46 in away for a bar 0.45 in to its side: 0.010 to spare.

    Not in the list of planted mistakes; it follows from thousandths being none.
    """
    found = of(reached, "REACH-03")
    assert set(found) == {f"B5:{number}" for number in range(1, 8)}
    way = the_way(found["B5:1"].fields["in_the_way"])
    assert way == ("BB1", "wall on the shop side", 0.46, 0.45)


def test_nothing_else_is_said_of_tools(reached: dict[str, WorkedPlan]) -> None:
    """Every tool the plans name is in the shop, and no other row speaks up."""
    assert of(reached, "TOOL-02") == {}
    helped = {name.partition(":")[0] for name in of(reached, "REACH-04")}
    assert helped == {"B5", "C5", "C9", "C10"}


# --- what is set first takes from the other ----------------------------------------


def test_the_opposite_rivet_takes_of_the_depth(
    reached: dict[str, WorkedPlan],
) -> None:
    """A19:7 has 0.660 in; 0.045 less is 0.615, under the 0.6425 that BB2 needs."""
    worked = reached["aileron"].worked
    hole = worked.holes.index("A19:7")
    assert worked.at("gap_if_second_mm", hole) / MM == pytest.approx(0.615)
    fit = {one.tool.id: one for one in tools_at(worked, hole)}
    assert (fit["BB2"].fit, fit["BB2"].limit) == ("tight", "gap if second")
    assert fit["Y3"].fit == "clear"


def test_a_rivet_set_opposite_has_taken_it(root: Path, shop: Shop) -> None:
    """With A20:7 set, the bar no longer gets to A19:7; the thin yoke does."""
    plan = read_plan(root / "examples" / "ostrel" / "aileron.yaml")
    already = (*plan.opening.set_holes, "A20:7")
    opening = replace(plan.opening, set_holes=already)
    worked = Worked(replace(plan, opening=opening), shop)
    hole = worked.holes.index("A19:7")
    fit = {one.tool.id: one for one in tools_at(worked, hole)}
    assert (fit["BB2"].fit, fit["BB2"].limit) == ("no", "gap behind")
    assert fit["Y3"].fit == "clear"


# --- the outlines beside the table by hand -----------------------------------------


def rows_of(text: str) -> list[str]:
    """Rows by name, written one after the other."""
    return text.split()


# Rows whose way in follows from the outlines as the table gives it, worst hole.
SAME_ENTRY = rows_of("""A1 A2 A3 A4 A5 A6 A7 A8 A9 A10 A19 A20 A21 A22 A23 A24 A25 A26
B1 B2 B3 B6 B7 B8 B9 B10 B13 B15 B16 B17 B18 C1 C2 C3 C4 C8 C11 C19""")
# The same for the flange in the throat there; B13 by hand passes the
# bulkhead's end flange.
SAME_FLANGE = [row for row in SAME_ENTRY if row != "B13"]
# Walls that are legs of parts drawn there. Not drawn are the arm of the T brackets
# (A1, A2, A5, A6) and the nut of the nutplates (B15 to B18).
SAME_SHOP_WALL = rows_of("""A11 A13 A14 A15 A16 A17 A18 A19 A20 A21 A22 A23 A24 A25 A26
B3 B4 B5 B6 B7 B8 B11 B12 B13 C5 C8 C9 C10 C11 C12 C13 C14""")
SAME_HEAD_WALL = rows_of("A9 A10 B14 C1 C2 C3 C4")
SAME_DEPTH = rows_of("A19 A20 A21 A22 A23 A24 A25 A26")
# Table and outlines are both rounded, the table to hundredths.
ROUNDED_IN = 0.021


def in_row(worked: Worked, row: str, column: str) -> NDArray[np.float64]:
    """The figures of a row, in inches."""
    holes = worked.holes
    here = holes.row == holes.row_index[row]
    return np.asarray(worked[column][here] / MM, dtype=float)


@pytest.mark.parametrize(
    ("column", "rows"), [("entry_mm", SAME_ENTRY), ("throat_flange_mm", SAME_FLANGE)]
)
def test_outlines_alone_give_the_way_in_entered_by_hand(
    reached: dict[str, WorkedPlan],
    drawn: dict[str, Worked],
    column: str,
    rows: list[str],
) -> None:
    """At the hole furthest from its edge the drawn way in is the table's."""
    for row in rows:
        file = OF_FILE[row[0]]
        furthest = int(in_row(drawn[file], row, "entry_mm").argmax())
        by_hand = in_row(reached[file].worked, row, column)[furthest]
        outlines = in_row(drawn[file], row, column)[furthest]
        assert outlines == pytest.approx(by_hand, abs=ROUNDED_IN), row


@pytest.mark.parametrize(
    ("column", "rows"),
    [
        ("wall_shop_mm", SAME_SHOP_WALL),
        ("wall_head_mm", SAME_HEAD_WALL),
        ("gap_behind_mm", SAME_DEPTH),
    ],
)
def test_outlines_alone_give_the_walls_entered_by_hand(
    reached: dict[str, WorkedPlan],
    drawn: dict[str, Worked],
    column: str,
    rows: list[str],
) -> None:
    """The least wall and depth of a row, from the legs and the taper as drawn."""
    for row in rows:
        file = OF_FILE[row[0]]
        by_hand = np.nanmin(in_row(reached[file].worked, row, column))
        outlines = np.nanmin(in_row(drawn[file], row, column))
        assert outlines == pytest.approx(by_hand, abs=ROUNDED_IN), row


def test_walls_follow_from_the_legs_as_a_person_reckons_them(
    drawn: dict[str, Worked],
) -> None:
    """A9: 0.8 - 0.475 - 0.025; B7: 4.6 - 4.2 - 0.040; B3: 3.65 - 2.7 - 0.050."""
    wall = in_row(drawn["aileron"], "A9", "wall_head_mm").min()
    assert wall == pytest.approx(0.300, abs=1e-6)
    wall = in_row(drawn["root-rib"], "B7", "wall_shop_mm").min()
    assert wall == pytest.approx(0.360, abs=1e-6)
    wall = in_row(drawn["root-rib"], "B3", "wall_shop_mm").min()
    assert wall == pytest.approx(0.900, abs=1e-6)


def test_the_lightening_hole_is_a_way_in(drawn: dict[str, Worked]) -> None:
    """B7:3 at (4.6, 3): the rim of the hole at 8 with radius 1.5 is 1.9 in away."""
    worked = drawn["root-rib"]
    entry = worked.at("entry_mm", worked.holes.index("B7:3"))
    assert entry / MM == pytest.approx(1.9, abs=1e-6)


# Where the way in by hand and as drawn differ, and why: the nose skin's open lower
# edge lies on no drawn face (A11, A12); by hand from the spar, drawn from the skin's
# edge 0.7 further on (A13 to A18); the angle's own leg stands on the way (B5), or the
# pulley bracket's (B4); the wing skin's overhang is no edge by hand (B11, B12); by hand
# a tenth less (B14); by hand the nearer edge is not used (C5 to C7, C9, C10); drawn
# 0.35 for 0.4 (C12 to C14).  Rows behind which a box is closed have none by hand.
def test_tools_by_the_outlines_alone_equal_the_list_where_they_can(
    drawn: dict[str, Worked],
) -> None:
    """Rows whose obstacles are all drawn get the list's tools without any table."""
    rows = """A3 A4 A7 A8 A9 A10 A19 A20 A21 A22 A23 A24 A25 A26 B1 B3 B4 B5 B6 B9 B10
    C1 C2 C3 C4 C5 C8 C11 C12 C19"""
    for row in rows_of(rows):
        worked = drawn[OF_FILE[row[0]]]
        holes = worked.holes
        entry = np.where(holes.row == holes.row_index[row], worked["entry_mm"], -1.0)
        hole = int(entry.argmax())
        if row in ("A19", "A20", "A21", "A22"):
            hole = worked.holes.index(f"{row}:1")
        assert worked.at("tools_that_fit", hole) == ROWS[row], row


def test_by_hand_wins_and_is_marked(
    reached: dict[str, WorkedPlan], drawn: dict[str, Worked]
) -> None:
    """Every row of the demo was entered by hand; without that the outlines stand."""
    for file, one in reached.items():
        assert set(one.worked["access_from"]) == {BY_HAND}
        assert surroundings(one.worked).is_by_hand.all()
        assert set(drawn[file]["access_from"]) == {OUTLINES}


def test_more_room_by_hand_than_drawn_is_told(
    reached: dict[str, WorkedPlan],
) -> None:
    """B4:2 by hand passes a 0.625 flange; the pulley bracket's arm is 1.1 high.

    B5 by hand passes no flange; the angle's own leg stands 1.0 in high on the way.
    """
    worked = reached["root-rib"].worked
    differs = worked["access_differs"]
    assert differs[worked.holes.index("B4:2")] == "throat_flange_mm"
    assert differs[worked.holes.index("B5:1")] == "throat_flange_mm"
    assert differs[worked.holes.index("B7:1")] == ""


def test_the_bulletin_rows_have_their_own_way_in(root: Path, shop: Shop) -> None:
    """B19: 1.10, 2.05, 3.00 from the nearest long edge, over a 0.625 flange.

    Past the hole a yoke needs 0.10 more: Y1 reaches 1.5, Y2 3.0, so the middle hole is
    for bars; its head forms in the open.
    """
    folder = root / "examples" / "ostrel"
    plan = read_plan(folder / "root-rib.yaml")
    bulletin = read_bulletin(folder / "sb-07.yaml", plan)
    worked = work_out(apply_bulletin(plan, bulletin), shop=shop).worked
    found = [
        worked.at("tools_that_fit", worked.holes.index(f"B19:{number}"))
        for number in range(1, 6)
    ]
    outer, inner = "Y2, BB1, BB2", "BB1, BB2"
    assert found == ["Y1, " + outer, outer, inner, outer, "Y1, " + outer]
