"""Kinds of field a file may have: size, place, count, name, day, range of holes.

Each kind reads the text that was typed, checks it, and says in our own words what
is allowed.  The same kinds describe themselves in the published JSON Schema.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from typing import Annotated, Any, cast

from pydantic import (
    BeforeValidator,
    GetJsonSchemaHandler,
    PlainValidator,
    ValidationInfo,
    WithJsonSchema,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError

from rivetwright.errors import Refusal
from rivetwright.intake.faults import show_found
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.length import LengthUnit, parse_coordinate_mm, parse_length_mm
from rivetwright.units.wording import show_both

THICKNESS_MM_MIN, THICKNESS_MM_MAX = 0.1, 25.4

OURS = "ours"
HOLES_MOST_ROW = 100_000
TEXT_MOST = 4000
TITLE_MOST = 200

_NAME = re.compile(r"[^\W_][\w.+/-]{0,39}")
_RANGE = re.compile(r"(?P<row>[^\W_][\w.+/-]*)(?::\d{1,6}(?:-\d{1,6})?)?")
_DATE_LIKE = re.compile(
    r"\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[./]\d{1,2}[./]\d{2,4}|\d{1,2}[- ][A-Za-z]{3}\w*",
)
_NO_SIZE = re.compile(r"[+-]?\.?(?:nan|inf|true|false|yes|no)", re.IGNORECASE)
_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)")
_SHORT_NUMBER = 20


def refuse(found: object, allowed: str, do: str = "") -> PydanticCustomError:
    """Build the refusal of one field."""
    return PydanticCustomError(
        OURS, "not taken", {"found": show_found(found), "allowed": allowed, "do": do}
    )


def _text(written: Any, allowed: str) -> str:
    """Hold a value to be one text, not a list or a group."""
    if isinstance(written, str):
        return written
    raise refuse(written, allowed, "Write one value")


def _unit(asked: ValidationInfo) -> LengthUnit:
    """The unit of bare numbers in this file."""
    context = cast(dict[str, Any], asked.context or {})
    return cast(LengthUnit, context.get("unit", "in"))


def _length(
    written: Any, asked: ValidationInfo, parse: Callable[..., Fraction]
) -> Fraction:
    """Read a length by one of the two parsers [mm]."""
    text = _text(written, "one length, such as 3/32, .032 or 0.8 mm")
    if _DATE_LIKE.fullmatch(text.strip()):
        allowed = "a length, such as 1/8, .125 or 3.2 mm"
        do = "A spreadsheet turns 1/8 into a date: write the size again as text"
        raise refuse(f"the date {text}", allowed, do)
    if _NO_SIZE.fullmatch(text.strip()):
        raise refuse(text, "a length, such as 3/32, .032 or 0.8 mm", "Write the size")
    try:
        return parse(text, bare_unit=_unit(asked))
    except Refusal as why:
        raise refuse(text, why.allowed, why.do) from None


def read_size(written: Any, asked: ValidationInfo) -> float:
    """Read a size above nought [mm]."""
    return float(_length(written, asked, parse_length_mm))


def read_thickness(written: Any, asked: ValidationInfo) -> float:
    """Read the thickness of a sheet or plate [mm].

    The range is judgement: foil to one inch of plate. It is there for the slipped
    point (25 for .025) and the slipped unit (.025 mm for .025 in).
    """
    thickness_mm = read_size(written, asked)
    if THICKNESS_MM_MIN <= thickness_mm <= THICKNESS_MM_MAX:
        return thickness_mm
    found = show_both(thickness_mm)
    raise refuse(
        f"{written}, which is {found.main} ({found.other})",
        "a thickness of .004 in to 1 in (0.1 mm to 25.4 mm)",
        "Check the point and the unit: .025 in is a sheet, 25 in is none",
    )


def read_exact(written: Any, asked: ValidationInfo) -> Fraction:
    """Read a size above nought and keep it exact [mm]."""
    return _length(written, asked, parse_length_mm)


def read_place(written: Any, asked: ValidationInfo) -> float:
    """Read a coordinate [mm]."""
    return float(_length(written, asked, parse_coordinate_mm))


def read_gap(written: Any, asked: ValidationInfo) -> float:
    """Read a length of nought or more [mm]."""
    length_mm = _length(written, asked, parse_coordinate_mm)
    if length_mm < 0:
        raise refuse(written, "0 or more", "Write it as measured")
    return float(length_mm)


def read_diameter_32nds(written: Any) -> int:
    """Read a rivet diameter of whole 1/32 in, such as 1/8 or 5/32."""
    allowed = "a rivet diameter in whole 1/32 in, such as 3/32, 1/8 or 5/32"
    if not isinstance(written, str):
        raise refuse(written, allowed, "Write one diameter")
    try:
        size_32nds: Fraction = parse_length_mm(written) / MM_PER_INCH * 32
    except Refusal as why:
        raise refuse(written, allowed, why.do) from None
    if size_32nds.denominator != 1:
        raise refuse(written, allowed, "Write it as the holder or the rivet is named")
    return int(size_32nds)


def _whole(least: int, most: int) -> Callable[[Any], int]:
    """Make a reader of whole numbers between two limits."""
    allowed = f"a whole number from {least:,} to {most:,}"

    def read(written: Any) -> int:
        text = _text(written, allowed).strip()
        if re.fullmatch(r"\d{1,9}", text) and least <= int(text) <= most:
            return int(text)
        raise refuse(text, allowed, "Write the number in figures")

    return read


def number_between(least: float, most: float) -> Callable[[Any], float]:
    """Make a reader of plain numbers between two limits."""
    allowed = f"a number from {least:g} to {most:g}"

    def read(written: Any) -> float:
        text = _text(written, allowed).strip()
        is_number = len(text) <= _SHORT_NUMBER and _NUMBER.fullmatch(text)
        if is_number and least <= float(text) <= most:
            return float(text)
        do = "Write a point, not a comma" if "," in text else "Write it in figures"
        raise refuse(text, allowed, do)

    return read


def _words(most: int) -> Callable[[Any], str]:
    """Make a reader of text up to a length."""
    allowed = f"text of at most {most} characters"

    def read(written: Any) -> str:
        text = _text(written, allowed)
        if len(text) > most:
            raise refuse(f"{len(text)} characters", allowed, "Shorten it")
        return text

    return read


def read_name(written: Any) -> str:
    """Read the name of a part, face, row or step."""
    allowed = "a name without spaces: letters and figures, then also - . + / _"
    text = _text(written, allowed)
    if _NAME.fullmatch(text):
        return text
    raise refuse(text, allowed, "Rename it, for example A-12")


def read_yes_no(written: Any) -> bool:
    """Read yes or no."""
    answers = {"yes": True, "true": True, "no": False, "false": False}
    text = _text(written, "yes or no")
    if text.lower() in answers:
        return answers[text.lower()]
    raise refuse(text, "yes or no", "Write yes or no")


def read_day(written: Any) -> date:
    """Read a day, year first."""
    text = _text(written, "a day as 2026-01-31")
    try:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise refuse(text, "a day as 2026-01-31, year first", "Write the day that way")


def read_holes(written: Any) -> str:
    """Read a range of holes, or a row's name for all of them."""
    allowed = "row:number or row:first-last, or a row's name for all of its holes"
    text = _text(written, allowed)
    if _RANGE.fullmatch(text):
        return text
    raise refuse(text, allowed, "Write it as A12:18 or A12:18-20")


