"""Plans of a hole or two, for cases a person can check on paper. Sizes in mm."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.model.outline import CutOut, Face, Layer, Outline
from rivetwright.model.pattern import Counted, Pattern, Point, Points
from rivetwright.model.plan import Part, Plan, Project, Row, Sheet
from rivetwright.model.step import Need, Step
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import parse_rivet_code

IN = 25.4
UNIVERSAL = "MS20470AD4-4"
FLUSH = "MS20426AD4-4"
EIGHTH_MM = 3.175
STEPS = (Step("1", "first"), Step("2", "second", needs=(Need("step", "1"),)))


def row(
    name: str = "R",
    code: str | KitBlindCode = UNIVERSAL,
    *places: Point,
    stack: Sequence[tuple[str, str]] = (),
    count: int = 1,
    **more: Any,
) -> Row:
    """A row at these places, or a count without places."""
    pattern: Pattern = Points(tuple(places)) if places else Counted(count)
    callout = parse_rivet_code(code) if isinstance(code, str) else code
    face = "F" if places else ""
    sheets = tuple(Sheet(*sheet) for sheet in stack)
    given = {"step": "1", "face": face, "stack": sheets, **more}
    return Row(f"id {name}", name, callout, pattern, **given)


def box(
    part: str,
    u: tuple[float, float] = (0, 100),
    v: tuple[float, float] = (0, 50),
    *,
    bends: tuple[str, ...] = (),
    cuts: tuple[CutOut, ...] = (),
    **more: Any,
) -> Layer:
    """A rectangular layer, 100 by 50 where nothing else is said."""
    return Layer(part, Outline.rectangle(u, v, bends), cuts, **more)


def plan_of(
    *rows: Row,
    layers: Sequence[Layer] = (),
    parts: Sequence[Part] = (),
    steps: tuple[Step, ...] = STEPS,
    **more: Any,
) -> Plan:
    """A plan of some rows; parts that are not given are sheets of 1 mm."""
    named = {part.name: part for part in parts}
    used = [layer.part for layer in layers]
    used += [sheet.part for one in rows for sheet in one.stack]
    for name in used:
        named.setdefault(name, Part(name, "sheet", 1.0, "2024-T3"))
    faces = (Face("F", "face", tuple(layers)),)
    project = Project("id", "INVENTED")
    listed = tuple(named.values())
    return Plan("p", "p", project, "mm", listed, faces, rows, steps, **more)


def worked(*rows: Row, **more: Any) -> WorkedPlan:
    """The same, worked out."""
    return work_out(plan_of(*rows, **more))


def through(
    *sheets: tuple[float, str], code: str | KitBlindCode = UNIVERSAL, **more: Any
) -> WorkedPlan:
    """One hole through sheets of a thickness [in] and preparation, head side first."""
    parts = [Part(f"{k}", "sheet", t * IN) for k, (t, _) in enumerate(sheets)]
    stack = [(f"{k}", how) for k, (_, how) in enumerate(sheets)]
    return worked(row("R", code, stack=stack), parts=parts, **more)


def inches(found: WorkedPlan, name: str, hole: int = 0) -> float:
    """A length of one hole [in]."""
    return float(found.worked.at(name, hole)) / IN


def codes(found: WorkedPlan) -> set[str]:
    """Codes of all findings, but the note that a row has no places."""
    return {finding.code for finding in found.findings} - {"PLACE-02"}


def holes_with(found: WorkedPlan, code: str) -> set[str]:
    """Names of the holes where a code stands."""
    name = found.worked.holes.name
    return {name(k) for f in found.findings if f.code == code for k in f.holes}


def blind(code: str, low_in: str, high_in: str, head: str = "dome") -> KitBlindCode:
    """A 1/8 blind rivet of the kit with its grip range [in]."""
    inch = Fraction(254, 10)
    ends = (Fraction(low_in) * inch, Fraction(high_in) * inch)
    return KitBlindCode(code, head, inch / 8, *ends)
