"""A figure that is not sharply known: least, usual and most of it.

A sharp figure is a spread whose three are one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from rivetwright.standards.table import Row
from rivetwright.units.tolerance import Number


@dataclass(frozen=True)
class Spread:
    """Least, usual and most; all in the unit that the name of the figure ends in.

    NaN stands where there is no such figure.
    """

    low: float
    central: float
    high: float

    def __post_init__(self) -> None:
        """Hold the three in order."""
        assert not self.low > self.central
        assert not self.central > self.high

    @property
    def is_sharp(self) -> bool:
        """Whether the three are one."""
        return self.low == self.high


def sharp(value: Number) -> Spread:
    """Give a figure that is known as a spread.

    Args:
        value: the figure [any unit].

    Returns:
        Three times the same.

    Source:
        Own convention; JUDGEMENT.
    """
    one = float(value)
    return Spread(one, one, one)


def printed_spread(row: Row, factors: Mapping[str, Fraction]) -> Spread:
    """Read least, usual and most of a printed row in the project's unit.

    A row that prints no range is a sharp figure.

    Args:
        row: a row with the columns low, central, high and unit [the printed unit].
        factors: how much one of a printed unit is in the project's [-].

    Returns:
        The spread in the project's unit.

    Source:
        The row's own.
    """
    factor = factors[row.cells["unit"]]
    central = row.number("central") * factor
    low, high = (
        row.number(end) * factor if row.cells[end] else central
        for end in ("low", "high")
    )
    return Spread(float(low), float(central), float(high))
