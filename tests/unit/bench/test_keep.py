"""Marks from the bench: what happened is taken, what needs a reason waits for it."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.bench.keep import BATCH_MAX, Answer, keep_here
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import FactRefused, NotAllowed, NotFound
from rivetwright.record.devices import OWNER, READS
from rivetwright.record.kinds import NoteWritten
from tests.unit.bench.conftest import Clock, Phone

AD3_3 = "MS20426AD3-3"


def refusal(answer: Answer) -> FactRefused:
    """The one refusal of an answer in which nothing was taken."""
    assert answer.taken == ()
    ((_, found),) = answer.refused
    assert isinstance(found, FactRefused)
    return found


def flags(answer: Answer) -> tuple[str, ...]:
    """What is odd about the one mark that was taken."""
    assert answer.refused == ()
    (taken,) = answer.taken
    return taken.flags


def test_run_as_planned_is_taken(workshop: Workshop, phone: Phone) -> None:
    """A17:1-6 with its own code: one fact, nothing odd."""
    before = workshop.position()
    answer = phone.record("rivets-set", "A17:1-6", callout=AD3_3)
    assert flags(answer) == ()
    assert answer.position == before + 1 == workshop.position()
    assert answer.taken[0].seq == answer.position


def test_other_code_needs_a_reason(workshop: Workshop, phone: Phone) -> None:
    """-3.5 in A17:1; refused with what the plan gives, taken with a reason."""
    found = refusal(phone.record("rivets-set", "A17:1", callout="MS20426AD3-3.5"))
    assert found.found == "MS20426AD3-3.5 in A17:1"
    assert AD3_3 in found.allowed
    assert "reason" in found.do
    with_reason = phone.record(
        "rivets-set", "A17:1", callout="MS20426AD3-3.5", reason="-3 ran out"
    )
    assert flags(with_reason) == ()


@pytest.mark.parametrize("blank", ["", "   "])
def test_blank_reason_is_none(phone: Phone, blank: str) -> None:
    """Spaces are no reason."""
    answer = phone.record("rivets-set", "A17:1", callout="MS20426AD3-3.5", reason=blank)
    refusal(answer)


def test_hole_on_hold_needs_a_reason(phone: Phone) -> None:
    """A19:8 waits for the bar; the hold's own words are told."""
    found = refusal(phone.record("rivets-set", "A19:8", callout=AD3_3))
    assert found.found.startswith("A19:8 on hold: gap behind the flange")
    answer = phone.record("rivets-set", "A19:8", callout=AD3_3, reason="borrowed a bar")
    assert flags(answer) == ()


def test_lifted_hold_holds_no_longer(phone: Phone) -> None:
    """Once D9 is lifted A19:8 is a hole like any other."""
    phone.record("hold-lifted", hold="D9", reason="BB3 is here")
    assert flags(phone.record("rivets-set", "A19:8", callout=AD3_3)) == ()


def test_open_hole_needs_a_reason(phone: Phone) -> None:
    """A12:18-20 stay open for 512; the run up to 17 does not."""
    found = refusal(phone.record("rivets-set", "A12:1-37", callout="BD4-2"))
    assert "A12:18 to be left open" in found.found
    assert flags(phone.record("rivets-set", "A12:1-17", callout="BD4-2")) == ()


def test_open_hole_is_free_at_its_later_step(phone: Phone) -> None:
    """When wing-22 has begun, 512 is there and A12:18-20 are set."""
    phone.record("step-begun", step="wing-22")
    assert flags(phone.record("rivets-set", "A12:18-20", callout="BD4-2")) == ()


def test_hole_open_for_a_part_is_free_when_it_is_here(phone: Phone) -> None:
    """A12:37 waits for 513 on back order; once it was received, no reason is asked."""
    found = refusal(phone.record("rivets-set", "A12:37", callout="BD4-2"))
    assert "A12:37 to be left open" in found.found
    phone.record("received", key="", what="part", named="513", count=2)
    assert flags(phone.record("rivets-set", "A12:37", callout="BD4-2")) == ()


def test_what_the_plan_rests_on_is_not_taken_back(
    workshop: Workshop, phone: Phone
) -> None:
    """Neither the issued plan nor the opening; a hold of the opening may be."""
    kinds = {one.fact.kind: one.fact.id for one in workshop.entries()}
    for kind in ("plan-issued", "opening-taken"):
        refusal(phone.record("undone", fact=kinds[kind]))
    assert flags(phone.record("undone", fact=kinds["hold-put"])) == ()


