"""Say figures and findings in words: the project's unit first, the other beside."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from rivetwright.engines.checks import Finding
from rivetwright.engines.reach.fit import limit_read
from rivetwright.engines.reach.limits import SIZE
from rivetwright.engines.rules import REGISTRY, Witness
from rivetwright.model.plan import PREPARATIONS
from rivetwright.texts.catalogue import catalogue
from rivetwright.units.drills import drill_name
from rivetwright.units.force import show_force, show_pressure
from rivetwright.units.wording import show_length, show_number

System = Literal["in", "mm"]

# Lengths that people know as a size and not as a measured figure.
SIZES = ("shank_diameter_mm", "next_diameter_mm", "diameter_mm")
NOTHING = "-"
# Columns that hold a tool's limit, and the section with its sentences.
IN_THE_WAY = "in_the_way"


@dataclass(frozen=True)
class Said:
    """A figure as a person reads it; `other` is the same in the other unit."""

    main: str
    other: str = ""

    def __str__(self) -> str:
        """The main form alone."""
        return self.main


@dataclass(frozen=True)
class FindingWords:
    """The sentences of a finding."""

    title: str
    found: str
    allowed: str
    source: str
    do: str


def unit_of(name: str) -> str:
    """The unit of a quantity, or of a witness field by the end of its name."""
    rule = REGISTRY.rules.get(name)
    if rule is not None and name == rule.output:
        return rule.unit
    ends = {"_mm": "mm", "_16ths": "1/16 in", "_ratio": "D", "_kpa": "kPa", "_n": "N"}
    return next((unit for end, unit in ends.items() if name.endswith(end)), "text")


def _length(name: str, value_mm: float, system: System) -> Said:
    """A length: a size as a fraction of an inch, a figure with three decimals."""
    other: System = "mm" if system == "in" else "in"
    plain = name.removeprefix("witness_")
    style: Literal["auto", "decimal"] = "auto" if plain in SIZES else "decimal"
    return Said(
        show_length(value_mm, system=system, style=style, with_unit=True),
        show_length(value_mm, system=other, style=style, with_unit=True),
    )


def _force(value_n: float, system: System) -> Said:
    """A force: pounds-force beside inches, newtons beside millimetres."""
    said = show_force(value_n), show_force(value_n, unit="N")
    return Said(*(said if system == "in" else said[::-1]))


def _pressure(value_kpa: float, system: System) -> Said:
    """A pressure or stress: psi beside inches, kPa beside millimetres."""
    said = show_pressure(value_kpa), show_pressure(value_kpa, unit="kPa")
    return Said(*(said if system == "in" else said[::-1]))


def say_value(name: str, value: float | str, system: System = "in") -> Said:
    """A figure in words, by the unit of its quantity.

    Args:
        name: quantity or witness field.
        value: as the column holds it.
        system: the project's unit, in or mm.
    """
    if isinstance(value, str) and name.endswith(IN_THE_WAY) and value:
        return _in_the_way(value, system)
    if isinstance(value, str):
        return Said(_drill(name, value) if value else NOTHING)
    if value != value:
        return Said(NOTHING)
    unit = unit_of(name)
    if unit == "mm":
        return _length(name, value, system)
    if unit == "N":
        return _force(value, system)
    if unit == "kPa":
        return _pressure(value, system)
    if unit == "1/32 in":
        return Said(f"{show_length(value * 25.4 / 32, style='fraction')} in")
    if unit == "D":
        return Said(f"{show_number(value, digits=2, trim=True)} D")
    if name == "sheet_preparation":
        return Said(catalogue().word("preparation", PREPARATIONS[int(value)]))
    if unit in ("yes/no", "kind"):
        return Said(catalogue().word("yes_no", "yes" if value else "no"))
    digits = 2 if unit == "1/16 in" else 3
    return Said(show_number(value, digits=digits, trim=True))


def _in_the_way(written: str, system: System) -> Said:
    """A tool's limit with its figures, as a sentence."""
    tool, limit, has_mm, needs_mm = limit_read(written)
    sentence = catalogue().word(IN_THE_WAY, limit)
    sizes = "diameter_mm" if limit == SIZE else "limit_mm"
    said = [_length(sizes, mm, system) for mm in (has_mm, needs_mm) if mm == mm]
    figures = dict(zip(("has", "needs"), said, strict=False))
    other = {name: one.other for name, one in figures.items()}
    plain = {name: one.main for name, one in figures.items()}
    beside = sentence.format(tool=tool, **other) if figures else ""
    return Said(sentence.format(tool=tool, **plain), beside)


def _drill(name: str, value: str) -> str:
    """A drill as the trade says it: `No. 40` for `#40`."""
    if name.endswith("drill_name") and value.startswith("#"):
        return f"No. {value[1:]}"
    return value


def say_title(name: str) -> str:
    """Short name of a quantity.

    Raises:
        NotFound: the catalogue has none.
    """
    return catalogue().word("quantity", name)


def say_about(name: str) -> str:
    """What a quantity is, in one sentence.

    Raises:
        NotFound: the catalogue has none.
    """
    return catalogue().word("quantity_about", name)


def _filled(sentence: str, fields: Mapping[str, float | str], system: System) -> str:
    """A sentence with its figures put in."""
    said = {name: _said(name, value, system) for name, value in fields.items()}
    return sentence.format(**said)


def _said(name: str, value: float | str, system: System) -> str:
    """A figure inside a sentence; a drawn drill by its name where it has one."""
    if name == "drawn_drill_mm" and not isinstance(value, str):
        named = drill_name(value)
        if named:
            return _drill("drill_name", named)
    if name == "missing_figures" and isinstance(value, str):
        titles = (say_title(one) for one in value.split())
        return ", ".join(title[:1].lower() + title[1:] for title in titles)
    nothing = catalogue().section("nothing")
    if (value == "" or value != value) and name in nothing:
        return str(nothing[name])
    dash = "-" if unit_of(name) == "1/16 in" else ""
    return f"{dash}{say_value(name, value, system)}"


def say_finding(finding: Finding, system: System = "in") -> FindingWords:
    """The sentences of a finding in the project's unit."""
    words = catalogue().section("finding")[finding.code]
    fields = finding.fields
    return FindingWords(
        words["title"],
        _filled(words["found"], fields, system),
        _filled(words["allowed"], fields, system),
        str(finding.source),
        _filled(words["do"], fields, system),
    )


def say_witness(witness: Witness, system: System = "in") -> str:
    """What a figure rests on, in one sentence."""
    what = witness.what
    if what == "candidates":
        what = "codes" if "codes" in witness.fields else "lengths"
    return _filled(catalogue().word("witness", what), witness.fields, system)
