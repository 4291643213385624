"""Ready to rivet, and the last chance before a step that closes something."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rivetwright.bench.evening import Evening, evening_of
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.plan import DIMPLE, HoleRange, OpenHoles, Sealant, Sheet
from rivetwright.model.step import Need, Step
from rivetwright.record.fold import fold
from rivetwright.record.kinds import (
    FindingAnswered,
    GateTicked,
    HeadChecked,
    HoldPut,
    InspectionSigned,
    Kind,
    PhotoTaken,
    RivetRemoved,
    RivetsSet,
    Undone,
)
from tests.unit.bench.plans import face, row, straight, worked
from tests.unit.record.made import told

CODE = "MS20470AD4-4"
LOOKED = Step("look", "pre-cover inspection", (Need("step", "1"),), is_inspection=True)
CLOSE = Step("close", "skin on", (Need("step", "look"),), closes=("F",))
LATER = Step("later", "from outside", (Need("step", "close"),))
STEPS = (Step("1", "set"), LOOKED, CLOSE, LATER)
PHOTO = PhotoTaken("ab" * 32, "image/jpeg", 9, step="close")


def closing(*more_rows: str, **more: object) -> WorkedPlan:
    """Row A set at step 1 on the face that step `close` closes; a row for each more."""
    rows = [straight("A", 20.0, 25.0, CODE)]
    rows += [straight(step, 20.0, 35.0, CODE, step=step) for step in more_rows]
    said = {"id": "aileron", "faces": (face(),), "steps": STEPS, **more}
    return worked(*rows, **said)  # type: ignore[arg-type]


def at_closing(plan: WorkedPlan, *bodies: Kind, step: str = "close") -> Evening:
    """The evening at the closing step after these facts."""
    return evening_of(plan, fold(told(*bodies)), step=step)


def lines(plan: WorkedPlan, *bodies: Kind) -> dict[str, tuple[str, ...]]:
    """The last-chance lines with what they name."""
    return {one.line: one.names for one in at_closing(plan, *bodies).last_chance}


def set_all(hole: str = "id-A:1-3") -> RivetsSet:
    """Row A set."""
    return RivetsSet((hole,), CODE)


def test_all_that_is_missing_is_listed() -> None:
    """Nothing set, nothing signed, no photo."""
    assert lines(closing()) == {
        "unset": ("A:1-3",),
        "unsigned": ("look",),
        "unphotographed": ("F",),
    }


def test_list_is_empty_where_nothing_is_missing() -> None:
    """Set, one head of the row looked at, signed, photographed."""
    bodies = (
        set_all(),
        HeadChecked(("id-A:2",)),
        InspectionSigned("look", "inspector", True),
        PHOTO,
    )
    assert lines(closing(), *bodies) == {}


def test_step_that_closes_nothing_has_no_list() -> None:
    """Step 1 leaves everything in reach."""
    assert at_closing(closing(), step="1").last_chance == ()


def test_row_without_a_checked_head_is_listed() -> None:
    """Set, and nobody looked."""
    assert lines(closing(), set_all())["unchecked"] == ("A:1-3",)


def test_check_of_a_rivet_that_is_gone_does_not_count() -> None:
    """The head was looked at, the rivet drilled out, another set: look again."""
    bodies = (
        set_all(),
        HeadChecked(("id-A:1",), looks=("leans",)),
        RivetRemoved(("id-A:1",), "leans"),
        set_all("id-A:1"),
    )
    assert lines(closing(), *bodies)["unchecked"] == ("A:1-3",)
    again = HeadChecked(("id-A:1",))
    assert "unchecked" not in lines(closing(), *bodies, again)


@pytest.mark.parametrize("passed", [(False,), (True, False)])
def test_last_word_of_the_inspector_counts(passed: tuple[bool, ...]) -> None:
    """Not fit to close, or first passed and then not: unsigned."""
    bodies = [InspectionSigned("look", "inspector", one) for one in passed]
    assert lines(closing(), *bodies)["unsigned"] == ("look",)
    again = InspectionSigned("look", "inspector", True)
    assert "unsigned" not in lines(closing(), *bodies, again)


def test_inspection_counts_through_steps_between() -> None:
    """Closing needs `fit`, which needs `look`: the inspection is still asked for."""
    between = Step("fit", "skin fitted", (Need("step", "look"),))
    close = replace(CLOSE, needs=(Need("step", "fit"),))
    plan = closing(steps=(Step("1", "set"), LOOKED, between, close))
    assert lines(plan)["unsigned"] == ("look",)


def test_step_that_calls_the_inspector_itself_is_signed_itself() -> None:
    """The need `inspector` stands at the closing step."""
    close = Step("close", "skin on", (Need("inspector"),), closes=("F",))
    plan = closing(steps=(Step("1", "set"), close))
    assert lines(plan)["unsigned"] == ("close",)
    signed = InspectionSigned("close", "inspector", True)
    assert "unsigned" not in lines(plan, signed)


def test_holes_that_the_step_sets_itself_are_no_last_chance() -> None:
    """Row `close` is what the builder is about to set; row `later` comes after."""
    assert lines(closing("close", "later"))["unset"] == ("A:1-3",)


def test_own_holes_that_must_wait_are_a_last_chance() -> None:
    """A held hole of the closing step would be shut in."""
    held = HoldPut("H1", ("id-close:3",), "no bar", "tool", "BB3")
    assert lines(closing("close"), held)["unset"] == ("A:1-3", "close:3")


def test_hole_that_waits_for_a_later_step_is_no_last_chance() -> None:
    """Hole 3 is set from outside, later."""
    later = OpenHoles("D1", (HoleRange("A", 3, 3),), "bracket", step="later")
    assert lines(closing(open_holes=(later,)))["unset"] == ("A:1-2",)


def test_faces_that_stay_open_are_not_asked_about() -> None:
    """A row on no face is not shut in."""
    plan = worked(
        row("B", CODE),
        straight("A", 20.0, 25.0, CODE),
        id="aileron",
        faces=(face(),),
        steps=STEPS,
    )
    assert lines(plan)["unset"] == ("A:1-3",)


def test_findings_that_nobody_answered_are_listed() -> None:
    """1.5 mm from the lower edge of the skin: edge distance, until answered for.

    1.5 mm are less than half a diameter of 3.175 mm.
    """
    near = straight("A", 20.0, 1.5, CODE)
    plan = worked(near, id="aileron", faces=(face(),), steps=STEPS)
    codes = {f.code for f in plan.findings if f.severity != "note"}
    assert lines(plan)["unanswered"] == ("A:1-3",)
    answers = [FindingAnswered(code, ("id-A:1-3",), "so", "he") for code in codes]
    assert "unanswered" not in lines(plan, *answers)


def test_line_seen_is_ticked() -> None:
    """Ticked in the list of this step, and only there."""
    seen = GateTicked("close:close", "unset")
    other = GateTicked("close:later", "unsigned")
    ticked = {
        one.line: one.is_ticked
        for one in at_closing(closing(), seen, other).last_chance
    }
    assert ticked == {"unset": True, "unsigned": False, "unphotographed": False}


def test_lines_count_what_they_name() -> None:
    """Three holes, one inspection, one face."""
    counts = [one.count for one in at_closing(closing()).last_chance]
    assert counts == [3, 1, 1]


def test_ready_list_asks_for_dimples_only_where_there_are_any() -> None:
    """A plain row, and one with a dimpled skin."""
    plain = at_closing(closing(), step="1").gate
    flush = straight("A", 20.0, 25.0, "MS20426AD3-3", preparation=(("*", DIMPLE),))
    written = row("A", "MS20426AD3-3", stack=(Sheet("skin", DIMPLE), Sheet("rib")))
    for made in (flush, written):
        plan = worked(made, id="aileron", faces=(face(),))
        gate = at_closing(plan, step="1").gate
        assert [g.line for g in gate if g.line == "dimpled"] == ["dimpled"]
    assert [g.line for g in plain] == [
        *("drilled", "deburred", "film_off", "primer_dry"),
        *("chips_out", "sheets_shut", "head_side"),
        "proof_head MS20470AD4-4|skin + rib|",
    ]


def test_proof_head_is_asked_for_each_set_up_with_something_left() -> None:
    """Two callouts, two proof heads; with row A set, one."""
    other = straight("B", 20.0, 35.0, "MS20470AD3-3")
    plan = worked(straight("A", 20.0, 25.0, CODE), other, id="aileron", faces=(face(),))

    def asked(*bodies: Kind) -> list[str]:
        gate = at_closing(plan, *bodies, step="1").gate
        return [one.setup.callout for one in gate if one.setup]

    assert asked() == [CODE, "MS20470AD3-3"]
    assert asked(set_all()) == ["MS20470AD3-3"]
    words = {one.word for one in at_closing(plan, step="1").gate if one.setup}
    assert words == {"proof_head"}


def test_head_found_wanting_is_no_checked_head() -> None:
    """Named by itself; the others of its row still have none that was found right."""
    leans = HeadChecked(("id-A:2",), looks=("leans",))
    found = lines(closing(), set_all(), leans)
    assert found["wanting"] == ("A:2",)
    assert found["unchecked"] == ("A:1", "A:3")


@pytest.mark.parametrize(
    "after",
    [HeadChecked(("id-A:2",)), RivetRemoved(("id-A:2",), "leans"), Undone(f"{2:032x}")],
)
def test_head_found_wanting_is_cleared(after: Kind) -> None:
    """By a later look that finds it right, by taking it out, by taking it back."""
    bodies = (
        set_all(),
        HeadChecked(("id-A:2",), looks=("leans", "gap under the shop head")),
    )
    (bad,) = at_closing(closing(), *bodies, step="1").bad_heads
    assert (bad.names, bad.hole_ids) == (("A:2",), ("id-A:2",))
    assert bad.looks == ("leans", "gap under the shop head")
    assert at_closing(closing(), *bodies, after, step="1").bad_heads == ()
    assert "wanting" not in lines(closing(), *bodies, after)


def test_heads_found_wanting_are_those_of_the_step() -> None:
    """A row of another step is none of its business; the same looks stand together."""
    plan = closing("later")
    looks = HeadChecked(("id-A:1", "id-A:3"), looks=("low",))
    assert at_closing(plan, set_all(), looks, step="later").bad_heads == ()
    (bad,) = at_closing(plan, set_all(), looks, step="1").bad_heads
    assert bad.names == ("A:1", "A:3")


def test_ready_when_every_line_is_ticked() -> None:
    """All but one, then that one, then one taken back."""
    names = [one.line for one in at_closing(closing(), step="1").gate]
    ticks = [GateTicked("ready:1", line) for line in names]
    assert not at_closing(closing(), *ticks[1:], step="1").is_ready
    ready = at_closing(closing(), *ticks, step="1")
    assert ready.is_ready
    assert {one.by for one in ready.gate} == {"builder"}
    back = GateTicked("ready:1", "chips_out", is_ticked=False)
    assert not at_closing(closing(), *ticks, back, step="1").is_ready


def test_each_step_has_its_own_ready_list() -> None:
    """Ticks of step 1 say nothing of step 2."""
    names = [one.line for one in at_closing(closing("close"), step="1").gate]
    ticks = [GateTicked("ready:1", line) for line in names]
    assert not at_closing(closing("close"), *ticks).is_ready


def test_step_without_holes_has_no_ready_list() -> None:
    """An inspection sets no rivets."""
    assert at_closing(closing(), step="look").gate == ()


@pytest.mark.parametrize("sealant", [None, Sealant(1200.0, 0.1)])
def test_a_wet_row_is_made_ready_before_anything_is_mixed(
    sealant: Sealant | None,
) -> None:
    """Tray, holders, pliers and helper are asked for where a row has sealant."""
    plan = worked(row("A", CODE, sealant=sealant), id="aileron")
    found = [one.word for one in evening_of(plan, fold(told()), step="1").gate]
    assert ("wet_ready" in found) == (sealant is not None)