class OrText:
    """Says in the schema that one text may stand for the whole field."""

    def __get_pydantic_json_schema__(
        self, core: CoreSchema, describe: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """The schema of the field, or a text."""
        return {"anyOf": [describe(core), {"type": "string"}]}


def one_or_more(written: Any) -> Any:
    """Take a single value for a list of one."""
    return written if isinstance(written, list) else [written]


def _scalar(meaning: str) -> WithJsonSchema:
    """Describe a field that a person types as number or text."""
    return WithJsonSchema({"type": ["string", "number"], "description": meaning})


def _integer(least: int) -> WithJsonSchema:
    """Describe a whole number."""
    return WithJsonSchema({"type": "integer", "minimum": least})


def _worded(most: int) -> WithJsonSchema:
    """Describe a text."""
    return WithJsonSchema({"type": ["string", "number"], "maxLength": most})


_BARE = "bare numbers in the unit of the file; else 3/32, 1-1/16, .032 in, 0.8 mm"

Size = Annotated[
    float,
    PlainValidator(read_size),
    _scalar(f'a size above 0; {_BARE}, No. 40, "#40", letter F'),
]
Place = Annotated[float, PlainValidator(read_place), _scalar(f"a place; {_BARE}")]
Thickness = Annotated[
    float,
    PlainValidator(read_thickness),
    _scalar(f"a thickness of .004 in to 1 in; {_BARE}"),
]
Exact = Annotated[
    Fraction,
    PlainValidator(read_exact),
    _scalar(f"a size above 0; {_BARE}"),
]
Diameter = Annotated[
    int,
    PlainValidator(read_diameter_32nds),
    WithJsonSchema({"type": ["string", "number"], "description": "1/8, 5/32"}),
]
Gap = Annotated[float, PlainValidator(read_gap), _scalar(f"0 or more; {_BARE}")]
Point = Annotated[
    tuple[Place, Place],
    WithJsonSchema(
        {
            "type": "array",
            "items": {"type": ["string", "number"]},
            "minItems": 2,
            "maxItems": 2,
            "description": "a place on the face, [u, v]",
        }
    ),
]
Degrees = Annotated[
    float,
    PlainValidator(number_between(-720, 720)),
    WithJsonSchema({"type": "number", "minimum": -720, "maximum": 720}),
]
Ratio = Annotated[
    float,
    PlainValidator(number_between(0, 1)),
    WithJsonSchema({"type": "number", "minimum": 0, "maximum": 1}),
]
Hours = Annotated[
    float,
    PlainValidator(number_between(0, 24)),
    WithJsonSchema({"type": "number", "minimum": 0, "maximum": 24}),
]
Minutes = Annotated[
    float,
    PlainValidator(number_between(0, 100_000)),
    WithJsonSchema({"type": "number", "minimum": 0}),
]
Count = Annotated[int, PlainValidator(_whole(1, HOLES_MOST_ROW)), _integer(1)]
Whole = Annotated[int, PlainValidator(_whole(0, 1_000_000)), _integer(0)]
Title = Annotated[str, PlainValidator(_words(TITLE_MOST)), _worded(TITLE_MOST)]
Text = Annotated[str, PlainValidator(_words(TEXT_MOST)), _worded(TEXT_MOST)]
Name = Annotated[
    str,
    PlainValidator(read_name),
    WithJsonSchema({"type": ["string", "integer"], "maxLength": 40}),
]
YesNo = Annotated[
    bool,
    PlainValidator(read_yes_no),
    WithJsonSchema({"enum": ["yes", "no", True, False]}),
]
Day = Annotated[
    date,
    PlainValidator(read_day),
    WithJsonSchema({"type": "string", "format": "date"}),
]
HoleText = Annotated[
    str,
    PlainValidator(read_holes),
    WithJsonSchema({"type": "string", "description": "A12, A12:18 or A12:18-20"}),
]


def _some(inner: dict[str, Any]) -> WithJsonSchema:
    """Describe one value or a list of them."""
    return WithJsonSchema({"anyOf": [inner, {"type": "array", "items": inner}]})


SomeHoles = Annotated[
    tuple[HoleText, ...], BeforeValidator(one_or_more), _some({"type": "string"})
]
SomeNames = Annotated[
    tuple[Name, ...],
    BeforeValidator(one_or_more),
    _some({"type": ["string", "integer"]}),
]
SomeTitles = Annotated[
    tuple[Title, ...],
    BeforeValidator(one_or_more),
    _some({"type": ["string", "number"]}),
]
SomeGaps = Annotated[
    tuple[Gap, ...],
    BeforeValidator(one_or_more),
    _some({"type": ["string", "number"]}),
]
