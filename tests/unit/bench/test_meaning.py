"""Words of a mark that mean nothing are asked back; holes of another plan are not."""

from __future__ import annotations

from typing import Any

import pytest

from rivetwright.bench.workshop import Workshop
from rivetwright.errors import FactRefused, ReasonNeeded
from tests.unit.bench.conftest import Clock, Phone

AD3_3 = "MS20426AD3-3"
HOLE = "A17:1"


def refused(phone: Phone, kind: str, *holes: str, **said: Any) -> FactRefused:
    """Why the one mark was not taken."""
    answer = phone.record(kind, *holes, **said)
    assert answer.taken == ()
    ((_, found),) = answer.refused
    assert isinstance(found, FactRefused)
    assert not isinstance(found, ReasonNeeded)
    assert found.do
    return found


def test_operation_that_is_none_is_refused(phone: Phone) -> None:
    """`blessed` is no operation; `drilld` is told the nearest one."""
    found = refused(phone, "hole-worked", HOLE, operation="blessed")
    assert (found.asked, found.found) == ("read the operation of a mark", "blessed")
    assert "drilled, deburred, dimpled" in found.allowed
    near = refused(phone, "hole-worked", HOLE, operation="drilld")
    assert "nearest: drilled" in near.allowed
    assert phone.record("hole-worked", HOLE, operation="drilled").refused == ()


def test_part_that_no_plan_names_is_refused(phone: Phone) -> None:
    """A sheet the aileron does not have."""
    worked = {"operation": "deburred"}
    assert refused(phone, "hole-worked", HOLE, part="ZZ", **worked).found == "ZZ"
    assert phone.record("hole-worked", HOLE, part="502", **worked).refused == ()


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("step-begun", {}),
        ("step-finished", {}),
        ("step-noted", {"state": "later"}),
        ("note-written", {"text": "x"}),
        ("inspection-signed", {"by": "inspector", "is_passed": True}),
    ],
)
def test_step_that_the_plan_does_not_have_is_refused(
    phone: Phone, kind: str, said: dict[str, Any]
) -> None:
    """`aileron-33` is told the nearest step."""
    found = refused(phone, kind, step="aileron-33", **said)
    assert found.found == "aileron-33"
    assert "nearest: aileron-3" in found.allowed
    assert phone.record(kind, step="aileron-3", **said).refused == ()


def test_list_of_a_step_that_is_none_is_refused(phone: Phone) -> None:
    """Ready for a step that nobody knows."""
    assert refused(phone, "gate-ticked", gate="ready:wing-99", line="x").found == (
        "wing-99"
    )


def test_step_of_no_assembly_is_refused(phone: Phone) -> None:
    """Steps are those of an assembly."""
    refused(phone, "step-begun", key="", step="aileron-3")


def test_callout_that_nobody_can_read_is_refused(phone: Phone) -> None:
    """Not even with a reason; a rivet code with one, a blind code of the plan too."""
    found = refused(phone, "rivets-set", HOLE, callout="the long ones", reason="x")
    assert found.found == "the long ones"
    for code in ("MS20426AD3-4", "AN426AD3-4", "BD4-2"):
        assert phone.record("rivets-set", HOLE, callout=code, reason="x").refused == ()


def test_drill_that_nobody_can_read_is_refused(phone: Phone) -> None:
    """A number, a letter, a fraction and a diameter can be read."""
    why = {"reason": "oval"}
    found = refused(phone, "hole-opened-up", HOLE, drill="a bit bigger", **why)
    assert found.found == "a bit bigger"
    for name in ("#30", "No. 27", "F", "1/8", "3.3 mm"):
        answer = phone.record("hole-opened-up", HOLE, drill=name, **why)
        assert answer.refused == ()


def test_look_that_is_none_is_refused(phone: Phone) -> None:
    """A head that looks right has no look ticked."""
    assert refused(phone, "head-checked", HOLE, looks=["lovely"]).found == "lovely"
    assert phone.record("head-checked", HOLE, looks=["leans"]).refused == ()


