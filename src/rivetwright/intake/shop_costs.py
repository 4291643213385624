"""The builder's own figures for the order of work, out of a shop file and back.

Each has a range, JUDGEMENT, there for the slipped point and the slipped unit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from rivetwright.errors import Refusal, nearest_hint
from rivetwright.intake.faults import Faults, Path
from rivetwright.intake.lay_out import length, quantity
from rivetwright.standards.order import (
    drawn_distance_names,
    order_cost_names,
    order_cost_unit,
)
from rivetwright.units.duration import SPEEDS_MM_S, parse_speed_mm_s, parse_time_s
from rivetwright.units.length import LengthUnit, parse_length_mm

HOUR_S = 3600
_TIMES = {"s": Fraction(1), "min": Fraction(60)}
# Least and most, in the unit of the table.
_RANGES: Mapping[str, tuple[int, int]] = {
    "s": (0, 4 * HOUR_S),
    "mm": (1, 2000),
    "mm/s": (10, 2000),
    "holes": (1, 100_000),
}
_EXAMPLES = {
    "s": "0 s to 4 h, as 12 s or 1-1/2 min",
    "mm": "1 mm to 2 m, as 3 in or 76 mm",
    "mm/s": "10 mm/s to 2 m/s, as 250 mm/s or 10 in/s",
    "holes": "1 to 100000 holes, as 400",
}


def build_costs(
    written: Mapping[str, str], unit: LengthUnit, faults: Faults
) -> tuple[tuple[str, float], ...]:
    """Read the figures by their names, those of the table.

    Args:
        written: name and value as typed.
        unit: of bare lengths.
        faults: takes what is refused.
    """
    return _build(("costs",), order_cost_names(), written, unit, faults)


def build_held(
    written: Mapping[str, str], unit: LengthUnit, faults: Faults
) -> tuple[tuple[str, float], ...]:
    """Read the distances between what is fast that a drawing gives.

    Args:
        written: name and distance as typed.
        unit: of bare lengths.
        faults: takes what is refused.
    """
    return _build(("rules", "holders"), drawn_distance_names(), written, unit, faults)


def _build(
    at: Path,
    known: Sequence[str],
    written: Mapping[str, str],
    unit: LengthUnit,
    faults: Faults,
) -> tuple[tuple[str, float], ...]:
    found = []
    for name, text in written.items():
        if name not in known:
            allowed = ", ".join(known) + nearest_hint(name, known)
            faults.add((*at, name), name, allowed, "Name a figure of the table")
            continue
        value = _read((*at, name), text, unit, faults)
        if value is not None:
            found.append((name, value))
    return tuple(found)


def _read(place: Path, text: str, unit: LengthUnit, faults: Faults) -> float | None:
    """One figure; None where it was refused."""
    kind = order_cost_unit(str(place[-1]))
    allowed = _EXAMPLES[kind]
    try:
        value = _parsed(kind, text, unit)
    except Refusal as why:
        faults.add(place, text, allowed, why.do)
        return None
    least, most = _RANGES[kind]
    if value is None or not least <= value <= most:
        do = "Look for a slipped point or another unit"
        faults.add(place, text, allowed, do)
        return None
    return float(value)


def _parsed(kind: str, text: str, unit: LengthUnit) -> Fraction | None:
    if kind == "s":
        return parse_time_s(text)
    if kind == "mm/s":
        return parse_speed_mm_s(text)
    if kind == "mm":
        return parse_length_mm(text, bare_unit=unit)
    return Fraction(text) if text.isascii() and text.isdigit() else None


def cost_fields(
    costs: tuple[tuple[str, float], ...], unit: LengthUnit
) -> dict[str, str]:
    """The figures as they are written.

    Args:
        costs: names and values of a shop.
        unit: of bare lengths.
    """
    return {name: _written(name, value, unit) for name, value in costs}


def _written(name: str, value: float, unit: LengthUnit) -> str:
    kind = order_cost_unit(name)
    if kind == "s":
        return quantity(value, _TIMES)
    if kind == "mm/s":
        return quantity(value, SPEEDS_MM_S)
    return length(value, unit) if kind == "mm" else str(round(value))
