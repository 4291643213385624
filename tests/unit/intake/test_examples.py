"""The three demo assemblies hold what the invented kit's drawings and log say.

All expected figures were typed from the demo's own tables: rows with their counts,
rivets already set, holes deferred or on hold.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from rivetwright.intake.bulletin_file import read_bulletin
from rivetwright.intake.plan_file import read_plan
from rivetwright.intake.shop_file import read_shop
from rivetwright.model.bulletin import apply_bulletin
from rivetwright.model.columns import Holes, expand
from rivetwright.model.plan import Plan

EXAMPLES = Path(__file__).parents[3] / "examples" / "ostrel"

COUNTS = {
    "aileron": {
        "A1": 3, "A2": 3, "A3": 2, "A4": 2, "A5": 3, "A6": 3, "A7": 2, "A8": 2,
        "A9": 3, "A10": 3, "A11": 37, "A12": 37, "A13": 6, "A14": 6, "A15": 6,
        "A16": 6, "A17": 6, "A18": 6, "A19": 8, "A20": 8, "A21": 8, "A22": 8,
        "A23": 1, "A24": 1, "A25": 1, "A26": 1,
    },
    "root-rib": {
        "B1": 7, "B2": 7, "B3": 3, "B4": 3, "B5": 7, "B6": 5, "B7": 5, "B8": 5,
        "B9": 4, "B10": 4, "B11": 20, "B12": 20, "B13": 7, "B14": 5, "B15": 2,
        "B16": 2, "B17": 2, "B18": 2,
    },
    "flap": {
        "C1": 3, "C2": 3, "C3": 3, "C4": 3, "C5": 3, "C6": 2, "C7": 2, "C8": 7,
        "C9": 7, "C10": 7, "C11": 7, "C12": 42, "C13": 17, "C14": 18, "C15": 7,
        "C16": 7, "C17": 7, "C18": 7, "C19": 42,
    },
}  # fmt: skip
SET = {
    "A3": 2, "A4": 2, "A5": 3, "A6": 3, "A7": 2, "A8": 2, "A9": 3, "A10": 3, "A13": 6,
    "A14": 6, "A15": 6, "A16": 6, "B1": 7, "B2": 7, "B6": 5, "B7": 5, "B9": 4, "B13": 7,
}  # fmt: skip


@pytest.fixture(scope="module")
def plans() -> dict[str, Plan]:
    """The three assemblies by name."""
    return {name: read_plan(EXAMPLES / f"{name}.yaml") for name in COUNTS}


@pytest.fixture(scope="module")
def holes(plans: dict[str, Plan]) -> dict[str, Holes]:
    """Their holes."""
    return {name: expand(plan) for name, plan in plans.items()}


def _per_row(holes: Holes, marked: np.ndarray) -> dict[str, int]:
    """How many marked holes each row has; rows with none left out."""
    count = np.bincount(holes.row[marked], minlength=len(holes.plan.rows))
    named = zip((row.name for row in holes.plan.rows), count, strict=True)
    return {name: int(many) for name, many in named if many}


@pytest.mark.parametrize("name", COUNTS)
def test_example_has_every_row_when_counted(holes: dict[str, Holes], name: str) -> None:
    """Each row has as many holes as the table of rows gives it."""
    every = np.ones(len(holes[name]), dtype=bool)
    assert _per_row(holes[name], every) == COUNTS[name]


def test_examples_have_476_holes_when_taken_together(holes: dict[str, Holes]) -> None:
    """476 holes in three assemblies: 172, 110 and 194."""
    counts = [len(holes[name]) for name in ("aileron", "root-rib", "flap")]
    assert counts == [172, 110, 194]
    assert sum(counts) == 476


def test_examples_have_79_rivets_set_when_opened(holes: dict[str, Holes]) -> None:
    """The set column: always the first holes of a row, 79 in all."""
    found: dict[str, int] = {}
    for one in holes.values():
        found |= _per_row(one, one.is_set)
    assert found == SET
    assert sum(found.values()) == 79


def test_examples_have_86_holes_waiting_when_opened(holes: dict[str, Holes]) -> None:
    """86 holes are left open or on hold, four of them set already (B9)."""
    waits = {n: (h.open_holes >= 0) | (h.hold >= 0) for n, h in holes.items()}
    assert sum(int(marked.sum()) for marked in waits.values()) == 86
    already = {
        name: _per_row(one, waits[name] & one.is_set) for name, one in holes.items()
    }
    assert already == {"aileron": {}, "root-rib": {"B9": 4}, "flap": {}}


def test_examples_have_drilled_holes_as_logged(holes: dict[str, Holes]) -> None:
    """The log: 172 holes of the aileron, 65 of the rib, 89 of the flap."""
    drilled = {name: int(one.is_drilled.sum()) for name, one in holes.items()}
    assert drilled == {"aileron": 172, "root-rib": 65, "flap": 89}


def test_examples_share_one_project(plans: dict[str, Plan]) -> None:
    """All assemblies belong to one aircraft and are revision 1."""
    assert len({plan.project for plan in plans.values()}) == 1
    assert {plan.revision for plan in plans.values()} == {1}


def test_rows_have_their_heads_near_when_layers_are_listed_near_first(
    plans: dict[str, Plan],
) -> None:
    """In every row the stack, head side first, follows the order of the layers."""
    for plan in plans.values():
        faces = {face.name: face for face in plan.faces}
        for row in plan.rows:
            order = [layer.part for layer in faces[row.face].layers]
            at = [order.index(sheet.part) for sheet in row.stack]
            assert row.head_side == "near"
            assert at == sorted(at), row.name


def test_bulletin_adds_five_holes_when_applied(plans: dict[str, Plan]) -> None:
    """SB-07: five new holes in B19, B9 and B10 get 621 and longer rivets."""
    before = plans["root-rib"]
    bulletin = read_bulletin(EXAMPLES / "sb-07.yaml", before)
    after = apply_bulletin(before, bulletin)
    assert len(expand(after)) - len(expand(before)) == 5
    assert (after.revision, after.based_on) == (2, 1)
    rows = {row.name: row for row in after.rows}
    for name in ("B9", "B10"):
        assert [sheet.part for sheet in rows[name].stack] == ["621", "602", "611"]
        assert str(rows[name].callout) == "MS20470AD4-5"
        assert rows[name].id in {row.id for row in before.rows}
    assert [sheet.part for sheet in rows["B19"].stack] == ["621", "602"]
    web = after.faces[0]
    assert [layer.part for layer in web.layers][:3] == ["621", "604", "602"]
    assert web.layers[0].from_step == "rib-7"


def test_text_and_drawing_stay_apart_when_they_disagree(
    plans: dict[str, Plan],
) -> None:
    """Step aileron-8 says all 37, its drawing says leave 18-20 and 37."""
    steps = {step.name: step for step in plans["aileron"].steps}
    assert steps["aileron-8"].text == "Set all 37 rivets of row A12."
    assert steps["aileron-8"].text_sets == ("A12:1-37",)
    assert steps["aileron-8"].drawing_note == "leave 18-20 and 37"


def test_whole_lengths_are_5_32_alone(plans: dict[str, Plan]) -> None:
    """The kit supplies 5/32 in whole lengths only."""
    for plan in plans.values():
        assert plan.rule_sets.whole_lengths_32nds == (5,)


def test_shop_has_the_tools_and_stock_of_the_tables() -> None:
    """Ten tools, three of them on order; fifteen codes, 655 rivets in all.

    45 + 140 + 60 + 60 + 30 + 50 + 60 + 40 + 6 + 25 + 14 + 0 + 45 + 60 + 20 = 655.
    """
    shop = read_shop(EXAMPLES / "shop.yaml")
    assert len(shop.tools) == 10
    ordered = [tool.id for tool in shop.tools if tool.state == "on order"]
    assert ordered == ["Y4", "BB3", "BP2"]
    assert len(shop.stock) == 15
    assert sum(count.count for count in shop.stock) == 655
    assert {h.diameter_32nds: h.count for h in shop.holders} == {3: 80, 4: 40, 5: 8}


def test_hours_come_to_the_log() -> None:
    """The log's minutes: aileron 60+95+150+85+80+45+40+16+25 = 596, and so on."""
    minutes = {
        name: sum(
            one.minutes for one in read_plan(EXAMPLES / f"{name}.yaml").opening.hours
        )
        for name in COUNTS
    }
    assert minutes == {"aileron": 596, "root-rib": 369, "flap": 95}
    assert sum(one.minutes for one in read_shop(EXAMPLES / "shop.yaml").hours) == 40