def test_person_that_the_shop_does_not_know_is_refused(phone: Phone) -> None:
    """The friend may have helped, a stranger not."""
    said = {"callout": AD3_3}
    assert refused(phone, "rivets-set", HOLE, people=["stranger"], **said).found == (
        "stranger"
    )
    people = ["builder", "friend"]
    assert phone.record("rivets-set", HOLE, people=people, **said).refused == ()


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("hole-worked", {"operation": "drilled"}),
        ("holder-moved", {"is_in": True}),
        ("rivets-set", {"callout": AD3_3}),
        ("left-open", {}),
        ("head-checked", {}),
        ("rivet-removed", {"reason": "leans"}),
        ("hole-opened-up", {"drill": "#30", "reason": "oval"}),
        ("hold-put", {"hold": "H1", "reason": "dent"}),
    ],
)
def test_mark_of_holes_without_one_is_refused(
    phone: Phone, kind: str, said: dict[str, Any]
) -> None:
    """It says that something was done to nothing."""
    found = refused(phone, kind, holes=[], **said)
    assert (found.found, found.allowed) == ("no hole", "at least one hole")


def test_supply_is_a_known_part_a_code_or_a_tool(phone: Phone) -> None:
    """Part 513 of the aileron; a code on a tin; any tool; nothing else."""
    for what, named in (("part", "513"), ("stock", "MS20470AD4-9"), ("tool", "saw")):
        answer = phone.record("received", key="", what=what, named=named, count=1)
        assert answer.refused == ()
    for what, named in (
        *(("part", "no such"), ("stock", "long ones")),
        *(("tool", " "), ("cake", "one")),
    ):
        refused(phone, "received", key="", what=what, named=named, count=1)


def test_older_plan_that_is_gone_is_not_asked_about(
    workshop: Workshop, phone: Phone
) -> None:
    """Made against revision 2 after 3 was issued: nobody knows what its steps were."""
    owner = Phone(workshop, "laptop-1", role="owner")
    digest = workshop.put_document("application/yaml", b"a plan")
    mark = owner.mark("plan-issued", revision=3, digest=digest)
    owner.send(mark | {"body": {"revision": 3, "digest": digest}})
    answer = phone.record("step-begun", step="aileron-33", revision=2)
    assert answer.taken[0].flags == ("older-revision",)
    refused(phone, "step-begun", step="aileron-33", revision=3)


def test_finding_that_stops_needs_a_reason(workshop: Workshop, phone: Phone) -> None:
    """A11:1 is stopped by LENGTH-01, which nobody answered; answered, it is free."""
    set_it = {"callout": "MS20426AD3-2.5"}
    ((_, found),) = phone.record("rivets-set", "A11:1-3", **set_it).refused
    assert isinstance(found, ReasonNeeded)
    assert found.found.startswith("A11:1, which finding LENGTH-01 stops")
    meant = phone.record("rivets-set", "A11:1", reason="scrap strip", **set_it)
    assert meant.refused == ()
    said = {"answer": "set them", "by": "the kit supplier"}
    phone.record("finding-answered", "A11:1-36", code="LENGTH-01", **said)
    assert phone.record("rivets-set", "A11:2-3", **set_it).refused == ()


def test_more_than_a_day_is_no_day(phone: Phone) -> None:
    """1440 min are a day; one more is refused, also where a timer was forgotten."""
    booked = {"day": "2026-11-25", "operation": "set"}
    for more in ({}, {"instead_of": "0" * 32}):
        found = refused(phone, "hours-booked", minutes=1441, **booked, **more)
        assert found.found == "1441 min on 2026-11-25"
        assert "1440 min" in found.allowed
        whole = phone.record("hours-booked", minutes=1440, **booked, **more)
        assert whole.refused == ()


def test_day_to_come_is_not_booked(phone: Phone, clock: Clock) -> None:
    """On the 25th no minute of the 26th; on a clock two hours ahead at 23:00, yes."""
    said = {"operation": "set", "minutes": 5}
    for day in ("2026-11-26", ""):
        refused(phone, "hours-booked", day=day, **said)
    clock.go_on(hours=4)
    late = phone.mark("hours-booked", day="2026-11-26", **said)
    assert phone.send(late | {"offset_min": 120}).refused == ()


def test_wild_clock_books_no_day_to_come(phone: Phone) -> None:
    """A device that thinks it is 2099 still books up to today."""
    mark = phone.mark("hours-booked", day="2098-01-01", operation="set", minutes=5)
    wild = mark | {"happened": "2099-01-01T00:00:00.000Z", "offset_min": 2**40}
    ((_, found),) = phone.send(wild).refused
    assert "2026-11-2" in found.allowed
