"""Laws of the units: in and out is a round trip, and sizes keep their order."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st

from rivetwright.errors import QuantityRefused
from rivetwright.units.drills import drill_name, drills, nearest_drill
from rivetwright.units.force import (
    N_PER_LBF,
    parse_force_n,
    parse_pressure_kpa,
    show_force,
    show_pressure,
)
from rivetwright.units.length import parse_coordinate_mm, parse_length_mm
from rivetwright.units.tolerance import is_less, is_same
from rivetwright.units.wording import show_fraction, show_length

INCH = Fraction(254, 10)

sixty_fourths = st.integers(min_value=1, max_value=64_000)
ten_thousandths = st.integers(min_value=1, max_value=10_000_000)
doubles = st.floats(min_value=-3e4, max_value=3e4)


@given(sixty_fourths)
def test_fraction_round_trips(parts: int) -> None:
    """Every 64th shows as a fraction that reads back as itself."""
    length_mm = Fraction(parts, 64) * INCH
    shown = show_fraction(length_mm)
    assert shown is not None
    assert parse_length_mm(shown) == length_mm


@given(ten_thousandths, st.sampled_from(["in", "mm"]))
def test_decimal_round_trips(parts: int, system: str) -> None:
    """A length of four digits shows and reads back exactly, in either unit."""
    unit_mm = INCH if system == "in" else Fraction(1)
    length_mm = Fraction(parts, 10_000) * unit_mm
    shown = show_length(
        length_mm,
        system="in" if system == "in" else "mm",
        style="decimal",
        digits=4,
        with_unit=True,
    )
    assert parse_length_mm(shown) == length_mm


@given(st.integers(min_value=-(10**7), max_value=10**7))
def test_coordinate_round_trips(parts: int) -> None:
    """A place of three digits shows and reads back exactly, sign and all."""
    place_mm = Fraction(parts, 1000) * INCH
    assert parse_coordinate_mm(show_length(place_mm, style="decimal")) == place_mm


@given(doubles)
def test_shown_length_is_off_by_half_a_digit_at_most(inches: float) -> None:
    """Rounding to three digits moves a length by 0.0005 in at most."""
    place_mm = Fraction(inches) * INCH
    read_mm = parse_coordinate_mm(show_length(place_mm, style="decimal"))
    assert abs(read_mm - place_mm) <= Fraction(5, 10_000) * INCH


@given(st.floats(min_value=1e-4, max_value=1e4))
def test_double_means_its_shortest_decimal(inches: float) -> None:
    """A double reads as the text that prints it."""
    assume("e" not in repr(inches))
    assert parse_length_mm(inches) == parse_length_mm(repr(inches))


@given(st.integers(min_value=0, max_value=10**6))
def test_force_and_pressure_round_trip(whole: int) -> None:
    """Whole pounds, psi and bar show and read back exactly."""
    assert parse_force_n(show_force(whole * N_PER_LBF)) == whole * N_PER_LBF
    kpa = parse_pressure_kpa(whole)
    assert parse_pressure_kpa(show_pressure(kpa)) == kpa
    bar = parse_pressure_kpa(whole, bare_unit="bar")
    assert parse_pressure_kpa(show_pressure(bar, unit="bar")) == bar


@given(st.sampled_from([drill.name for drill in drills()]))
def test_drill_round_trips(name: str) -> None:
    """A drill's name reads as its diameter, which has that drill's name."""
    diameter_mm = parse_length_mm(name)
    assert drill_name(diameter_mm) == name
    assert nearest_drill(diameter_mm).name == name


@given(st.floats(min_value=0.0135, max_value=0.413))
def test_no_drill_is_nearer_than_the_nearest(inches: float) -> None:
    """The nearest drill is no further off than any other, within the tolerance."""
    wanted_mm = inches * 25.4
    nearest_mm = abs(float(nearest_drill(wanted_mm).diameter_mm) - wanted_mm)
    least_mm = min(abs(float(drill.diameter_mm) - wanted_mm) for drill in drills())
    assert is_same(nearest_mm, least_mm)


@given(doubles, doubles)
def test_exactly_one_of_less_same_more(first: float, second: float) -> None:
    """Two lengths are less, the same or more, and never two of these."""
    verdicts = [is_less(first, second), is_same(first, second), is_less(second, first)]
    assert sum(verdicts) == 1


def is_read_or_refused(text: str) -> bool:
    """Say whether a text is a size above nought, or is refused with advice."""
    try:
        return parse_length_mm(text) > 0
    except QuantityRefused as refusal:
        return bool(refusal.do)


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text brings the reading down."""
    assert is_read_or_refused(text)


@given(st.from_regex(r"[0-9 ./#,-]{1,12}(in|mm|\")?", fullmatch=True))
def test_near_sizes_are_read_or_refused(text: str) -> None:
    """Digits, points, strokes and signs in any order come to one of the two ends."""
    assert is_read_or_refused(text)
