"""Heads of one tool and rivet in words a builder understands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rivetwright.bench.head_groups import GroupChange
from rivetwright.bench.head_history import MadeBy
from rivetwright.engines.learning.capability import OfHundred
from rivetwright.engines.learning.drift import Alarm
from rivetwright.engines.learning.told import DiesTold, Raised
from rivetwright.engines.learning.wear import Wear
from rivetwright.engines.squeeze.taught import Basis, Taught
from rivetwright.standards.spread import Spread, sharp
from rivetwright.texts.head_group_words import (
    say_capability,
    say_change,
    say_count,
    say_group,
    say_taught,
    say_tool,
    say_warnings,
)
from tests.unit.bench.test_head_groups import IN, group, head

MIL = 0.0254
FOUR = group(*(head(k, 0.060) for k in range(4)))
HIGH = OfHundred(sharp(0.0), Spread(2.0, 12.0, 30.0), 0.066 * IN, 3 * MIL, 4)
NONE = OfHundred(sharp(0.0), sharp(0.0), 0.060 * IN, 3 * MIL, 4)


@pytest.mark.parametrize(
    ("tool", "yoke", "words"),
    [
        ("pneumatic squeezer", "Y2", "pneumatic squeezer, yoke Y2"),
        ("", "Y2", "yoke Y2"),
        ("gun and bar", "", "gun and bar"),
        ("", "", "tool not told"),
    ],
)
def test_a_tool_is_said_as_far_as_it_was_told(tool: str, yoke: str, words: str) -> None:
    """Squeezer and yoke, one of them, or neither."""
    assert say_tool(MadeBy(tool, yoke, 4, False, False)) == words


def test_a_group_has_a_heading_and_a_count() -> None:
    """Tool and callout without its length; dimpled sheets are said."""
    assert say_group(FOUR) == "Pneumatic squeezer, yoke Y2: MS20470AD4"
    dimpled = replace(FOUR, made_by=replace(FOUR.made_by, is_dimpled=True))
    assert say_group(dimpled).endswith("MS20470AD4, dimpled sheets")
    assert say_count(FOUR) == "4 looked at, 4 measured"
    assert say_count(group(head(0, 0.06))) == "1 looked at, 1 measured"


def test_few_heads_say_nothing_of_the_next_hundred() -> None:
    """Two are too few: three are the first of any set-up."""
    (said,) = say_capability(group(head(0, 0.06), head(1, 0.06)))
    assert said.startswith("With fewer than 3 heads")


def test_capability_is_told_side_by_side() -> None:
    """Only the side on which a head of a hundred may be out; else one sentence."""
    said = say_capability(replace(FOUR, heights=HIGH, widths=NONE))
    assert said == (
        "Of the last 4 heads none was out of limits.",
        "Of 100 heads about 12 would be too high. It may be 2 to 30: measure more heads"
        " to know better.",
    )
    good = say_capability(replace(FOUR, heights=NONE, widths=NONE))
    assert good[1] == "Hardly one head in a hundred comes out of limits."


def test_heads_outside_are_named() -> None:
    """The low one of four, by its hole."""
    said = say_capability(group(*(head(k, 0.06) for k in range(3)), head(3, 0.045)))
    assert said[0] == "Of the last 4 heads out of limits: A4:2."


@pytest.mark.parametrize(("lift", "way"), [(3 * MIL, "thicker"), (-3 * MIL, "thinner")])
def test_what_heads_teach_is_told_with_its_band(lift: float, way: str) -> None:
    """Three thousandths either way, give or take one; else that nothing is taught."""
    taught = Taught(lift, Basis.HEADS, 4)
    said = say_taught(replace(FOUR, taught=taught, lift_mm=(lift, MIL)))
    assert said == (
        f"They come out .003 in {way} than a rigid tool would make them, give or take "
        ".001 in: the set-up cards know that from 4 of your heads.",
    )
    assert say_taught(FOUR)[0] == "None of them teaches the set-up cards yet."


def test_what_teaches_nothing_is_told_with_its_reason() -> None:
    """Two without the gap, one at which the ram stalled."""
    found = group(
        *(head(k, 0.06, "gap not told") for k in range(2)), head(2, 0.06, "stalled")
    )
    assert say_taught(found)[1] == (
        "2 without the gap of the dies, 1 at which the ram stalled."
    )


def test_an_alarm_and_wear_are_told_with_what_to_do() -> None:
    """What to look at, the wear, and the room: 0.070 less 0.066 is 0.004 in."""
    raised = Raised(Alarm(4, 2, 10 * MIL), "A5:1", "A4:1", stands=True)
    wear = Wear(Spread(2 * MIL, 4 * MIL, 8 * MIL), 900, 20)
    told = DiesTold((raised,), wear)
    said = say_warnings(replace(FOUR, told=told, heights=HIGH))
    assert said[0] == (
        "From A4:1 on heads come out .010 in higher than before: look before you go on."
    )
    assert "Count the shims against the card." in said
    assert said[-1] == (
        "These dies make heads .004 in higher over 1000 rivets. If it goes on so, .004 "
        "in are used up after 500 to 2000 more rivets: measure again by then."
    )
    over = replace(raised, stands=False)
    assert say_warnings(replace(FOUR, told=DiesTold((over,)))) == ()


def test_a_change_says_what_is_there_now() -> None:
    """Gap and shims by their sizes; an alarm by how much and since when."""
    one = head(0, 0.06, die_gap_mm=0.270 * IN, shims_mm=(0.010 * IN, 0.020 * IN))
    change = GroupChange(0, ("die_gap", "shims"))
    assert say_change(change, one) == "gap .270 in, shims .010 in + .020 in"
    raised = Raised(Alarm(4, 2, -4 * MIL), "A5:1", "A4:1", stands=True)
    assert say_change(GroupChange(0, raised=raised), one) == (
        "from A4:1 on .004 in lower: learnt afresh"
    )
