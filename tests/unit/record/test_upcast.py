"""Bodies of facts: present and older versions, and what is refused at the door."""

from __future__ import annotations

from typing import Any

import pytest

from rivetwright.errors import FactRefused
from rivetwright.record import upcast
from rivetwright.record.chain import FIRST, digest_of, read_entry
from rivetwright.record.fact import as_json, canonical
from rivetwright.record.kinds import (
    HolderMoved,
    HoldPut,
    HoleWorked,
    RivetsSet,
    StepFinished,
)
from rivetwright.record.upcast import read_body
from tests.unit.record.made import fact

DAY = {"operation": "set", "minutes": 5}
ISSUE = {"revision": 1, "digest": ""}


def said(kind: str, body: dict[str, Any], version: object = 1) -> dict[str, Any]:
    """What of a fact its body is read from."""
    return {"kind": kind, "version": version, "body": body}


@pytest.fixture
def third_version(monkeypatch: pytest.MonkeyPatch) -> None:
    """A made-up history: version 1 said `row` and `last`, version 2 `put_in`."""
    monkeypatch.setattr(HolderMoved, "version", 3)

    def one_to_two(body: dict[str, Any]) -> dict[str, Any]:
        return {"holes": [f"{body['row']}:1-{body['last']}"], "put_in": body["put_in"]}

    def two_to_three(body: dict[str, Any]) -> dict[str, Any]:
        return {"holes": body["holes"], "is_in": body["put_in"] == "yes"}

    monkeypatch.setitem(upcast.OLDER, ("holder-moved", 1), one_to_two)
    monkeypatch.setitem(upcast.OLDER, ("holder-moved", 2), two_to_three)


@pytest.mark.usefixtures("third_version")
def test_older_versions_are_read_as_the_present_one() -> None:
    """Version 1 through 2, version 2, and 3 itself: the same thing happened."""
    now = HolderMoved(("a:1-4",), True)
    for version, body in (
        (1, {"row": "a", "last": 4, "put_in": "yes"}),
        (2, {"holes": ["a:1-4"], "put_in": "yes"}),
        (3, {"holes": ["a:1-4"], "is_in": True}),
    ):
        assert read_body(said("holder-moved", body, version)) == now


@pytest.mark.usefixtures("third_version")
def test_older_entry_keeps_its_bytes_and_digest() -> None:
    """Read as the present version; what is hashed is what was stored."""
    old = as_json(fact(1, HolderMoved(("a:1-4",), True))) | {
        "version": 2,
        "body": {"holes": ["a:1-4"], "put_in": "no"},
    }
    stored = canonical(
        {
            "entry": 1,
            "seq": 1,
            "previous": FIRST,
            "arrived": "2026-11-25T23:00:00.000Z",
            "behind_ms": 0,
            "fact": old,
        }
    )
    entry = read_entry(stored)
    assert entry.fact.body == HolderMoved(("a:1-4",), False)
    assert (entry.stored, entry.digest) == (stored, digest_of(stored))


@pytest.mark.parametrize("version", [0, 2, -1, "1", None, True, 1.0])
def test_version_that_is_not_known_is_refused(version: object) -> None:
    """Newer than this program, or no version at all; the refusal tells which."""
    with pytest.raises(FactRefused) as refused:
        read_body(said("step-finished", {"step": "s"}, version))
    assert refused.value.asked == "read version of step-finished"
    assert refused.value.found == repr(version)


@pytest.mark.usefixtures("third_version")
def test_version_without_a_way_up_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Version 2 is known to be older, and nothing says how it is read."""
    monkeypatch.delitem(upcast.OLDER, ("holder-moved", 2))
    with pytest.raises(FactRefused):
        read_body(said("holder-moved", {"row": "a", "last": 4, "put_in": "y"}, 1))


def test_fields_left_out_have_their_values() -> None:
    """Only what is needed was sent."""
    assert read_body(said("step-finished", {"step": "s"})) == StepFinished("s")
    assert read_body(said("rivets-set", {"holes": ["a:1"], "callout": "BD4-2"})) == (
        RivetsSet(("a:1",), "BD4-2")
    )


@pytest.mark.parametrize(
    ("kind", "body", "asked"),
    [
        ("rivet-set", {}, "kind"),
        ("rivets-set", {"holes": ["a:1"]}, "rivets-set.callout"),
        ("rivets-set", {"holes": "a:1", "callout": "x"}, "rivets-set.holes"),
        ("rivets-set", {"holes": [1], "callout": "x"}, "rivets-set.holes"),
        ("rivets-set", {"holes": ["a"], "callout": "x"}, "holes of a fact"),
        ("note-written", {"text": "x\0"}, "note-written.text"),
        ("note-written", {"text": "x\ud800"}, "note-written.text"),
        ("note-written", {"text": "x" * 4001}, "note-written.text"),
        ("note-written", {"text": "x", "txet": ""}, "note-written.txet"),
        ("counted", {"what": "", "named": "x", "count": True}, "counted.count"),
        ("counted", {"what": "", "named": "x", "count": 1.5}, "counted.count"),
        ("hours-booked", DAY | {"day": "2026-02-30"}, "hours-booked.day"),
        ("head-checked", {"holes": [], "width_mm": 1e9}, "head-checked.width_mm"),
        ("plan-issued", ISSUE | {"lineage": [["a"]]}, "plan-issued.lineage"),
        ("hours-ended", [], "body of hours-ended"),
    ],
)
def test_what_does_not_fit_is_refused_by_name(kind: str, body: Any, asked: str) -> None:
    """Which field of which kind; nothing is bent into shape."""
    with pytest.raises(FactRefused) as refused:
        read_body(said(kind, body))
    assert refused.value.asked == f"read {asked}"


def test_kind_almost_right_is_told() -> None:
    """One letter short: the one that was meant is named."""
    with pytest.raises(FactRefused) as refused:
        read_body(said("rivet-set", {}))
    assert "rivets-set" in refused.value.allowed


def test_numbers_are_read_as_their_type() -> None:
    """A whole size becomes a number with a fraction, so that it is stored as one."""
    body = read_body(
        said("hole-worked", {"holes": ["a:1"], "operation": "drilled", "size_mm": 3})
    )
    assert body == HoleWorked(("a:1",), "drilled", size_mm=3.0)
    assert isinstance(body, HoleWorked)
    assert isinstance(body.size_mm, float)


def test_empty_day_is_no_day() -> None:
    """A hold without an end."""
    body = read_body(said("hold-put", {"hold": "D", "holes": ["a:1"], "reason": "x"}))
    assert body == HoldPut("D", ("a:1",), "x")
