"""The drawing cross code, read and written."""

from __future__ import annotations

import pytest

from rivetwright.errors import CodeRefused, OutsideTable
from rivetwright.standards.codes import parse_rivet_code
from rivetwright.standards.cross_code import (
    CrossCode,
    CrossPreparation,
    read_cross_code,
)

CROSSES = [
    ("BJ 4N / - 5", "MS20470AD4-5", "near", CrossPreparation(0, False)),
    ("BB 3F / D 3.5", "MS20426AD3-3.5", "far", CrossPreparation(1, False)),
    ("BB 3N / DC 3", "MS20426AD3-3", "near", CrossPreparation(1, True)),
    ("BB 3N / D2C 100 3.5", "MS20426AD3-3.5", "near", CrossPreparation(2, True, 100)),
    ("CY 5F / C 82 6", "MS20426DD5-6", "far", CrossPreparation(0, True, 82)),
    ("BH 4F / D3 4", "MS20470A4-4", "far", CrossPreparation(3, False)),
]


@pytest.mark.parametrize(("text", "rivet", "side", "preparation"), CROSSES)
def test_cross_is_read(
    text: str, rivet: str, side: str, preparation: CrossPreparation
) -> None:
    """Each quadrant says its part."""
    cross = read_cross_code(text)
    assert str(cross.rivet) == rivet
    assert cross.head_side == side
    assert cross.preparation == preparation


@pytest.mark.parametrize("text", [text for text, *_ in CROSSES])
def test_cross_round_trips_both_ways(text: str) -> None:
    """Written again it is the same line, and its quadrants read as the same cross."""
    cross = read_cross_code(text)
    assert str(cross) == text
    assert read_cross_code(cross.quadrants()) == cross


def test_cross_is_written_from_a_rivet() -> None:
    """MS20426AD4-5, far side, dimple one and countersink the second."""
    cross = CrossCode(
        parse_rivet_code("MS20426AD4-5"), "far", CrossPreparation(1, True)
    )
    assert cross.quadrants() == {"NW": "BB", "NE": "4F", "SW": "DC", "SE": "5"}
    assert str(cross) == "BB 4F / DC 5"


def test_small_letters_and_a_degree_sign_are_read() -> None:
    """bb 3n / d2c 100 deg is the same cross."""
    assert str(read_cross_code("bb 3n / d2c 100\u00b0 3.5")) == "BB 3N / D2C 100 3.5"


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        ("", "all four parts"),
        ("BJ 4N", "all four parts"),
        ("BJ 4N / 5", "all four parts"),
        ("BJ 4X / - 5", "as in 4N"),
        ("BJ N4 / - 5", "as in 4N"),
        ("BJ 4N / X 5", "C, D, DC"),
        ("BJ 4N / - 5.25", "length in 16ths"),
        ("BJ 4N / - x", "length in 16ths"),
        ("BJ 44N / - 5", "thirty-seconds"),
    ],
)
def test_cross_is_refused_with_advice(text: str, advice: str) -> None:
    """Each quadrant is told apart."""
    with pytest.raises(CodeRefused) as refusal:
        read_cross_code(text)
    assert advice in refusal.value.do


def test_unknown_quadrant_is_refused() -> None:
    """A cross has four quadrants and no middle."""
    with pytest.raises(CodeRefused, match="NW, NE, SW and SE"):
        read_cross_code({"NW": "BJ", "middle": "4N"})


@pytest.mark.parametrize("letters", ["ZZ", ""])
def test_letters_nobody_read_are_refused(letters: str) -> None:
    """Four pairs of letters were read; others are not guessed."""
    with pytest.raises(OutsideTable, match="BJ, BB, BH, CY"):
        read_cross_code({"NW": letters, "NE": "4N", "SE": "5"})


def test_rivet_without_letters_is_refused() -> None:
    """No pair of letters was read for NAS1097."""
    cross = CrossCode(parse_rivet_code("NAS1097AD4-5"), "near")
    with pytest.raises(OutsideTable, match="NAS1097AD"):
        cross.quadrants()
