"""What a step needs that is not there, and the step last worked in."""

from __future__ import annotations

from dataclasses import replace

from rivetwright.bench.evening import Evening, evening_of
from rivetwright.bench.needs import Lacking
from rivetwright.model.shop import Shop, Tool
from rivetwright.model.step import Need, Step
from rivetwright.record.fold import fold
from rivetwright.record.kinds import (
    PART,
    Delivered,
    GateTicked,
    HoleWorked,
    Kind,
    Received,
    RivetsSet,
    StepBegun,
    StepFinished,
)
from tests.unit.bench.plans import row, worked
from tests.unit.record.made import told

CODE = "MS20470AD4-4"
NEEDS = (
    *(Need("step", "1"), Need("part", "513"), Need("tool", "BB3"), Need("helper")),
    Need("delivery", "wing kit"),
)
STEPS = (Step("1", "first"), Step("2", "second", NEEDS), Step("3", "third"))
SHOP = Shop("s", "s", "mm", tools=(Tool("BB3", "bar", state="on order"),))


def at_step(step: str, *bodies: Kind, shop: Shop = SHOP) -> Evening:
    """Three steps of a row each, after these facts."""
    rows = (replace(row(f"R{name}", CODE), step=name) for name in "123")
    plan = worked(*rows, id="aileron", steps=STEPS)
    return evening_of(plan, fold(told(*bodies)), shop, step=step)


def names(found: tuple[Lacking, ...]) -> list[str]:
    """What is lacking, by name."""
    return [one.name for one in found]


def test_step_says_what_it_needs_that_is_not_there() -> None:
    """Step 1 with 2 of 3 set, a part and a kit nobody told of, a bar on order."""
    first, part, tool, kit = at_step("2", RivetsSet(("id-R1:1-2",), CODE)).lacking
    assert (first.kind, first.name, first.state) == ("step", "1", "not started")
    assert (first.set_count, first.hole_count, first.is_ticked) == (2, 3, False)
    assert (part.name, part.state) == ("513", "")
    assert (tool.name, tool.state) == ("BB3", "on order")
    assert (kit.kind, kit.name, kit.state) == ("delivery", "wing kit", "")


def test_what_is_there_is_not_asked_about() -> None:
    """Finished, arrived, owned: nothing is lacking; step 3 needs nothing."""
    bodies = (
        *(StepFinished("1"), Received(PART, "513", 1)),
        Delivered(PART, "wing kit", "on hand"),
    )
    owned = replace(SHOP, tools=(Tool("BB3", "bar"),))
    assert at_step("2", *bodies, shop=owned).lacking == ()
    assert at_step("3").lacking == ()
    assert names(at_step("2", *bodies).lacking) == ["BB3"]


def test_lacking_is_ticked_and_hinders_nothing() -> None:
    """Seen in the list of this step: ticked, still shown, the step may begin."""
    (first, *_) = at_step("2").lacking
    seen = at_step("2", GateTicked(first.gate, first.line), StepBegun("2"))
    assert [one.is_ticked for one in seen.lacking] == [True, False, False, False]
    assert seen.has_begun


def test_step_last_worked_in_is_offered() -> None:
    """By what was set, drilled, ticked or begun last, while it has something left."""
    last = (
        RivetsSet(("id-R3:1",), CODE),
        HoleWorked(("id-R3:1",), "drilled"),
        GateTicked("ready:3", "drilled"),
        StepBegun("3"),
    )
    for body in last:
        assert at_step("", StepBegun("2"), body).step == "3"
        assert at_step("", body, StepBegun("2")).step == "2"
    done = (RivetsSet(("id-R3:1-3",), CODE), StepFinished("3"))
    assert at_step("", StepBegun("2"), *done).step == "2"


def test_time_of_the_last_work_is_told() -> None:
    """The second fact, two minutes past seven; nothing where nothing was done."""
    shown = at_step("", StepBegun("2"), RivetsSet(("id-R3:1",), CODE))
    assert shown.worked_at == "2026-11-25T19:02:00.000Z"
    assert at_step("").worked_at == ""
