"""What each fact does to the state, subject by subject."""

from __future__ import annotations

from dataclasses import replace

from rivetwright.record.fold import flags_of, fold
from rivetwright.record.kinds import (
    PART,
    STOCK,
    BulletinMet,
    BulletinReceived,
    Counted,
    Delivered,
    FindingAnswered,
    GateTicked,
    HeadChecked,
    HolderMoved,
    HoldLifted,
    HoldPut,
    HoleOpenedUp,
    HoleWorked,
    HoursBegun,
    HoursBooked,
    HoursEnded,
    InspectionSigned,
    LeftOpen,
    NoteWritten,
    Ordered,
    PhotoTaken,
    PlanIssued,
    QuestionAnswered,
    QuestionAsked,
    Received,
    RivetRemoved,
    RivetsSet,
    StepBegun,
    StepFinished,
    StepNoted,
    Undone,
)
from tests.unit.record.made import chained, fact, flags, told

CODE = "MS20470AD4-4"


def test_operations_are_kept_by_sheet() -> None:
    """Drilled through all, dimpled in one sheet: both are there, each by whom."""
    entries = told(
        HoleWorked(("row:1-2",), "drilled"), HoleWorked(("row:1",), "dimpled", "503")
    )
    aileron = fold(entries).assembly("aileron")
    assert set(aileron.hole("row", 1).worked) == {"drilled", "dimpled"}
    assert aileron.hole("row", 1).worked["dimpled"]["503"].person == "builder"
    assert set(aileron.hole("row", 2).worked) == {"drilled"}
    assert not aileron.hole("row", 3).worked


def test_set_rivet_takes_the_holder_out() -> None:
    """A hole with a rivet in it holds no sheet holder."""
    entries = told(HolderMoved(("row:1-2",), True), RivetsSet(("row:1",), CODE))
    aileron = fold(entries).assembly("aileron")
    assert aileron.hole("row", 1).rivet is not None
    assert not aileron.hole("row", 1).holder
    assert aileron.hole("row", 2).holder


def test_removed_rivet_is_counted_and_may_be_set_again() -> None:
    """Set, looked at, removed, set again: one removal, the look stays."""
    entries = told(
        RivetsSet(("row:1",), CODE),
        HeadChecked(("row:1",), 5.2, 1.6),
        RivetRemoved(("row:1",), "leans"),
        RivetsSet(("row:1",), CODE),
    )
    state = fold(entries)
    hole = state.assembly("aileron").hole("row", 1)
    assert hole.removed_count == 1
    assert hole.rivet is not None
    assert hole.heads[0].rivet != hole.rivet.fact
    assert state.stock[STOCK, CODE].used == 2
    assert not state.flags


def test_what_cannot_be_is_taken_and_flagged() -> None:
    """Set twice, removed and looked at where none sits, lifted and answered unasked."""
    entries = told(
        RivetsSet(("row:1",), CODE),
        RivetsSet(("row:1",), CODE),
        RivetRemoved(("row:2",), "x"),
        HeadChecked(("row:3",), 5.0, 1.5),
        HoldLifted("D9", "here"),
        QuestionAnswered("Q-9", "yes"),
        Undone("f" * 32),
    )
    assert flags(fold(entries)) == [
        *("already-set", "not-set", "not-set", "hold-unknown"),
        *("question-unknown", "undone-unknown"),
    ]


def test_hold_stands_until_it_is_lifted() -> None:
    """With what it waits for, and why it was lifted."""
    put = HoldPut("D9", ("row:8",), "no bar fits", "tool", "BB3", "2026-12-04")
    entries = told(put, HoldLifted("D9", "the bar is here"))
    standing = fold(entries[:1]).assembly("aileron").holds["D9"]
    assert (standing.cause_name, standing.lifted_at) == ("BB3", "")
    lifted = fold(entries).assembly("aileron").holds["D9"]
    assert lifted.lifted_because == "the bar is here"
    assert lifted.lifted_at == "2026-11-25T19:02:00.000Z"


def test_question_keeps_its_answer() -> None:
    """Who answered, in which document."""
    entries = told(
        QuestionAsked("Q-1", "may a blind rivet go in?", ("row:1",)),
        QuestionAnswered("Q-1", "yes", "kit supplier", "letter"),
    )
    question = fold(entries).assembly("aileron").questions["Q-1"]
    assert (question.answer, question.by, question.document) == (
        *("yes", "kit supplier"),
        "letter",
    )


def test_steps_begin_and_finish() -> None:
    """Begun again after it was finished, it is under way."""
    entries = told(
        StepNoted("s", "waiting", "no wing kit"),
        StepBegun("s"),
        StepFinished("s", left="hole 8"),
        StepBegun("s"),
    )
    states = [
        fold(entries[: k + 1]).assembly("aileron").steps["s"].state
        for k in range(len(entries))
    ]
    assert states == ["waiting", "under way", "done", "under way"]


