"""The demo's ten heads as one table each assembly, and what they show together.

Sizes, remarks and what became of each head are those of the demo's log; limits are
MIL-R-47196A: 1/8 at least .163 wide, .050 to .070 high; 3/32 at least .122, .038 to
.050. A5:2 was inside them and came out for its shape.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.bench.head_result import heads_result
from rivetwright.bench.head_table import HeadTable, head_table, written_table
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.heads.verdict import Overall
from rivetwright.engines.plan import WorkedPlan
from rivetwright.texts.head_group_words import say_capability, say_group, say_taught
from rivetwright.texts.head_line import say_line

PASSES, ASK, FAILS = Overall.PASSES, Overall.ASK, Overall.FAILS


@pytest.fixture(scope="module")
def tables(root: Path) -> dict[str, HeadTable]:
    """The heads of the demo's assemblies, by their files."""
    workshop = Workshop(root / "examples" / "ostrel")
    keys = ("aileron", "root-rib", "flap")
    return {key: head_table(workshop, key)[1] for key in keys}


@pytest.mark.parametrize(
    ("key", "name", "wide", "high", "overall", "is_out"),
    [
        ("aileron", "A3:1", ".210 in", ".064 in", PASSES, False),
        ("aileron", "A5:1", ".210 in", ".064 in", PASSES, False),
        ("aileron", "A5:2", ".205 in", ".058 in", FAILS, True),
        ("aileron", "A6:2", ".196 in", ".073 in", FAILS, False),
        ("aileron", "A14:3", ".115 in", ".052 in", FAILS, True),
        ("root-rib", "B1:5", ".251 in", ".045 in", FAILS, True),
    ],
)
def test_each_head_stands_in_the_table_as_it_was_logged(
    tables: dict[str, HeadTable],
    key: str,
    name: str,
    wide: str,
    high: str,
    overall: Overall,
    is_out: bool,
) -> None:
    """Its sizes, whether it keeps the limits, and whether it was taken out since."""
    (line,) = (one for one in tables[key].lines if one.made.name == name)
    words = say_line(line)
    assert (words.width.main, words.height.main) == (wide, high)
    assert line.judged.verdict is not None
    assert line.judged.verdict.overall is overall
    assert line.made.is_out == is_out


def test_heads_of_a_table_are_in_the_order_of_the_looks(
    tables: dict[str, HeadTable],
) -> None:
    """Seven of the aileron on one day in the order of its rows, three of the rib."""
    names = [one.made.name for one in tables["aileron"].lines]
    assert names == ["A3:1", "A5:1", "A5:2", "A6:2", "A9:2", "A14:3", "A15:5"]
    assert [one.made.name for one in tables["root-rib"].lines] == [
        *("B1:5", "B6:2", "B13:4")
    ]
    assert tables["flap"].lines == ()
    assert tables["flap"].groups == ()


def test_heads_stand_together_by_tool_and_rivet(tables: dict[str, HeadTable]) -> None:
    """The squeezed 1/8 ones of both assemblies, the back-riveted ones, gun and bar."""
    titles = [say_group(one) for one in tables["aileron"].groups]
    assert titles == [
        "Squeezer: MS20470AD4",
        "Back-rivet plate: MS20426AD3, dimpled sheets",
    ]
    squeezed = tables["aileron"].groups[0]
    assert [one.name for one in squeezed.heads][-2:] == ["B1:5", "B6:2"]
    assert [say_group(one) for one in tables["root-rib"].groups][-1] == (
        "Gun and bar: MS20470AD3"
    )


def test_what_heads_teach_is_told_with_what_is_missing(
    tables: dict[str, HeadTable],
) -> None:
    """No look of the log says squeezer, yoke and gap: seven heads, one out of shape."""
    said = say_taught(tables["aileron"].groups[0])
    assert said == (
        "None of them teaches the set-up cards yet.",
        "6 without squeezer and yoke, 1 out of shape, or with a gap.",
    )


def test_capability_in_words_a_builder_understands(
    tables: dict[str, HeadTable],
) -> None:
    """Of the six heads in shape .073 is over .070 and .045 under .050: both are told.

    The other four stand at .062 to .068, so it is heads too high that are to come.
    """
    said = say_capability(tables["aileron"].groups[0])
    assert said[0] == "Of the last 6 heads out of limits: A6:2, B1:5."
    assert said[1].startswith("Of 100 heads about ")
    assert "too high" in said[1]
    few = say_capability(tables["root-rib"].groups[-1])
    assert few == (
        "With fewer than 3 heads since the last change nothing is said of the next "
        "hundred.",
    )


def test_json_has_every_head_and_group(tables: dict[str, HeadTable]) -> None:
    """As many as the table, each length in mm: .210 in is 5.334, .064 is 1.6256."""
    made = heads_result(tables["aileron"])
    assert made["format"] == "rivetwright heads 1"
    assert len(made["heads"]) == 7
    assert (made["heads"][0]["width_mm"], made["heads"][0]["height_mm"]) == (
        pytest.approx(5.334),
        pytest.approx(1.6256),
    )
    assert made["heads"][2]["is_taken_out"] is True
    assert len(made["groups"]) == 2


def test_a_plan_by_itself_tells_of_its_own_heads(demo: dict[str, WorkedPlan]) -> None:
    """Without its folder: its seven heads, none of the other assembly."""
    table = written_table(demo["aileron"])
    assert len(table.lines) == 7
    assert {one.assembly for one in table.groups[0].heads} == {"aileron"}
