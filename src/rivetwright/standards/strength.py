"""Strengths for comparison, never for design: shear, bearing, flush loss, substitution.

Printed values are looked up; closed forms stand beside them.  The lower of rivet shear
and sheet bearing governs (MIL-HDBK-5H p. 8-9; READ).  Refuses sizes that a table does
not print and bearing below t/D = 0.18, where tests are needed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import pi
from typing import Literal

from rivetwright.standards.holes import STRENGTH_BASIS, rivet_hole
from rivetwright.standards.source import Looked
from rivetwright.standards.table import outside, read_table, row_of_length
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.force import KPA_PER_PSI, N_PER_LBF
from rivetwright.units.tolerance import TOLERANCE_MM, Number, is_less
from rivetwright.units.wording import show_both

MPA_PER_KSI = KPA_PER_PSI
THICKNESS_RATIO_LEAST = Fraction("0.18")
UNIT_BEARING_MPA = 100 * MPA_PER_KSI

Preparation = Literal["dimpled", "countersunk"]
Strength = Literal["ultimate", "yield"]
ShearCase = Literal["single shear", "double shear"]


@dataclass(frozen=True)
class StressRange:
    """Least and greatest published shear stress of a rivet material."""

    least_mpa: Fraction
    most_mpa: Fraction


@dataclass(frozen=True)
class Substitute:
    """The rivet that may stand for another one."""

    material: str
    diameter_32nds: int


def single_shear_n(material: str, diameter_mm: Number) -> Looked[Fraction]:
    """Look up what one driven rivet bears in single shear, without thin-sheet loss.

    Args:
        material: material letters; only AD is printed [-].
        diameter_mm: nominal rivet diameter [mm].

    Returns:
        Ultimate shear load of one rivet [N].

    Raises:
        OutsideTable: the material or the diameter is not printed.

    Source:
        MIL-HDBK-5F and MMPDS-09 as quoted; SECOND-HAND; others FROM MEMORY; shear.csv.
    """
    table = read_table("shear")
    rows = table.where(material=material)
    asked = f"look up the single shear of a {material} rivet"
    if not rows:
        raise outside(table.rows, asked=asked, found=material, allowed="material AD")
    row = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    return row.looked(row.number("shear_lb") * N_PER_LBF)


def shear_stress_mpa(material: str) -> Looked[StressRange]:
    """Look up the published range of a rivet material's shear stress.

    Args:
        material: material letters [-].

    Returns:
        Least and greatest ultimate shear stress [MPa].

    Raises:
        OutsideTable: no figure is known for the material.

    Source:
        shear_stress.csv; FROM MEMORY but AD, DERIVED from quoted values.
    """
    table = read_table("shear_stress")
    rows = table.where(material=material)
    if not rows:
        raise outside(
            table.rows,
            asked="look up a shear stress",
            found=f"material {material}",
            allowed=", ".join(row.cells["material"] for row in table.rows),
        )
    return rows[0].looked(
        StressRange(
            rows[0].number("ksi_min") * MPA_PER_KSI,
            rows[0].number("ksi_max") * MPA_PER_KSI,
        )
    )


def shear_n(hole_mm: Number, shear_mpa: Number) -> float:
    """Give the shear load of a rivet that fills its hole.

    Args:
        hole_mm: hole diameter, at most the strength basis's [mm].
        shear_mpa: ultimate shear stress [MPa].

    Returns:
        Shear load of one rivet in one cut [N].

    Source:
        Area times stress; DERIVED; MIL-HDBK-5H p. 8-9 on the hole; READ.
    """
    return pi / 4 * float(hole_mm) ** 2 * float(shear_mpa)


def thin_sheet_factor(
    diameter_mm: Number, thickness_mm: Number, *, case: ShearCase = "single shear"
) -> Looked[float]:
    """Give the factor on rivet shear in thin sheet.

    F = 1 - 0.04 (D/t - 3) in single shear above D/t = 3, and 1 - 0.13 (D/t - 1.5) in
    double shear above 1.5.

    Args:
        diameter_mm: nominal rivet diameter [mm].
        thickness_mm: the thinner sheet in single shear, the middle one in double [mm].
        case: "single shear" or "double shear" [-].

    Returns:
        Factor, at most 1 [-].

    Raises:
        OutsideTable: the sheet is so thin that nothing would be left.

    Source:
        MIL-HDBK-5 Table 8.1.2.1(b) footnote; FROM MEMORY; thin_sheet.csv.
    """
    row = read_table("thin_sheet").where(case=case)[0]
    over = float(diameter_mm) / float(thickness_mm) - float(row.number("ratio"))
    factor = 1 - float(row.number("slope")) * max(over, 0.0)
    if factor <= 0:
        raise outside(
            [row],
            asked="reckon the thin-sheet factor",
            found=f"a sheet of {show_both(thickness_mm)}",
            allowed="sheets that leave a factor above 0",
        )
    return row.looked(factor)


def unit_bearing_n(diameter_mm: Number, thickness_mm: Number) -> Looked[Fraction]:
    """Look up what a sheet bears at one rivet for a bearing stress of 100 ksi.

    Args:
        diameter_mm: nominal rivet diameter, 3/32 or 1/8 in [mm].
        thickness_mm: sheet thickness, as printed [mm].

    Returns:
        Bearing load for Fbr = 100 ksi [N]; scale by Fbr over 100 ksi.

    Raises:
        OutsideTable: the diameter or the sheet is not printed.

    Source:
        MIL-HDBK-5J Table 8.1.2.1(a), sample pages; SECOND-HAND; unit_bearing.csv.
    """
    asked = "look up a unit bearing strength"
    rows = read_table("unit_bearing").rows
    first = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    same = read_table("unit_bearing").where(rivet_dia_in=first.cells["rivet_dia_in"])
    row = row_of_length(same, thickness_mm, column="sheet_in", asked=asked)
    return row.looked(row.number("bearing_lb") * N_PER_LBF)


def bearing_n(
    diameter_mm: Number, thickness_mm: Number, bearing_mpa: Number
) -> Looked[float]:
    """Give the bearing load of a sheet at one rivet: stress x hole x thickness.

    Args:
        diameter_mm: nominal rivet diameter [mm].
        thickness_mm: sheet thickness, t/D at least 0.18 [mm].
        bearing_mpa: ultimate bearing stress of the sheet [MPa].

    Returns:
        Bearing load [N].

    Raises:
        OutsideTable: t/D is under 0.18, or the diameter has no strength hole.

    Source:
        MIL-HDBK-5H p. 8-9; READ; hole of the strength basis, DERIVED; holes.csv.
    """
    hole = rivet_hole(diameter_mm, hole_set=STRENGTH_BASIS)
    if is_less(thickness_mm, THICKNESS_RATIO_LEAST * Fraction(diameter_mm)):
        raise outside(
            read_table("holes").where(set=STRENGTH_BASIS),
            asked="reckon the bearing of a sheet",
            found=f"{show_both(thickness_mm)} sheet under a "
            f"{show_both(diameter_mm)} rivet",
            allowed="t/D of at least 0.18 (MIL-HDBK-5H p. 8-9)",
        )
    load_n = float(hole.value.size_mm) * float(thickness_mm) * float(bearing_mpa)
    return Looked(load_n, hole.row, hole.source)


def flush_strength_n(
    diameter_mm: Number,
    thickness_mm: Number,
    preparation: Preparation,
    strength: Strength = "ultimate",
) -> Looked[Fraction]:
    """Look up what one MS20426AD rivet in 2024-T3 bears, by preparation.

    Args:
        diameter_mm: nominal rivet diameter, 3/32 or 1/8 in [mm].
        thickness_mm: sheet thickness, as printed [mm].
        preparation: "dimpled" or "countersunk" [-].
        strength: "ultimate" or "yield" (0.005 in of permanent set) [-].

    Returns:
        Load of one rivet [N].

    Raises:
        OutsideTable: no value is printed.

    Source:
        MIL-HDBK-5F as quoted; SECOND-HAND, some FROM MEMORY; flush_strength.csv.
    """
    asked = f"look up the {strength} of a {preparation} flush rivet"
    column = f"{preparation}_{strength}_lb"
    rows = [row for row in read_table("flush_strength").rows if row.cells[column]]
    first = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    printed_dia = first.cells["rivet_dia_in"]
    same = [row for row in rows if row.cells["rivet_dia_in"] == printed_dia]
    row = row_of_length(same, thickness_mm, column="sheet_in", asked=asked)
    return row.looked(row.number(column) * N_PER_LBF)


def substitute(material: str, diameter_32nds: int) -> Looked[Substitute]:
    """Give the softer rivet that may stand for a harder one, in a larger size.

    Args:
        material: material letters of the rivet to be replaced, D or DD [-].
        diameter_32nds: its nominal diameter [1/32 in].

    Returns:
        Material and diameter of the rivet that may stand for it.

    Raises:
        OutsideTable: the circular allows no substitute for it.

    Source:
        FAA AC 43.13-1B para 4-57b; READ; substitution.csv.
    """
    table = read_table("substitution")
    diameter_mm = float(diameter_32nds * MM_PER_INCH / 32)
    for row in table.where(material=material):
        if diameter_mm <= float(row.inches_mm("dia_max_in")) + TOLERANCE_MM:
            larger = diameter_32nds + int(row.number("step_32nds"))
            return row.looked(Substitute(row.cells["by"], larger))
    raise outside(
        table.rows,
        asked="find a softer rivet to stand for a harder one",
        found=f"{material} {diameter_32nds}/32 in",
        allowed="D up to 3/16 in and DD up to 5/32 in",
    )
