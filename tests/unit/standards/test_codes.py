"""Part numbers of solid rivets."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import CodeRefused, OutsideTable
from rivetwright.standards.codes import (
    RivetCode,
    parse_rivet_code,
    rivet_code,
    rivet_family,
)

INCH = Fraction(254, 10)


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("MS20470AD4-5", "MS20470AD4-5"),
        ("AN470AD4-5", "MS20470AD4-5"),
        ("AN426AD3-3.5", "MS20426AD3-3.5"),
        ("MS20470 AD4-3.5", "MS20470AD4-3.5"),
        ("MS20426-AD4-6", "MS20426AD4-6"),
        ("MS20470AD-4-5", "MS20470AD4-5"),
        ("  ms20470 ad 4 \u2013 5 ", "MS20470AD4-5"),
        ("MS 20470 AD 4 5", "MS20470AD4-5"),
        ("MS20470AD4-5.0", "MS20470AD4-5"),
        ("MS20470A4-4", "MS20470A4-4"),
        ("NAS1097AD4-5", "NAS1097AD4-5"),
        ("NAS1241AD4-5", "NAS1241AD4-5"),
    ],
)
def test_code_is_read_as_printed_and_written_one_way(text: str, plain: str) -> None:
    """Spaces, hyphens, small letters and older numbers come to one form."""
    code = parse_rivet_code(text)
    assert str(code) == plain
    assert parse_rivet_code(str(code)) == code


def test_code_knows_its_sizes() -> None:
    """-4 is 1/8 in, -3.5 is 7/32 in, both exact."""
    code = parse_rivet_code("MS20426AD4-3.5")
    assert code.diameter_mm == code.nominal_diameter_mm == INCH / 8
    assert code.length_mm == INCH * 7 / 32
    assert (code.diameter_shown, code.kind) == ("1/8", "MS20426AD4")


@pytest.mark.parametrize(
    ("text", "head", "is_flush"),
    [
        ("MS20470AD4-5", "universal", False),
        ("MS20426AD4-5", "flush", True),
        ("NAS1097AD4-5", "reduced flush", True),
        ("NAS1241AD4-5", "flush", True),
    ],
)
def test_head_follows_the_standard(text: str, head: str, is_flush: bool) -> None:
    """The standard's number names the head."""
    code = parse_rivet_code(text)
    assert (code.head, code.is_flush) == (head, is_flush)
    assert rivet_family(code.standard).value == head


def test_other_length_and_diameter() -> None:
    """The same rivet longer, or one size up."""
    code = parse_rivet_code("MS20470AD4-5")
    assert str(code.with_length(Fraction(11, 2))) == "MS20470AD4-5.5"
    assert str(code.with_diameter(5)) == "MS20470AD5-5"


@pytest.mark.parametrize("length", [Fraction(0), Fraction(21, 4), Fraction(65)])
def test_other_length_holds_to_half_sixteenths(length: Fraction) -> None:
    """No quarter sixteenths, nothing of no length, nothing over 4 in."""
    with pytest.raises(CodeRefused, match="half sixteenths"):
        parse_rivet_code("MS20470AD4-5").with_length(length)


def test_other_diameter_holds_to_what_is_made() -> None:
    """1/32 in is no rivet."""
    with pytest.raises(CodeRefused, match="diameter 1/32 in"):
        parse_rivet_code("MS20470AD4-5").with_diameter(1)


def test_oversize_shank_must_be_entered() -> None:
    """NAS1241 is grammar alone: no shank, no diameter."""
    code = parse_rivet_code("NAS1241AD4-5")
    assert code.is_oversize
    with pytest.raises(OutsideTable, match="enter the shank"):
        assert code.diameter_mm
    entered = code.with_shank(INCH * 9 / 64)
    assert entered.diameter_mm == INCH * 9 / 64
    assert entered.nominal_diameter_mm == INCH / 8
    assert str(entered) == "NAS1241AD4-5"
    assert entered.with_diameter(5).shank_mm is None


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        ("", "four parts"),
        ("BD4-1", "four parts"),
        ("garbage", "four parts"),
        ("MS20470AD4/5", "MS20470AD4-5"),
        ("MS20470AD4-5,5", "MS20470AD4-5.5"),
        ("MS20740AD4-5", "nearest right form is MS20470AD4-5"),
        ("MS20470XX4-5", "material letters A, AD"),
        ("MS20470DA4-5", "nearest right form is MS20470"),
        ("MS20470-4-5", "material letters"),
        ("MS20470AD4", "length in 16ths after a hyphen"),
        ("MS20470AD44-5", "thirty-seconds"),
        ("MS20470AD1-5", "thirty-seconds"),
        ("MS20470AD4-5.25", "nearest is 5"),
        ("MS20470AD4-0", "nearest is 0.5"),
        ("MS20470AD4-999", "nearest is 64"),
        ("ZZ99999AD4-5", "choose from MS20470"),
    ],
)
def test_code_is_refused_with_advice(text: str, advice: str) -> None:
    """Each slip is told apart, with the nearest right form where one is near."""
    with pytest.raises(CodeRefused) as refusal:
        parse_rivet_code(text)
    assert advice in refusal.value.do
    assert refusal.value.found


def test_missing_parts_are_not_guessed() -> None:
    """Where the length was never written, no length is proposed."""
    with pytest.raises(CodeRefused) as refusal:
        parse_rivet_code("MS20470AD4")
    assert "nearest" not in refusal.value.do


def test_code_from_its_parts() -> None:
    """Four parts build the same rivet as its number."""
    built = rivet_code("AN470", "AD", 4, Fraction(7, 2))
    assert built == parse_rivet_code("MS20470AD4-3.5")
    assert isinstance(built, RivetCode)


def test_unknown_family_is_refused() -> None:
    """A standard nobody wrote down has no head."""
    with pytest.raises(CodeRefused, match="choose from"):
        rivet_family("MS99999")
