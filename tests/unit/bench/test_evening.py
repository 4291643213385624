"""An evening of the invented demo: where I am, what waits, what is next."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from rivetwright.bench.evening import Evening, evening
from rivetwright.bench.open_now import FINDING, OPEN
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import NotFound
from tests.unit.bench.conftest import Clock, Phone

# What waits, for what, and at which step: the demo's notes D1 to D10, and the bar of
# one row, found from its own callout and sheets.
WAITING = [
    ("aileron", "aileron-8", "D1", ("A12:18-20",), "wing-22"),
    ("aileron", "aileron-6", "D2A", ("A11:37",), "513"),
    ("aileron", "aileron-8", "D2B", ("A12:37",), "513"),
    ("root-rib", "rib-4", "D6", ("B5:6-7",), "903"),
    ("flap", "flap-8", "D7", ("C14:1-18",), "709B"),
    ("root-rib", "rib-5", "D8", ("B9:1-4", "B10:1-4"), "621"),
    ("aileron", "aileron-5", "D9", ("A19:8", "A20:8", "A21:8", "A22:8"), "BB3"),
    ("aileron", "aileron-5", "D10", ("A23:1", "A24:1", "A25:1", "A26:1"), "Q-1"),
]
# Rows left for a step of the wing are free there, and no step before has them.
LATER = [("wing-7", "B11", 20), ("wing-15", "B12", 20), ("wing-4", "B14", 5)]


@pytest.fixture(scope="module")
def begun(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    """The demo with its record begun, for tests that record nothing."""
    folder = tmp_path_factory.mktemp("begun") / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    opened = Workshop(folder, clock=Clock())
    opened.begin()
    yield opened
    opened.close()


def stretches(shown: Evening) -> list[tuple[str, int, int]]:
    """Row, first and last of every run."""
    return [(run.row, run.first, run.last) for run in shown.runs]


@pytest.mark.parametrize(("key", "step", "cause", "names", "waits_for"), WAITING)
def test_what_the_drawing_leaves_open_stands_first(
    begun: Workshop,
    key: str,
    step: str,
    cause: str,
    names: tuple[str, ...],
    waits_for: str,
) -> None:
    """Each note of the demo is listed at its step, and no run touches its holes."""
    shown = evening(begun, key, step)
    (line,) = [one for one in shown.open_holes if one.id == cause]
    assert (line.names, line.waits_for) == (names, waits_for)
    held = set(begun.hole_ids(key).indices(line.hole_ids))
    to_set = {at for run in shown.runs for at in holes_of(begun, key, run)}
    assert not held & to_set


def holes_of(workshop: Workshop, key: str, run: object) -> list[int]:
    """Indices of the holes of a run."""
    return workshop.hole_ids(key).indices(run.hole_ids)  # type: ignore[attr-defined]


@pytest.mark.parametrize(("step", "row", "count"), LATER)
def test_rows_for_a_step_of_the_wing_come_there(
    begun: Workshop, step: str, row: str, count: int
) -> None:
    """D3, D4, D5: the whole row at its step, nothing of it in the steps of the rib."""
    assert stretches(evening(begun, "root-rib", step)) == [(row, 1, count)]
    for before in ("rib-3", "rib-4", "rib-5", "rib-6"):
        rows = {run.row for run in evening(begun, "root-rib", before).runs}
        assert row not in rows


def test_bottom_spar_row_has_33_to_set_and_two_stops(begun: Workshop) -> None:
    """The words say 37; 18 to 20 and 37 stay open: 17 and 16, a stop after each."""
    shown = evening(begun, "aileron", "aileron-8")
    assert stretches(shown) == [("A12", 1, 17), ("A12", 21, 36)]
    stops = [run.stop_after for run in shown.runs]
    assert [stop and (stop.name, stop.why.kind) for stop in stops] == [
        ("A12:18", OPEN),
        ("A12:37", OPEN),
    ]
    assert {run.from_end for run in shown.runs} == {"inboard"}


def test_top_spar_row_is_stopped_by_its_length(
    workshop: Workshop, phone: Phone
) -> None:
    """-2.5 in 0.070 in: nothing to set until somebody answers; then 36, and a stop."""
    stopped = evening(workshop, "aileron", "aileron-6")
    assert stopped.runs == ()
    kinds = [(one.kind, one.names) for one in stopped.open_holes]
    assert kinds == [(FINDING, ("A11:1-36",)), (OPEN, ("A11:37",))]
    said = {"answer": "set -3.5", "by": "the kit supplier", "document": "letter 7"}
    answer = phone.record("finding-answered", "A11:1-36", code="LENGTH-01", **said)
    assert answer.refused == ()
    then = evening(workshop, "aileron", "aileron-6")
    assert stretches(then) == [("A11", 1, 36)]
    stop = then.runs[0].stop_after
    assert stop is not None
    assert (stop.name, stop.why.waits_for) == ("A11:37", "513")


def test_part_that_arrives_frees_its_holes(workshop: Workshop, phone: Phone) -> None:
    """The end cap strip comes: hole 37 of both rows, with the longer rivet."""
    phone.record("received", key="", what="part", named="513", count=1)
    shown = evening(workshop, "aileron", "aileron-6")
    assert [(run.row, run.first, run.callout) for run in shown.runs] == [
        ("A11", 37, "MS20426AD3-3.5")
    ]


def test_step_chosen_is_the_first_under_way_with_something_to_set(
    workshop: Workshop, phone: Phone
) -> None:
    """Aileron: step 3; when that is done, step 4; then 5. Flap: step 3, the first.

    Flap 3 needs flap-2, which is not done; no step of the flap is free, so the first
    with something to set is shown.
    """
    assert evening(workshop, "aileron").step == "aileron-3"
    phone.record("step-finished", step="aileron-3")
    assert evening(workshop, "aileron").step == "aileron-4"
    phone.record("step-finished", step="aileron-4")
    assert evening(workshop, "aileron").step == "aileron-5"
    assert evening(workshop, "flap").step == "flap-3"


def test_step_under_way_with_nothing_left_is_passed_over(
    workshop: Workshop, phone: Phone
) -> None:
    """Rib 5 is under way but on hold; with rib 3 set, rib 4 is next."""
    phone.record(
        "rivets-set", "B3:1-3", "B4:1-3", callout="MS20470AD4-5.5", key="root-rib"
    )
    phone.record("rivets-set", "B8:2-5", callout="MS20470AD4-4", key="root-rib")
    phone.record("step-finished", key="root-rib", step="rib-3")
    assert evening(workshop, "root-rib").step == "rib-4"


def test_unknown_step_is_refused_with_the_nearest(begun: Workshop) -> None:
    """`aileron-33` is not there."""
    with pytest.raises(NotFound) as refused:
        evening(begun, "aileron", "aileron-33")
    assert "nearest: aileron-3" in refused.value.allowed


def test_evening_goes_on_where_it_was(
    workshop: Workshop, phone: Phone, demo_copy: Path, clock: Clock
) -> None:
    """Everything shown is the same after the program was stopped and started."""
    phone.record("rivets-set", "A1:1-2", callout="MS20470AD4-4.5")
    phone.record("gate-ticked", gate="ready:aileron-3", line="drilled")
    phone.record("hours-begun", operation="setting rivets")
    before = evening(workshop, "aileron", person="builder")
    assert stretches(before)[0] == ("A1", 3, 3)
    workshop.close()
    again = Workshop(demo_copy, clock=clock)
    after = evening(again, "aileron", person="builder")
    again.close()
    assert after == before


def test_counts_of_a_step_are_those_of_the_demo(begun: Workshop) -> None:
    """Aileron 3: 26 holes, of which 20 are set; A1 and A2 are left, 3 each."""
    choices = {one.name: one for one in evening(begun, "aileron").steps}
    step = choices["aileron-3"]
    assert (step.hole_count, step.set_count, step.left_count) == (26, 20, 6)
    assert choices["aileron-7"].is_inspection
    assert choices["aileron-6"].left_count == 0


def test_last_action_is_ones_own_and_undone_with_one_tap(
    workshop: Workshop, phone: Phone
) -> None:
    """Not the friend's; taking mine back shows the one before."""
    nothing = evening(workshop, "aileron", person="builder").last_action
    assert nothing is None
    first = phone.record("rivets-set", "A1:1", callout="MS20470AD4-4.5").taken[0].id
    second = phone.record("rivets-set", "A1:2", callout="MS20470AD4-4.5").taken[0].id
    friend = Phone(workshop, device="phone-2", person="friend")
    friend.record("rivets-set", "A2:1", callout="MS20470AD4-4.5")
    mine = evening(workshop, "aileron", person="builder").last_action
    assert mine is not None
    assert (mine.fact, mine.names) == (second, ("A1:2",))
    phone.record("undone", fact=second)
    before = evening(workshop, "aileron", person="builder")
    assert before.last_action is not None
    assert before.last_action.fact == first
    assert ("A1", 2, 3) in stretches(before)


