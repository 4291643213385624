"""When facts count: each device's own counting, then corrected time, then arrival."""

from __future__ import annotations

from rivetwright.record.kinds import HoursEnded
from rivetwright.record.order import (
    corrected,
    counted_at,
    fold_order,
    is_far_ahead,
    placed_on,
)
from tests.unit.record.made import chained, fact

NOTHING = HoursEnded()


def test_corrected_time_adds_the_difference_to_the_server() -> None:
    """19:01:00 on a clock 90.5 s slow is 19:02:30.500; on one a day fast, the 24th."""
    assert corrected(fact(1, NOTHING)) == "2026-11-25T19:01:00.000Z"
    slow = fact(1, NOTHING, clock_ms=90_500)
    assert corrected(slow) == "2026-11-25T19:02:30.500Z"
    fast = fact(1, NOTHING, clock_ms=-86_400_000)
    assert corrected(fast) == "2026-11-24T19:01:00.000Z"


def test_devices_are_ordered_by_corrected_time() -> None:
    """The tablet's 19:03 is 19:01:30 on the server, before the phone's 19:02."""
    phone = [fact(1, NOTHING), fact(2, NOTHING)]
    tablet = fact(3, NOTHING, device="tablet", device_seq=1, clock_ms=-90_000, saw=0)
    ordered = fold_order(chained([*phone, tablet]))
    assert [entry.fact.id for entry in ordered] == [
        phone[0].id,
        tablet.id,
        phone[1].id,
    ]


def test_clock_set_back_does_not_turn_a_device_round() -> None:
    """The second fact says 18:00: it counts at 19:01, right after the first."""
    first = fact(1, NOTHING)
    second = fact(2, NOTHING, happened="2026-11-25T18:00:00.000Z")
    placed = placed_on(chained([second, first]), {})
    assert [entry.fact.id for _, entry in placed] == [first.id, second.id]
    assert [place[0] for place, _ in placed] == [first.happened, first.happened]


def test_what_was_folded_before_holds_the_time_of_what_follows() -> None:
    """The device's last fact counted at 20:00, so its next one does too."""
    ends = {"phone": (1, "2026-11-25T20:00:00.000Z")}
    ((place, _),) = placed_on(chained([fact(2, NOTHING)]), ends)
    assert place[:3] == ("2026-11-25T20:00:00.000Z", "phone", 2)


def test_facts_that_are_equal_keep_the_order_of_arrival() -> None:
    """One device, one number, one time: first come, first counted."""
    twin = fact(1, NOTHING, id="f" * 32)
    ordered = fold_order(chained([twin, fact(1, NOTHING)]))
    assert [entry.seq for entry in ordered] == [1, 2]


def test_wild_clock_holds_up_nothing_that_follows() -> None:
    """It said 2099, which counts as its arrival; the next one keeps its own time."""
    wild = fact(1, NOTHING, happened="2099-01-01T00:00:00.000Z")
    arrived = chained([wild], "2026-11-25T19:01:30.000Z")
    later = fact(2, NOTHING)
    assert is_far_ahead(arrived[0])
    assert counted_at(arrived[0]) == "2026-11-25T19:01:30.000Z"
    placed = placed_on([*arrived, *chained([later])], {})
    assert [place[0] for place, _ in placed] == [
        "2026-11-25T19:01:30.000Z",
        later.happened,
    ]


def test_little_ahead_is_no_wild_clock() -> None:
    """Two minutes beyond arrival are taken as they are told, a millisecond more not."""
    ends = {"2026-11-25T23:02:00.000Z": False, "2026-11-25T23:02:00.001Z": True}
    for happened, is_wild in ends.items():
        (entry,) = chained([fact(1, NOTHING, happened=happened)])
        assert is_far_ahead(entry) is is_wild
