"""Small made-up plans for the tests of this floor."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.model.outline import CutOut, Face, Layer, Outline
from rivetwright.model.pattern import Counted, Straight
from rivetwright.model.plan import Callout, Part, Plan, Project, Row, Sheet
from rivetwright.model.step import Step
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import parse_rivet_code

INCH = Fraction(254, 10)
SHEET_MM = 1.016
PARTS = (
    Part("skin", "skin", SHEET_MM, "2024-T3"),
    Part("rib", "rib", SHEET_MM, "2024-T3"),
)
# Takes stacks of 1/16 to 1/8 in (1.5875 to 3.175 mm).
BLIND = KitBlindCode("BX4-2", "universal", INCH / 8, INCH / 16, INCH / 8)


def row(name: str, callout: Callout | str, *sheets: str, **more: object) -> Row:
    """A row of three holes without places, its stack written as part names."""
    code = parse_rivet_code(callout) if isinstance(callout, str) else callout
    made = Row(f"id-{name}", name, code, Counted(3), "1")
    stack = tuple(Sheet(sheet) for sheet in sheets or ("skin", "rib"))
    return replace(made, **{"stack": stack, **more})  # type: ignore[arg-type]


def plan_of(*rows: Row, faces: tuple[Face, ...] = (), **more: object) -> Plan:
    """A plan of these rows over a skin and a rib, both 1.016 mm thick."""
    made = Plan(
        id="small",
        name="small",
        project=Project("00000000-0000-0000-0000-000000000001", "made up"),
        unit="mm",
        parts=PARTS,
        faces=faces,
        rows=rows,
        steps=(Step("1", "set"),),
        blind_codes=(BLIND,),
    )
    return replace(made, **more)  # type: ignore[arg-type]


def worked(*rows: Row, faces: tuple[Face, ...] = (), **more: object) -> WorkedPlan:
    """The plan of these rows, worked out."""
    return work_out(plan_of(*rows, faces=faces, **more))


def face(*cut_outs: CutOut) -> Face:
    """A skin from 0 to 100 by 50 mm over a rib from 5 to 45 mm across."""
    return Face(
        "F",
        "face",
        (
            Layer("skin", Outline.rectangle((0.0, 100.0), (0.0, 50.0)), cut_outs),
            Layer("rib", Outline.rectangle((0.0, 100.0), (5.0, 45.0))),
        ),
        edges=(("v0", "lower"),),
    )


def straight(name: str, u_mm: float, v_mm: float, callout: str, **more: object) -> Row:
    """A row of three holes 20 mm apart along u on the face F."""
    pattern = Straight((u_mm, v_mm), (20.0, 0.0), 3)
    made = Row(f"id-{name}", name, parse_rivet_code(callout), pattern, "1", "F")
    return replace(made, **more)  # type: ignore[arg-type]