def test_gates_marks_signatures_and_notes_are_kept() -> None:
    """Ticked and unticked, left open and marked, signed, answered, noted, pictured."""
    entries = told(
        GateTicked("ready:s", "drilled"),
        GateTicked("ready:s", "drilled", False),
        LeftOpen(("row:18",), "bracket", True),
        InspectionSigned("s", "inspector", True, "seen"),
        FindingAnswered("EDGE-01", ("row:1",), "leave it", "supplier"),
        NoteWritten("tight", ("row:2",), "s"),
        PhotoTaken("a" * 64, "image/jpeg", 99, (), "s", "inside"),
        HoleOpenedUp(("row:3",), "No. 27", "egg-shaped", 3.66),
    )
    aileron = fold(entries).assembly("aileron")
    assert not aileron.gates["ready:s"]["drilled"].is_ticked
    assert aileron.hole("row", 18).is_marked_open
    assert aileron.signatures[0].is_passed
    assert aileron.answers[0].code == "EDGE-01"
    assert aileron.notes[0].text == "tight"
    assert aileron.photos[0].caption == "inside"
    assert aileron.hole("row", 3).drill == "No. 27"
    assert aileron.last["builder"].kind == "hole-opened-up"


def test_stock_is_what_was_counted_and_came_and_went() -> None:
    """60 counted, 100 came, 3 set: 157; counted again as 150: 150."""
    entries = told(
        RivetsSet(("row:9",), CODE),
        Counted(STOCK, CODE, 60),
        Received(STOCK, CODE, 100),
        RivetsSet(("row:1-3",), CODE),
        Counted(STOCK, CODE, 150),
    )
    on_hand = [fold(entries[:k]).stock[STOCK, CODE].on_hand for k in (1, 2, 3, 4, 5)]
    assert on_hand == [None, 60, 160, 157, 150]


def test_what_was_ordered_comes_in_parts() -> None:
    """Of 100 ordered 60 arrive: 40 are still to come, on the same day; then none."""
    entries = told(
        Ordered(STOCK, CODE, 100, "2026-12-04"),
        Received(STOCK, CODE, 60),
        Received(STOCK, CODE, 40),
    )
    key = (STOCK, CODE)
    seen = [fold(entries[:k]).deliveries[key] for k in (1, 2, 3)]
    assert [(one.state, one.ordered, one.due) for one in seen] == [
        ("on order", 100, "2026-12-04"),
        ("on hand", 40, "2026-12-04"),
        ("on hand", 0, ""),
    ]


def test_rivets_lost_from_the_tray_and_spoilt_in_the_hole() -> None:
    """Of 60, 10 went into the tray, 7 were set and 2 left over: one is gone; 52 there.

    One of the seven comes out again: it is spoilt, and no count changes that.
    """
    entries = told(
        Counted(STOCK, CODE, 60),
        RivetsSet(("row:1-7",), CODE, tray_count=10, left_over=2),
        RivetRemoved(("row:3",), "leans"),
        Counted(STOCK, CODE, 50),
    )
    before, after = (fold(entries[:k]).stock[STOCK, CODE] for k in (3, 4))
    assert (before.on_hand, before.lost, before.spoilt) == (52, 1, 1)
    assert (after.on_hand, after.lost, after.spoilt) == (50, 0, 1)


def test_a_bulletin_is_met() -> None:
    """How, by whom and at which holes, beside the day on which it came in."""
    met = BulletinMet("SB-07", "621 set", "a person", ("row:1-4",))
    now = fold(told(BulletinReceived("SB-07"), met)).assembly("aileron")
    assert (now.met["SB-07"].how, now.met["SB-07"].holes) == ("621 set", ("row:1-4",))


def test_delivery_arrives() -> None:
    """On order until it is received."""
    entries = told(
        Delivered(PART, "621", "on order", "2026-12-09"), Received(PART, "621", 1)
    )
    assert fold(entries[:1]).deliveries[PART, "621"].due == "2026-12-09"
    here = fold(entries).deliveries[PART, "621"]
    assert (here.state, here.received) == ("on hand", 1)


def test_timer_is_switched_and_ended() -> None:
    """One minute drilling, one deburring; facts are a minute apart."""
    entries = told(HoursBegun("drill"), HoursBegun("deburr"), HoursEnded())
    state = fold(entries)
    assert [(one.operation, one.seconds) for one in state.booked] == [
        ("drill", 60),
        ("deburr", 60),
    ]
    assert not state.timers


def test_forgotten_timer_is_corrected() -> None:
    """25 minutes written instead, whether it still runs or was ended already."""
    begun = fact(1, HoursBegun("set"))
    booked = HoursBooked("2026-11-25", "set", 25, instead_of=begun.id)
    for facts in (
        [begun, fact(2, booked)],
        [begun, fact(2, HoursEnded()), fact(3, booked)],
    ):
        state = fold(chained(facts))
        assert [one.seconds for one in state.booked] == [1500]
        assert [one.assembly for one in state.booked] == ["aileron"]
        assert not state.timers


