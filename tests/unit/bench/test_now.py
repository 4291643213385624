"""What the record says, in the plan's own form and names."""

from __future__ import annotations

from datetime import date

from rivetwright.bench.now import HoleIds, hole_states, opening_now
from rivetwright.bench.workshop import Workshop
from rivetwright.model.columns import parse_hole_range
from rivetwright.model.opening import Opening
from rivetwright.record.state import State
from tests.unit.bench.conftest import Phone


def opening(workshop: Workshop, key: str = "aileron") -> Opening:
    """The opening that the record gives an assembly now."""
    return workshop.now().assembly(key).worked_plan.worked.plan.opening


def at(ids: HoleIds, name: str) -> int:
    """A hole's index by its name."""
    (found,) = ids.holes.indices(parse_hole_range(name))
    return found


def test_names_and_ids_go_both_ways(workshop: Workshop) -> None:
    """Two stretches of A12, through permanent ids and back."""
    ids = workshop.hole_ids("aileron")
    holes = [at(ids, f"A12:{n}") for n in (1, 2, 3, 37)]
    ranges = ids.ranges(holes)
    assert not any(one.startswith("A12") for one in ranges)
    assert ids.indices(ranges) == holes
    assert ids.names(ranges) == ("A12:1-3", "A12:37")


def test_holes_that_the_plan_has_no_longer_are_left_out(workshop: Workshop) -> None:
    """A row that is gone, a number past the end, a range of another form."""
    ids = workshop.hole_ids("aileron")
    (row,) = [row.id for row in ids.holes.plan.rows if row.name == "A3"]
    assert ids.indices((f"{row}:2-9", "gone:1")) == [at(ids, "A3:2")]
    assert ids.indices(("no range",)) == []


def test_nothing_recorded_is_an_empty_opening(workshop: Workshop) -> None:
    """A record that says nothing gives an opening in which nothing happened."""
    assert opening_now(workshop.hole_ids("aileron"), State()) == Opening()


def test_rivet_set_and_removed(workshop: Workshop, phone: Phone) -> None:
    """A17:1-3 set, then 2 taken out: 1 and 3 are set."""
    phone.record("rivets-set", "A17:1-3", callout="MS20426AD3-3")
    phone.record("rivet-removed", "A17:2", reason="leans")
    found = [one for one in opening(workshop).set_holes if one.startswith("A17")]
    assert found == ["A17:1", "A17:3"]
    assert opening(workshop).day == date(2026, 11, 25)


def test_lifted_hold_is_gone(workshop: Workshop, phone: Phone) -> None:
    """The bar came: D9 no longer holds its four holes, D10 still does."""
    phone.record("hold-lifted", hold="D9", reason="BB3 is here")
    assert [hold.id for hold in opening(workshop).holds] == ["D10"]
    holes = workshop.now().assembly("aileron").worked_plan.worked.holes
    assert holes.hold[at(workshop.hole_ids("aileron"), "A19:8")] < 0


def test_hold_put_at_the_bench(workshop: Workshop, phone: Phone) -> None:
    """A new hold has the plan's names and its day."""
    phone.record("hold-put", "A17:2-3", hold="H1", reason="dent", until="2026-12-01")
    (hold,) = [one for one in opening(workshop).holds if one.id == "H1"]
    assert hold.holes == ("A17:2-3",)
    assert hold.until == date(2026, 12, 1)


def test_part_received_is_on_hand(workshop: Workshop, phone: Phone) -> None:
    """709B arrives: the flap's delivery says so, without a date any more."""
    phone.record("received", key="", what="part", named="709B", count=1)
    (part,) = [
        one for one in opening(workshop, "flap").deliveries if one.part == "709B"
    ]
    assert (part.state, part.due) == ("on hand", None)


def test_answered_question_has_its_answer(workshop: Workshop, phone: Phone) -> None:
    """Q-2 answered by the kit supplier."""
    phone.record("question-answered", question="Q-2", answer="-5.5", by="supplier")
    answers = {one.id: one.answer for one in opening(workshop).questions}
    assert answers == {"Q-1": "", "Q-2": "-5.5"}


def test_head_measured_one_way_is_no_measured_head(
    workshop: Workshop, phone: Phone
) -> None:
    """Width alone says nothing of the volume; both do, on their day."""
    before = len(opening(workshop).heads)
    phone.record("head-checked", "A16:1", width_mm=3.7)
    assert len(opening(workshop).heads) == before
    phone.record("head-checked", "A16:1", width_mm=3.7, height_mm=1.1)
    heads = {one.hole: one.day for one in opening(workshop).heads}
    assert heads["A16:1"] == date(2026, 11, 25)


def test_one_word_for_each_hole(workshop: Workshop, phone: Phone) -> None:
    """Set, on hold, open, drilled, planned."""
    names = ["A3:1", "A19:8", "A12:19", "A17:1"]
    ids = workshop.hole_ids("aileron")
    holes = [at(ids, name) for name in names]
    words = hole_states(ids, workshop.state(), holes)
    assert words == dict(zip(names, ["set", "hold", "open", "drilled"], strict=True))
    flap = workshop.hole_ids("flap")
    (planned,) = hole_states(flap, workshop.state(), [at(flap, "C19:1")]).values()
    assert planned == "planned"


def test_unchanged_assembly_is_not_worked_out_again(
    workshop: Workshop, phone: Phone
) -> None:
    """A rivet in the aileron: the flap's worked plan stays the very same."""
    before = {one.key: one for one in workshop.now().project.assemblies}
    phone.record("rivets-set", "A17:1", callout="MS20426AD3-3")
    after = {one.key: one for one in workshop.now().project.assemblies}
    assert after["flap"] is before["flap"]
    assert after["aileron"] is not before["aileron"]


def test_a_tool_that_has_arrived_counts_as_owned(
    workshop: Workshop, phone: Phone
) -> None:
    """The blade comes: hole 8 of A19 to A22 waits for no delivery any more."""
    flap = workshop.now().assembly("flap")
    assert _on_order(workshop) == ["A19:8", "A20:8", "A21:8", "A22:8"]
    phone.record(
        "delivered", key="", what="tool", named="BB3", state="on hand", due="", note=""
    )
    assert _on_order(workshop) == []
    shop = workshop.now().project.shop
    assert shop is not None
    assert [(t.state, t.due) for t in shop.tools if t.id == "BB3"] == [("owned", None)]
    assert workshop.now().assembly("flap") is not flap


def _on_order(workshop: Workshop) -> list[str]:
    """Holes of the aileron that only a tool on order reaches."""
    worked_plan = workshop.now().assembly("aileron").worked_plan
    return [
        worked_plan.worked.holes.name(hole)
        for finding in worked_plan.findings
        if finding.code == "REACH-02"
        for hole in finding.holes
    ]