def test_who_could_not_know_of_a_hold_is_not_asked(
    workshop: Workshop, phone: Phone
) -> None:
    """Set offline before the hold came: taken, and flagged for the builder."""
    seen = workshop.position()
    laptop = Phone(workshop, "laptop-1", role=OWNER)
    laptop.record("hold-put", "A17:1-6", hold="H1", reason="dent in the skin")
    answer = phone.record("rivets-set", "A17:1-6", callout=AD3_3, saw=seen)
    assert flags(answer) == ("held-since",)
    refusal(phone.record("rivets-set", "A18:1", "A17:1", callout=AD3_3))


def issue(workshop: Workshop, sender: Phone, revision: int) -> Answer:
    """Issue a revision whose file is any text."""
    digest = workshop.put_document("application/yaml", b"a plan")
    mark = sender.mark("plan-issued") | {
        "body": {"revision": revision, "digest": digest}
    }
    return sender.send(mark)


def test_plan_is_issued_by_its_owner_alone(workshop: Workshop, phone: Phone) -> None:
    """A phone that only marks, a file that was not stored, an opening: refused."""
    laptop = Phone(workshop, "laptop-1", role=OWNER)
    assert "on the laptop" in refusal(issue(workshop, phone, 2)).allowed
    unknown = laptop.mark("plan-issued") | {"body": {"revision": 2, "digest": "e" * 64}}
    refusal(laptop.send(unknown))
    refusal(laptop.record("opening-taken", file="x", digest="e" * 64))
    assert issue(workshop, laptop, 2).refused == ()
    assert workshop.state().assembly("aileron").revision == 2


def test_older_revision_is_taken_and_flagged(workshop: Workshop, phone: Phone) -> None:
    """Revision 2 was issued meanwhile; the code of revision 1 is no mistake then."""
    seen = workshop.position()
    laptop = Phone(workshop, "laptop-1", role=OWNER)
    issue(workshop, laptop, 2)
    answer = phone.record("rivets-set", "A17:1", callout="MS20426AD3-3.5", saw=seen)
    assert flags(answer) == ("older-revision",)


def test_hole_that_the_plan_does_not_have_is_taken_and_flagged(phone: Phone) -> None:
    """It happened all the same."""
    mark = phone.mark("rivets-set", callout=AD3_3, holes=["gone:1"])
    assert flags(phone.send(mark)) == ("hole-unknown",)


def test_same_mark_twice_is_one_fact(workshop: Workshop, phone: Phone) -> None:
    """The answer was lost and the phone sends again: the old place is told."""
    mark = phone.mark("rivets-set", "A17:1", callout=AD3_3)
    first, again = phone.send(mark), phone.send(mark)
    assert first.taken[0].is_new
    assert not again.taken[0].is_new
    assert first.taken[0].seq == again.taken[0].seq == workshop.position()


def test_mark_that_is_in_is_never_refused_later(
    workshop: Workshop, phone: Phone
) -> None:
    """Sent again after a hold was put on its hole, and seen: it is in."""
    mark = phone.mark("rivets-set", "A17:1", callout=AD3_3)
    phone.send(mark)
    phone.record("hold-put", "A17:1", hold="H1", reason="dent")
    again = phone.send(mark | {"saw": workshop.position()})
    assert again.refused == ()


def test_one_refused_mark_holds_up_no_other(phone: Phone) -> None:
    """The second of three needs a reason; the first and third are in, in order."""
    marks = [
        phone.mark("rivets-set", "A17:1", callout=AD3_3),
        phone.mark("rivets-set", "A19:8", callout=AD3_3),
        phone.mark("rivets-set", "A17:2", callout=AD3_3),
    ]
    answer = phone.send(*marks)
    assert [one.id for one in answer.taken] == [marks[0]["id"], marks[2]["id"]]
    assert [name for name, _ in answer.refused] == [marks[1]["id"]]
    first, second = (one.seq for one in answer.taken)
    assert second == first + 1


def test_stale_decision_is_refused_alone(workshop: Workshop, phone: Phone) -> None:
    """Lifted without having seen what another device recorded: decide again."""
    seen = workshop.position()
    Phone(workshop, "phone-2", "friend").record("note-written", text="bar is here")
    lift = phone.mark("hold-lifted", hold="D9", reason="BB3 is here", saw=seen)
    note = phone.mark("note-written", text="lifted")
    answer = phone.send(lift, note)
    assert [one.id for one in answer.taken] == [note["id"]]
    ((name, found),) = answer.refused
    assert name == lift["id"]
    assert "decide again" in found.do
    again = phone.send(lift | {"saw": workshop.position()})
    assert again.refused == ()


