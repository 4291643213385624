"""Fields of a shop file that are no plain size: force, pressure, air, weight.

Each has a range, JUDGEMENT, wide enough for any home shop.  It is there for the
slipped point and the slipped unit (90 bar for 90 psi), which would make every
set-up wrong without a word.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Annotated, Any

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema

from rivetwright.errors import Refusal
from rivetwright.intake.fields import number_between, read_gap, read_size, refuse
from rivetwright.units.air import parse_flow_m3_s, parse_volume_m3
from rivetwright.units.duration import parse_time_s
from rivetwright.units.force import (
    parse_force_n,
    parse_pressure_kpa,
    parse_stiffness_n_mm,
)
from rivetwright.units.length import parse_run_mm
from rivetwright.units.mass import parse_mass_kg
from rivetwright.units.wording import show_length

ReadSize = Callable[[Any, ValidationInfo], float]

_SLIPPED = "Look for a slipped point or another unit"


def _between(
    parse: Callable[[str], Fraction], least: str, most: str
) -> Callable[[Any], float]:
    """Make a reader of one quantity between two typed limits."""
    limits = parse(least), parse(most)
    allowed = f"{least} to {most}"

    def read(written: Any) -> float:
        if not isinstance(written, str):
            raise refuse(written, allowed, "Write one value with its unit")
        try:
            value = parse(written)
        except Refusal as why:
            raise refuse(written, why.allowed, why.do) from None
        if limits[0] <= value <= limits[1]:
            return float(value)
        raise refuse(written, allowed, _SLIPPED)

    return read


def _size_between(
    least_mm: float, most_mm: float, read_mm: ReadSize = read_size
) -> ReadSize:
    """Make a reader of one size between two limits."""

    def read(written: Any, asked: ValidationInfo) -> float:
        size_mm = read_mm(written, asked)
        if least_mm <= size_mm <= most_mm:
            return size_mm
        raise refuse(written, _size_range(least_mm, most_mm), _SLIPPED)

    return read


def _size_range(least_mm: float, most_mm: float) -> str:
    """Both limits in both units."""
    inches = (show_length(mm, style="decimal") for mm in (least_mm, most_mm))
    return "{} in to {} in ({:g} mm to {:g} mm)".format(*inches, least_mm, most_mm)


def _typed(example: str) -> WithJsonSchema:
    """Describe a quantity that a person types with its unit."""
    return WithJsonSchema({"type": ["string", "number"], "description": example})


def _sized(least_mm: float, most_mm: float) -> WithJsonSchema:
    """Describe a size with a range."""
    return _typed(
        f"a size of {_size_range(least_mm, most_mm)}; bare numbers in the file's unit"
    )


Force = Annotated[
    float,
    PlainValidator(_between(parse_force_n, "1 lbf", "20000 lbf")),
    _typed("1 lbf to 20000 lbf: 3000 lbf, 13 kN"),
]
Pressure = Annotated[
    float,
    PlainValidator(_between(parse_pressure_kpa, "1 psi", "250 psi")),
    _typed("1 psi to 250 psi: 90 psi, 6 bar"),
]
DeadBand = Annotated[
    float,
    PlainValidator(_between(parse_pressure_kpa, "0 psi", "30 psi")),
    _typed("0 psi to 30 psi: 3 psi, .2 bar"),
]
Stiffness = Annotated[
    float,
    PlainValidator(_between(parse_stiffness_n_mm, "10000 lbf/in", "10000000 lbf/in")),
    _typed("10000 lbf/in to 10000000 lbf/in: 300000 lbf/in, 52 kN/mm"),
]
Weight = Annotated[
    float,
    PlainValidator(_between(parse_mass_kg, "1 oz", "50 lb")),
    _typed("1 oz to 50 lb: 2-1/2 lb, 1.1 kg"),
]
Volume = Annotated[
    float,
    PlainValidator(_between(parse_volume_m3, ".1 gal", "500 gal")),
    _typed(".1 gal to 500 gal: 2 gal, 24 l"),
]
Flow = Annotated[
    float,
    PlainValidator(_between(parse_flow_m3_s, ".1 cfm", "200 cfm")),
    _typed(".1 cfm to 200 cfm of free air: 2.4 cfm, 70 l/min"),
]
Run = Annotated[
    float,
    PlainValidator(_between(parse_run_mm, "1 in", "500 ft")),
    _typed("1 in to 500 ft of hose or pipe: 25 ft, 7.5 m"),
]

WorkTime = Annotated[
    float,
    PlainValidator(_between(parse_time_s, "1 min", "72 h")),
    _typed("1 min to 72 h: 30 min, 2 h"),
]
FilmSize = Annotated[float, PlainValidator(_size_between(0.01, 2)), _sized(0.01, 2)]
PinLength = Annotated[
    float, PlainValidator(_size_between(0, 40, read_gap)), _sized(0, 40)
]
ShimSize = Annotated[float, PlainValidator(_size_between(0.02, 10)), _sized(0.02, 10)]
DieLength = Annotated[float, PlainValidator(_size_between(0.5, 80)), _sized(0.5, 80)]
FaceSize = Annotated[float, PlainValidator(_size_between(1, 80)), _sized(1, 80)]
Stroke = Annotated[float, PlainValidator(_size_between(0.5, 300)), _sized(0.5, 300)]
HoseBore = Annotated[float, PlainValidator(_size_between(1.5, 60)), _sized(1.5, 60)]
CylinderBore = Annotated[float, PlainValidator(_size_between(8, 250)), _sized(8, 250)]

LeverRatio = Annotated[
    float,
    PlainValidator(number_between(1, 100)),
    WithJsonSchema({"type": "number", "minimum": 1, "maximum": 100}),
]
FlowCoefficient = Annotated[
    float,
    PlainValidator(number_between(0.01, 50)),
    WithJsonSchema({"type": "number", "minimum": 0.01, "maximum": 50}),
]