def test_undo_and_its_undo() -> None:
    """Taken back it never was; taking that back brings it back."""
    entries = told(
        RivetsSet(("row:1",), CODE), Undone(f"{1:032x}"), Undone(f"{2:032x}")
    )
    sits = [
        fold(entries[:k]).assembly("aileron").hole("row", 1).rivet is not None
        for k in (1, 2, 3)
    ]
    assert sits == [True, False, True]
    assert fold(entries[:2]).assembly("aileron").last == {}


def test_older_revision_is_flagged_and_its_rows_move() -> None:
    """A mark of revision 1 after 2 was issued; a row that is the same keeps all."""
    entries = chained(
        [
            fact(1, RivetsSet(("old:1",), CODE), revision=1),
            fact(2, PlanIssued(2, "d" * 64, lineage=(("old", "new"),)), revision=2),
            fact(3, RivetsSet(("new:2",), CODE), revision=1),
        ]
    )
    state = fold(entries)
    aileron = state.assembly("aileron")
    assert aileron.revision == 2
    assert aileron.hole("new", 1).rivet is not None
    assert [flag.code for flag in flags_of(state, f"{3:032x}")] == ["older-revision"]


def test_device_that_counts_twice_is_flagged() -> None:
    """Two facts of one device with one number: its browser data were put back."""
    first = fact(1, HoursEnded())
    entries = chained([first, replace(first, id="a" * 32)])
    assert flags(fold(entries)) == ["overlapping-device"]
    assert flags(fold(entries[1:], fold(entries[:1]))) == ["overlapping-device"]


def test_clocks_that_are_far_off_are_flagged() -> None:
    """Two days of difference; and a fact from after its own arrival."""
    entries = chained(
        [
            fact(1, HoursEnded(), clock_ms=2 * 86_400_000),
            fact(2, HoursEnded(), device="tablet", happened="2026-11-25T23:03:00.000Z"),
        ]
    )
    assert flags(fold(entries)) == ["far-clock", "far-clock"]


def test_opening_is_nobodys_last_action() -> None:
    """What was read from a file is not taken back with one tap."""
    entries = chained([fact(1, RivetsSet(("row:1",), CODE), device="opening-aileron")])
    assert fold(entries).assembly("aileron").last == {}


def test_rivet_told_twice_leaves_the_stock_once() -> None:
    """Holes 1-3, then 2-4 again: four rivets; taken out and set again: five."""
    twice = (RivetsSet(("row:1-3",), CODE), RivetsSet(("row:2-4",), CODE))
    assert fold(told(*twice)).stock[STOCK, CODE].used == 4
    again = (RivetRemoved(("row:2",), "leans"), RivetsSet(("row:2",), CODE))
    assert fold(told(*twice, *again)).stock[STOCK, CODE].used == 5


def test_other_rivet_in_a_set_hole_is_one_more() -> None:
    """A rivet of another code came from another tin, told or not what came out."""
    stock = fold(
        told(RivetsSet(("row:1",), CODE), RivetsSet(("row:1",), "BD4-2"))
    ).stock
    assert {name: one.used for (_, name), one in stock.items()} == {CODE: 1, "BD4-2": 1}


def test_only_runs_that_were_timed_are_kept_as_such() -> None:
    """A single rivet and a run without a time are none; one taken back neither."""
    entries = told(
        RivetsSet(("row:1-4",), CODE, "S", run_s=60),
        RivetsSet(("row:5",), CODE, "S", run_s=60),
        RivetsSet(("row:6-7",), CODE, "S"),
        RivetsSet(("row:8-9",), CODE, "S", run_s=0),
        RivetsSet(("row:10-11",), CODE, "S", run_s=20),
        Undone(f"{5:032x}"),
    )
    (run,) = fold(entries).runs["S", CODE]
    assert (run.fact, run.rivets, run.seconds) == (f"{1:032x}", 4, 60)


def test_newest_runs_of_a_set_up_are_kept() -> None:
    """Fifty runs, told backwards: those of the last forty minutes stay."""
    facts = [
        fact(k, RivetsSet((f"row:{2 * k}-{2 * k + 1}",), CODE, run_s=k))
        for k in range(1, 51)
    ]
    kept = [run.seconds for run in fold(chained(facts[::-1])).runs["", CODE]]
    assert kept == list(range(11, 51))


def test_wild_clock_of_one_mark_flags_that_mark_alone() -> None:
    """2099, then a mark with the time right: only the first is flagged, and counts."""
    wild = fact(1, RivetsSet(("row:1",), CODE), happened="2099-01-01T00:00:00.000Z")
    right = fact(2, RivetRemoved(("row:1",), "leans"))
    state = fold(chained([wild, right], "2026-11-25T19:05:00.000Z"))
    assert [(one.code, one.fact) for one in state.flags] == [("far-clock", wild.id)]
    assert state.assembly("aileron").hole("row", 1).rivet is None
    assert state.last_place[0] == "2026-11-25T19:05:00.000Z"