def test_timer_is_ones_own(workshop: Workshop, phone: Phone) -> None:
    """The builder's timer runs, the friend's does not."""
    phone.record("hours-begun", operation="dimpling")
    mine = evening(workshop, "aileron", person="builder").timer
    assert mine is not None
    assert mine.operation == "dimpling"
    assert evening(workshop, "aileron", person="friend").timer is None


def test_holes_of_the_step_are_painted_as_they_are(begun: Workshop) -> None:
    """A12 at its step: open where it stays open, drilled elsewhere."""
    states = evening(begun, "aileron", "aileron-8").states
    assert len(states) == 37
    is_open = {name for name, word in states.items() if word == "open"}
    assert is_open == {"A12:18", "A12:19", "A12:20", "A12:37"}
    assert set(states.values()) == {"open", "drilled"}


def test_open_holes_ticked_one_by_one(workshop: Workshop, phone: Phone) -> None:
    """Marked when every line is."""
    phone.record("left-open", "A12:18-20", is_marked=True)
    assert not evening(workshop, "aileron", "aileron-8").is_marked
    phone.record("left-open", "A12:37", is_marked=True)
    assert evening(workshop, "aileron", "aileron-8").is_marked


def test_step_begun_and_finished(workshop: Workshop, phone: Phone) -> None:
    """Not started, under way, done."""
    shown = [evening(workshop, "aileron", "aileron-5")]
    for kind in ("step-begun", "step-finished"):
        phone.record(kind, step="aileron-5")
        shown.append(evening(workshop, "aileron", "aileron-5"))
    assert [one.state for one in shown] == ["not started", "under way", "done"]
    assert [one.has_begun for one in shown] == [False, True, False]


