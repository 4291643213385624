"""The envelope of a fact: what it holds, and what is refused at the door."""

from __future__ import annotations

from typing import Any

import pytest

from rivetwright.errors import FactRefused
from rivetwright.record.fact import as_json, canonical, read_fact
from rivetwright.record.kinds import HoleWorked, NoteWritten
from tests.unit.record.made import fact


def test_fact_is_written_as_canonical_json() -> None:
    """Keys in order, no blanks, UTF-8; written out by hand."""
    note = fact(1, NoteWritten("½", ("a:1",)), project="p", saw=4)
    assert (
        canonical(as_json(note))
        == (
            '{"assembly":"aileron","body":{"holes":["a:1"],"step":"","text":"½"},'
            '"clock_ms":0,"device":"phone","device_seq":1,"fact":1,'
            '"happened":"2026-11-25T19:01:00.000Z",'
            '"id":"00000000000000000000000000000001","kind":"note-written",'
            '"offset_min":0,"person":"builder","project":"p","revision":0,"saw":4,'
            '"version":1}'
        ).encode()
    )


def test_size_with_a_fraction_has_one_form() -> None:
    """3.0 is written 3, and read as the same fact."""
    drilled = fact(1, HoleWorked(("a:1",), "drilled", size_mm=3.0))
    assert b'"size_mm":3}' in canonical(as_json(drilled))
    assert read_fact(as_json(drilled)) == drilled


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(("id", "1"), ("id", "F" * 32), ("id", "f" * 32 + "\n"), ("id", None)),
        *(("device_seq", 0), ("device_seq", True), ("device_seq", 2**53)),
        *(("saw", "4"), ("saw", 1.5), ("revision", None), ("person", "x" * 201)),
        *(("happened", "2026-11-25 19:01:00"), ("happened", "1969-12-31T23:59")),
        *(("happened", "2026-13-25T19:01:00.000Z"), ("person", "\ud800")),
        *(("clock_ms", 10**13), ("project", 7), ("device", "a\0b")),
    ],
)
def test_field_that_does_not_fit_is_refused(name: str, value: Any) -> None:
    """The refusal names the field, what was found and what to do."""
    said = as_json(fact(1, NoteWritten("x"))) | {name: value}
    with pytest.raises(FactRefused) as refused:
        read_fact(said)
    assert refused.value.asked == f"read {name} of a fact"
    assert refused.value.allowed


@pytest.mark.parametrize("more", [{"extra": 1}, {"fact": 2}, {"arrived": "now"}])
def test_envelope_of_another_form_is_refused(more: dict[str, Any]) -> None:
    """A field too many, or an envelope of later."""
    with pytest.raises(FactRefused):
        read_fact(as_json(fact(1, NoteWritten("x"))) | more)


def test_counts_left_out_are_nought() -> None:
    """A sender that compared no clock and saw no plan."""
    said = as_json(fact(1, NoteWritten("x")))
    for name in ("offset_min", "clock_ms", "revision", "saw"):
        del said[name]
    assert read_fact(said) == fact(1, NoteWritten("x"))