def test_sender_says_who_it_was(workshop: Workshop, phone: Phone) -> None:
    """A mark that names another person, device and project is still this sender's."""
    mark = phone.mark("note-written", text="x")
    lies = {"person": "inspector", "device": "laptop-1", "project": "another"}
    (taken,) = phone.send(mark | lies).taken
    (entry,) = workshop.entries(taken.seq - 1)
    assert (entry.fact.person, entry.fact.device) == ("builder", "phone-1")
    assert entry.fact.project == workshop.project_id


def test_device_that_reads_may_not_mark(workshop: Workshop) -> None:
    """The inspector's link: nothing is taken."""
    before = workshop.position()
    inspector = Phone(workshop, "link-1", "inspector", READS)
    with pytest.raises(NotAllowed):
        inspector.record("note-written", text="looks good")
    assert workshop.position() == before


BROKEN: tuple[dict[str, object], ...] = (
    {"kind": "rivets-painted"},
    {"version": 9},
    {"id": "no"},
    {"happened": "yesterday"},
    {"happened": "2026-13-45T19:00:00.000Z"},
    {"happened": "9999-12-31T23:59:59.999Z"},
    {"clock_ms": 2**52},
    {"device_seq": 0},
    {"assembly": "fuselage"},
    {"extra": 1},
    {"body": {"holes": ["x"], "callout": AD3_3}},
    {"body": {"holes": ["r:1-999999"], "callout": AD3_3}},
    {"body": {"holes": [], "callout": "\ud800"}},
    {"body": {"holes": [], "callout": "a\0b"}},
    {"body": {"holes": []}},
)


def test_mark_of_another_form_is_refused(workshop: Workshop, phone: Phone) -> None:
    """It says what is wrong, the record reads on, and the next mark is taken."""
    for broken in BROKEN:
        mark = phone.mark("rivets-set", "A17:1", callout=AD3_3)
        found = refusal(phone.send(mark | broken))
        assert found.allowed, broken
        assert found.do, broken
    assert workshop.state().flags == []
    assert phone.record("rivets-set", "A17:2", callout=AD3_3).refused == ()


def test_day_that_is_none_is_refused(workshop: Workshop, phone: Phone) -> None:
    """Pages read these days; none may stand in the record that cannot be read."""
    for kind, body in (
        ("hold-put", {"hold": "H1", "holes": [], "reason": "r", "until": "soon"}),
        ("delivered", {"what": "tool", "named": "Y4", "state": "due", "due": "?"}),
        ("hours-booked", {"day": "2026-02-30", "operation": "x", "minutes": 1}),
    ):
        mark = phone.mark(kind) | {"body": body}
        assert "a day as" in refusal(phone.send(mark)).allowed
    assert workshop.now().project.assemblies


def test_too_many_at_once_are_refused(workshop: Workshop, phone: Phone) -> None:
    """501 marks: none of them is taken."""
    before = workshop.position()
    marks = [phone.mark("note-written", text="x") for _ in range(BATCH_MAX + 1)]
    with pytest.raises(FactRefused, match=str(BATCH_MAX + 1)):
        phone.send(*marks)
    assert workshop.position() == before
    assert len(phone.send(*marks[:BATCH_MAX]).taken) == BATCH_MAX


def test_nothing_is_kept_without_a_record(demo_copy: Path, clock: Clock) -> None:
    """A folder whose record was not begun says how to begin it, and stays so."""
    bare = Workshop(demo_copy, clock=clock)
    with pytest.raises(NotFound, match="no record"):
        Phone(bare).record("note-written", text="x")
    assert not bare.has_record
    assert not (demo_copy / "record").exists()


def test_mark_made_on_the_laptop_is_counted_there(
    workshop: Workshop, phone: Phone
) -> None:
    """The form counts for itself, 1 and 2, beside the page's own counting."""
    for _ in range(2):
        body = NoteWritten("seen")
        assert not keep_here(workshop, phone.sender, body, assembly="flap").refused
    last = list(workshop.entries(workshop.position() - 2))
    assert [(one.fact.device, one.fact.device_seq) for one in last] == [
        ("phone-1.form", 1),
        ("phone-1.form", 2),
    ]