def test_two_people_where_the_plan_says_so(begun: Workshop) -> None:
    """The front attach angle needs a second person, the rear plate does not."""
    assert evening(begun, "root-rib", "rib-4").needs_two
    assert not evening(begun, "root-rib", "rib-5").needs_two


def test_bulletin_makes_set_rivets_come_out(workshop: Workshop, phone: Phone) -> None:
    """Hold lifted: four -4.5 rivets sit in B9 where the bulletin wants -5."""
    key = "root-rib-sb-07"
    held = [one.id for one in evening(workshop, key, "rib-7").open_holes]
    assert held == ["D8"]
    phone.record("hold-lifted", key="root-rib", hold="D8", reason="621 is here")
    lines = evening(workshop, key, "rib-7").open_holes
    assert [(one.kind, one.names, one.reason, one.waits_for) for one in lines] == [
        ("remove", ("B9:1-4",), "MS20470AD4-4.5", "MS20470AD4-5")
    ]


def test_last_chance_of_the_aileron_nose(begun: Workshop) -> None:
    """A11 unset, the inspection unsigned, no photo, A11's finding unanswered."""
    found = {
        one.line: one.names
        for one in evening(begun, "aileron", "aileron-8").last_chance
    }
    assert found["unset"] == ("A11:1-37", "A12:37")
    assert found["unsigned"] == ("aileron-7",)
    assert found["unphotographed"] == ("A-TF", "A-BF")
    assert "A11:1-36" in found["unanswered"]
