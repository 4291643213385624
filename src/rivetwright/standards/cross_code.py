"""The drawing cross code of NAS 523: four quadrants, read and written.

North-west: two letters for type and material.  North-east: diameter in 32nds and N or
F, manufactured head on the near or far side.  South-west: preparation.  South-east:
length in 16ths.  As one line of text, our own form: ``BJ 4N / - 5``, with ``-`` for an
empty quadrant; a countersink angle follows the preparation: ``BB 3N / D2C 100 3.5``.
Refuses letters whose meaning was not read.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from rivetwright.errors import CodeRefused
from rivetwright.standards.codes import RivetCode, rivet_code
from rivetwright.standards.table import outside, read_table, show_plain

HeadSide = Literal["near", "far"]

_EMPTY = "-"
_ALLOWED = (
    "NW two letters, NE diameter and N or F, SW preparation, SE length, "
    "as in BJ 4N / - 5 or BB 3N / D2C 100 3.5"
)
_NORTH_EAST = re.compile(r"([0-9]{1,2}) ?([NF])")
_SOUTH_WEST = re.compile(r"(?:(C)|D([2-9])?(C)?)(?: ?-? ?(100|82)\u00b0?)?")
_SOUTH_EAST = re.compile(r"[0-9]{1,2}(?:\.[05])?")


@dataclass(frozen=True)
class CrossPreparation:
    """Preparation quadrant: sheets dimpled from the head side, then a countersink.

    A number after D counts the dimpled sheets; a bare D is read as one.
    """

    dimpled_sheets: int
    is_countersunk: bool
    angle_deg: int | None = None

    def __str__(self) -> str:
        """Write the quadrant: ``C``, ``D``, ``DC``, ``D2C 100``; ``-`` for plain."""
        dimples = "D" * bool(self.dimpled_sheets)
        count = str(self.dimpled_sheets) if self.dimpled_sheets > 1 else ""
        text = dimples + count + "C" * self.is_countersunk
        return f"{text or _EMPTY}{f' {self.angle_deg}' if self.angle_deg else ''}"


PLAIN = CrossPreparation(0, is_countersunk=False)


@dataclass(frozen=True)
class CrossCode:
    """One cross of a drawing: the rivet, its head side and the preparation."""

    rivet: RivetCode
    head_side: HeadSide
    preparation: CrossPreparation = PLAIN

    def quadrants(self) -> dict[str, str]:
        """Write the four quadrants.

        Returns:
            Texts of NW, NE, SW and SE; an empty quadrant is empty text.

        Raises:
            OutsideTable: the rivet's two letters were not read.

        Source:
            NAS 523 by a course note and web summaries; SECOND-HAND; cross_code.csv.
        """
        side = "N" if self.head_side == "near" else "F"
        return {
            "NW": _letters(self.rivet),
            "NE": f"{self.rivet.diameter_32nds}{side}",
            "SW": str(self.preparation).removeprefix(_EMPTY),
            "SE": show_plain(self.rivet.length_16ths),
        }

    def __str__(self) -> str:
        """Write the cross on one line, our own form."""
        four = self.quadrants()
        south = f"{four['SW'] or _EMPTY} {four['SE']}"
        return f"{four['NW']} {four['NE']} / {south}"


def read_cross_code(written: str | Mapping[str, str]) -> CrossCode:
    """Read a cross from our one-line form or from its four quadrants.

    Args:
        written: ``BJ 4N / - 5``, or a mapping with NW, NE, SW and SE [-].

    Returns:
        The rivet, its head side and its preparation.

    Raises:
        CodeRefused: a quadrant is not understood.
        OutsideTable: the two letters were not read in any source.

    Source:
        NAS 523 by a course note and web summaries; SECOND-HAND; cross_code.csv.
    """
    four = _split(written) if isinstance(written, str) else dict(written)
    if not set(four) <= {"NW", "NE", "SW", "SE"}:
        raise _refused(str(sorted(four)), "name the quadrants NW, NE, SW and SE")
    plain = {
        name: " ".join(four.get(name, "").upper().split())
        for name in ("NW", "NE", "SW", "SE")
    }
    north_east = _NORTH_EAST.fullmatch(plain["NE"])
    if north_east is None:
        raise _refused(f"NE {plain['NE']}", "write diameter and side, as in 4N")
    if _SOUTH_EAST.fullmatch(plain["SE"]) is None:
        raise _refused(f"SE {plain['SE']}", "write the length in 16ths, as in 5 or 3.5")
    standard, material = _standard_and_material(plain["NW"])
    return CrossCode(
        rivet_code(standard, material, int(north_east[1]), Fraction(plain["SE"])),
        "near" if north_east[2] == "N" else "far",
        _preparation(plain["SW"]),
    )


def _split(text: str) -> dict[str, str]:
    """Split our one-line form into its quadrants."""
    north, slash, south = text.partition("/")
    letters, _, north_east = north.strip().partition(" ")
    south_west, _, south_east = south.strip().rpartition(" ")
    if not (slash and letters and north_east and south_west and south_east):
        raise _refused(text.strip()[:60] or "nothing written", "write all four parts")
    return {"NW": letters, "NE": north_east, "SW": south_west, "SE": south_east}


def _preparation(south_west: str) -> CrossPreparation:
    """Read the preparation quadrant."""
    if south_west in ("", _EMPTY):
        return PLAIN
    parts = _SOUTH_WEST.fullmatch(south_west)
    if parts is None:
        raise _refused(
            f"SW {south_west}", "write C, D, DC, or D and a count, as in D2C 100"
        )
    only_countersunk, count, then_countersunk, angle = parts.groups()
    return CrossPreparation(
        0 if only_countersunk else int(count or 1),
        bool(only_countersunk or then_countersunk),
        int(angle) if angle else None,
    )


def _standard_and_material(letters: str) -> tuple[str, str]:
    """Look up what the two letters stand for."""
    table = read_table("cross_code")
    rows = table.where(letters=letters)
    if rows:
        return rows[0].cells["standard"], rows[0].cells["material"]
    raise outside(
        table.rows,
        asked="read the north-west quadrant of a cross",
        found=letters or "nothing written",
        allowed=", ".join(row.cells["letters"] for row in table.rows),
    )


def _letters(rivet: RivetCode) -> str:
    """Look up the two letters of a rivet."""
    table = read_table("cross_code")
    for row in table.rows:
        cells = row.cells
        named = rivet_code(cells["standard"], cells["material"], 4, 4)
        if (named.standard, named.material) == (rivet.standard, rivet.material):
            return cells["letters"]
    raise outside(
        table.rows,
        asked="write a rivet as a cross",
        found=f"{rivet.standard}{rivet.material}",
        allowed=", ".join(
            f"{row.cells['standard']}{row.cells['material']}" for row in table.rows
        ),
    )


def _refused(found: str, do: str) -> CodeRefused:
    """Build the refusal of a cross."""
    return CodeRefused(
        asked="read a rivet cross",
        found=found,
        allowed=_ALLOWED,
        do=do,
        source="NAS 523 by a course note and web summaries",
    )
