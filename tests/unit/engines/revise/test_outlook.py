"""What must come out, in what order, and what has to be asked first."""

from __future__ import annotations

from rivetwright.engines.revise.outlook import Doing, Doubt, Outlook, outlook
from rivetwright.engines.work.stand import stand_as_written
from tests.unit.engines.revise.plans import DONE, edited

STACK = (
    "stack: [1, 2], callout: MS20470AD4-4, step: s1",
    "stack: [1, 2], callout: MS20470AD4-4.5, step: s1",
)


def asks(*edits: tuple[str, str], done: str = DONE) -> Outlook:
    """What an edit asks for, with some of the plan done; the usual rates."""
    found = edited(*edits, done=done)
    return outlook(found, stand_as_written(found.old), None, {})


def test_what_was_closed_last_is_opened_first() -> None:
    """The lid's three rivets, then R1's four; the two not set are set anew alone."""
    found = asks(STACK)
    outs = [(one.doing, one.count, one.step) for one in found.tasks if not one.is_new]
    assert outs == [(Doing.OPEN_UP, 3, "s2"), (Doing.TAKE_OUT, 4, "s1")]
    (done,) = found.done
    assert done.closed_by == ("s2",)
    assert found.codes == (("MS20470AD4-4.5", 6),)


def test_drilling_out_counts_the_replacing() -> None:
    """15 min each for 7, 2 squeezed at 1.17, 6 checked at 0.2: 108.54 (work_rates.csv).

    The lid's three go back with the rate of their own drilling out.
    """
    _, likely, _ = asks(STACK).minutes
    assert round(likely, 2) == 15 * 7 + 2 * 1.17 + 6 * 0.2


def test_nothing_set_takes_nothing_out() -> None:
    """Before the first rivet an edit is paper."""
    found = asks(STACK, done="")
    assert found.out_count == 0
    assert Doing.MEASURE not in {one.doing for one in found.tasks}


def test_a_step_alone_moves_no_rivet() -> None:
    """R1 set at another step: what sits there stays."""
    found = asks(
        ("callout: MS20470AD4-4, step: s1", "callout: MS20470AD4-4, step: s2"),
    )
    assert found.out_count == 0
    (task,) = [one for one in found.tasks if one.doing is Doing.SET]
    assert task.count == 2


def test_a_drilled_hole_left_empty_is_asked_about() -> None:
    """R1 loses its sixth hole, which is drilled and not set."""
    found = asks(("count: 6", "count: 5"))
    (one,) = found.questions
    assert (one.doubt, one.is_old) == (Doubt.EMPTY_HOLE, True)
    assert len(one.holes) == 1


def test_a_dimple_is_not_undone() -> None:
    """R2's sheets were dimpled and are to be plain: ask, for each sheet."""
    found = asks(
        (
            "stack: [1 dimple, 2 dimple], callout: MS20426AD4-4",
            "stack: [1, 2], callout: MS20470AD4-4",
        )
    )
    asked = [
        (one.what, len(one.holes))
        for one in found.questions
        if one.doubt is Doubt.PREPARED
    ]
    assert asked == [("1", 4), ("2", 4)]


def test_before_which_step() -> None:
    """The lid, while it is not on; none once it is."""
    assert asks(STACK, done="").before == "s2"
    assert asks(STACK).before == ""


def test_what_stops_only_now_is_asked() -> None:
    """A rivet that can make no head: LENGTH-01 at R1's six holes."""
    found = asks(
        ("callout: MS20470AD4-4, step: s1", "callout: MS20470AD4-2, step: s1"), done=""
    )
    stops = [one for one in found.questions if one.doubt is Doubt.STOPS]
    assert [(one.what, len(one.holes)) for one in stops] == [("LENGTH-01", 6)]


def test_holes_added_behind_a_lid_ask_for_it_to_come_off() -> None:
    """Two more holes in R1, whose face the lid shut: its three rivets come out."""
    found = asks(("count: 6", "count: 8"))
    outs = [(one.doing, one.count) for one in found.tasks if not one.is_new]
    assert outs == [(Doing.OPEN_UP, 3)]
