"""The lists say what waits, what is wrong, and where the figures come from."""

from __future__ import annotations

from rivetwright.paper.lists import (
    finding_lines,
    hold_lines,
    open_lines,
    part_lines,
    question_lines,
    sets_in_force,
    source_lines,
)
from tests.unit.drawing.pictures import demo, small


def test_findings_that_say_the_same_are_one_line() -> None:
    """The four nutplates of the bulkhead are countersunk alike."""
    found = [
        line for line in finding_lines(demo("root-rib")) if line["code"] == "FLUSH-01"
    ]
    assert [line["holes"] for line in found] == ["B15:1-2, B16:1-2, B17:1-2, B18:1-2"]


def test_stops_come_first() -> None:
    """In the order of gravity."""
    seen = [line["severity"] for line in finding_lines(demo("flap"))]
    order = ("stop", "check", "note")
    assert seen == sorted(seen, key=order.index)


def test_open_holes_say_what_for_and_what_then() -> None:
    """D1 of the aileron waits for part 512 at step wing-22."""
    first = open_lines(demo("aileron"))[0]
    assert first[:3] == ["D1", "A12:18-20", "part 512, step wing-22"]
    assert first[4] == "512 + 503 + 502 + 501; BD4-2"


def test_holds_say_until_when() -> None:
    """D7 of the flap waits for a hinge leaf."""
    assert hold_lines(demo("flap")) == [
        [
            "D7",
            "C14:1-18",
            "part 709B, until 2026-12-18",
            "hinge leaf not here",
            "as drawn; MS20426AD4-5",
        ]
    ]


def test_questions_without_an_answer_say_so() -> None:
    """Q-3 of the root rib."""
    first = question_lines(demo("root-rib"))[0]
    assert first[0] == "Q-3"
    assert first[-1] == "no answer yet"


def test_parts_have_their_thickness_in_the_plan_s_unit() -> None:
    """.032 in the demo, 0.80 in a plan in millimetres."""
    assert part_lines(demo("flap"))[0][2] == ".032"
    assert part_lines(small())[1][2] == "0.80"


def test_the_sets_in_force_are_named() -> None:
    """And the diameters that come in whole lengths only."""
    words = sets_in_force(demo("flap"))
    assert "MIL-R-47196A" in words
    assert "whole lengths only in 5/32" in words
    assert "whole lengths" not in sets_in_force(small())


def test_each_source_shows_the_weakest_it_rests_on() -> None:
    """Lengths by volume: the rule is READ, its tolerances are FROM MEMORY."""
    weak = {line[0]: line[2:] for line in source_lines(demo("flap"))}
    assert ["READ", "FROM MEMORY"] in weak.values()
