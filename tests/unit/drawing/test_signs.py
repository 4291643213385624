"""State, head and diameter of a hole show by shape before they show by colour."""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ET

import pytest

from rivetwright.drawing.signs import (
    HEADS,
    STATES,
    NamedSign,
    Sign,
    add_sign,
    diameter_32nds,
    head_kind,
    reach_ratio,
)
from rivetwright.model.severity import Severity
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import parse_rivet_code
from rivetwright.units.length import parse_length_mm


def shapes(sign: Sign) -> str:
    """What a sign draws, without the classes that only carry colour."""
    parent = ET.Element("g")
    add_sign(parent, NamedSign(sign, (0.0, 0.0), "A1:1", "words"))
    drawn = [(e.tag, e.get("r"), e.get("d")) for e in parent[0] if e.tag != "title"]
    # A ring with an eye and a filled one differ by the eye alone.
    return repr(drawn)


def test_every_state_and_head_has_a_shape_of_its_own() -> None:
    """Five states by four heads give twenty different drawings without colour."""
    every = itertools.product(STATES, HEADS)
    seen = {shapes(Sign(state, head, 4, 1.0)) for state, head in every}
    assert len(seen) == 20


def test_findings_have_shapes_of_their_own() -> None:
    """Eight corners stop, four corners check, a note leaves the sign as it is."""
    corners = []
    for severity in (Severity.STOP, Severity.CHECK):
        parent = ET.Element("g")
        sign = Sign("planned", "universal", 4, 1.0, severity)
        add_sign(parent, NamedSign(sign, (0.0, 0.0), "A1:1", "words"))
        corners.append(parent[0][-1].get("d", "").count("L") + 1)
    assert corners == [8, 4]
    plain, note = (Sign("planned", "universal", 4, 1.0, s) for s in (None, "note"))
    assert shapes(plain) == shapes(note)


def test_a_ring_has_the_radius_it_is_given() -> None:
    """The first circle is the hole itself."""
    parent = ET.Element("g")
    add_sign(parent, NamedSign(Sign("set", "flush", 3, 1.234), (5, 6), "A1:1", "w"))
    group = parent[0]
    assert group.get("transform") == "translate(5 6)"
    assert group.find("circle").get("r") == "1.234"
    assert group.get("class") == "hole state-set head-flush d3"


def test_a_sign_carries_its_words_and_names() -> None:
    """A title for whoever points at it, and names for the page."""
    parent = ET.Element("g")
    named = {"hole": "A1:1", "callout": "<x>"}
    one = NamedSign(Sign("set", "flush", 3, 1.0), (0, 0), "A1:1", "A1:1, set", named)
    add_sign(parent, one)
    assert parent[0].find("title").text == "A1:1, set"
    assert parent[0].get("data-callout") == "<x>"


@pytest.mark.parametrize(
    ("code", "head", "size"),
    [("MS20470AD4-5", "universal", 4), ("MS20426AD3-3.5", "flush", 3)],
)
def test_solid_rivets_are_told_apart(code: str, head: str, size: int) -> None:
    """Head from the standard, diameter in 1/32 in from the part number."""
    callout = parse_rivet_code(code)
    assert (head_kind(callout), diameter_32nds(callout)) == (head, size)


@pytest.mark.parametrize(
    ("head", "diameter", "expected"),
    [("dome", "1/8", ("blind", 4)), ("flush", "3.1 mm", ("blind-flush", None))],
)
def test_blind_rivets_are_told_apart(
    head: str, diameter: str, expected: tuple[str, int | None]
) -> None:
    """1/8 in is 4/32; 3.1 mm is no whole number of 1/32 in."""
    size = parse_length_mm(diameter)
    callout = KitBlindCode("B", head, size, size, size)
    assert (head_kind(callout), diameter_32nds(callout)) == expected


def test_a_mark_reaches_further_than_the_ring() -> None:
    """Words keep clear of the mark, not only of the ring."""
    plain = Sign("set", "universal", 4, 1.0)
    marked = Sign("set", "universal", 4, 1.0, Severity.STOP)
    assert 1.0 < reach_ratio(plain) < reach_ratio(marked)
