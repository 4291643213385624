"""Number and letter drills."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.units.drills import drill_mm, drill_name, drills, nearest_drill

INCH = Fraction(254, 10)


def test_both_series_are_whole() -> None:
    """80 numbers and 26 letters, each once."""
    names = {drill.name for drill in drills()}
    numbers = {f"No. {n}" for n in range(1, 81)}
    letters = {f"letter {chr(n)}" for n in range(ord("A"), ord("Z") + 1)}
    assert names == numbers | letters
    assert len(drills()) == 106


def test_numbers_fall_and_letters_rise() -> None:
    """A higher number is a smaller drill, a later letter a larger one."""
    numbers = [drill_mm(str(n)) for n in range(1, 81)]
    letters = [drill_mm(chr(n)) for n in range(ord("A"), ord("Z") + 1)]
    assert all(first > second for first, second in pairwise(numbers))
    assert all(first < second for first, second in pairwise(letters))
    assert numbers[0] < letters[0]


@pytest.mark.parametrize("name", ["#40", "No. 40", "no40", "Number 40", "40"])
def test_drill_is_found_by_each_spelling(name: str) -> None:
    """No. 40 is 0.098 in, however it is written."""
    assert drill_mm(name) == Fraction(98, 1000) * INCH


def test_drill_name_is_exact() -> None:
    """A diameter has a drill's name only when it is that drill's."""
    assert drill_name(Fraction(98, 1000) * INCH) == "No. 40"
    assert drill_name(float(Fraction(257, 1000) * INCH)) == "letter F"
    assert drill_name(Fraction(99, 1000) * INCH) is None


def test_nearest_drill_takes_the_larger_of_two() -> None:
    """Halfway between No. 40 (.098) and No. 39 (.0995) the larger one is taken."""
    assert nearest_drill(Fraction(98_75, 100_000) * INCH).name == "No. 39"
    assert nearest_drill(Fraction(984, 10_000) * INCH).name == "No. 40"


def test_nearest_drill_at_the_ends_of_the_series() -> None:
    """The smallest and the largest drill are near themselves."""
    for drill in (drills()[0], drills()[-1]):
        assert nearest_drill(float(drill.diameter_mm)) == drill


@pytest.mark.parametrize("inches", ["0.01", "0.5"])
def test_nearest_drill_refuses_outside_the_series(inches: str) -> None:
    """Under No. 80 and over letter Z there is none."""
    with pytest.raises(OutsideTable, match=r"No\. 80"):
        nearest_drill(Fraction(inches) * INCH)


@pytest.mark.parametrize("name", ["#0", "#81", "letter AA", "", "none"])
def test_unknown_drill_is_refused(name: str) -> None:
    """A name outside both series is refused with their limits."""
    with pytest.raises(OutsideTable, match="letter A"):
        drill_mm(name)


def test_read_drills_say_so() -> None:
    """Five sizes were read in a handbook, the others are FROM MEMORY."""
    read = {drill.name for drill in drills() if drill.status == "READ"}
    assert read == {"No. 52", "No. 41", "No. 30", "No. 22", "No. 12"}
    assert {drill.status for drill in drills()} == {"READ", "FROM MEMORY"}
