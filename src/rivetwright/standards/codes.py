"""Part numbers of solid rivets, read as people print them and written one way.

``MS20470AD4-5`` is head standard, material letters, diameter in 32nds and length in
16ths of an inch; half lengths carry ``.5``.  Spaces and hyphens come as printed.
AN470 and AN426 are read as MS20470 and MS20426.  Refuses unknown standards and
letters, quarter lengths, and diameters nobody makes.  Oversize-shank rivets are
grammar only: their shank is entered by the user.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from difflib import get_close_matches
from fractions import Fraction
from functools import cache

from rivetwright.errors import CodeRefused, OutsideTable
from rivetwright.standards.source import Looked
from rivetwright.standards.table import Row, read_table, show_plain
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.wording import show_length

DIAMETER_32NDS_MOST = 12
LENGTH_16THS_MOST = 64

_EXAMPLE = "MS20470AD4-5"
_ALLOWED = (
    "standard, material letters, diameter in 32nds, length in 16ths with .5 for "
    f"half sizes, as in {_EXAMPLE} or MS20426AD3-3.5"
)
_DASHES = re.compile("[\u2010-\u2015\u2212]")
_PARTS = re.compile(
    r"(?P<standard>[A-Z]{2,3} ?[0-9]{3,5})[ -]*(?P<material>[A-Z]{1,2})?[ -]*"
    r"(?P<diameter>[0-9]{1,3})(?:[ -]+(?P<length>[0-9]{1,3}(?:\.[0-9]+)?))?"
)


@dataclass(frozen=True, slots=True)
class RivetCode:
    """One solid rivet as its part number names it.

    ``shank_mm`` is set by the user for oversize-shank rivets alone.
    """

    standard: str
    head: str
    material: str
    diameter_32nds: int
    length_16ths: Fraction
    shank_mm: Fraction | None = None

    def __str__(self) -> str:
        """Write the part number in its one form."""
        return f"{self.kind}-{show_plain(self.length_16ths)}"

    @property
    def kind(self) -> str:
        """Part number without its length: ``MS20470AD4``."""
        return f"{self.standard}{self.material}{self.diameter_32nds}"

    @property
    def is_flush(self) -> bool:
        """Say whether the head lies in a countersink or dimple."""
        return self.head != "universal"

    @property
    def is_oversize(self) -> bool:
        """Say whether the shank is larger than the part number's 32nds."""
        return bool(_family(self.standard).cells["shank"] == "oversize")

    @property
    def nominal_diameter_mm(self) -> Fraction:
        """Diameter that the part number names [mm], exact."""
        return self.diameter_32nds * MM_PER_INCH / 32

    @property
    def diameter_mm(self) -> Fraction:
        """Shank diameter [mm], exact; refused until an oversize shank is entered."""
        if self.shank_mm is not None:
            return self.shank_mm
        if self.is_oversize:
            raise OutsideTable(
                asked=f"give the shank diameter of {self}",
                found="an oversize-shank rivet without its shank",
                allowed="the shank as measured or as on its standard sheet",
                do="enter the shank of this code in the shop file",
                source="no dimensions were read",
            )
        return self.nominal_diameter_mm

    @property
    def length_mm(self) -> Fraction:
        """Length [mm], exact: under a universal head, over all for a flush one."""
        return self.length_16ths * MM_PER_INCH / 16

    @property
    def diameter_shown(self) -> str:
        """Diameter as the trade writes it: ``1/8``."""
        return show_length(self.nominal_diameter_mm, style="fraction")

    def with_length(self, length_16ths: Fraction | int) -> RivetCode:
        """Give the same rivet in another length [1/16 in], halves allowed."""
        return replace(self, length_16ths=_length_16ths(Fraction(length_16ths), ""))

    def with_diameter(self, diameter_32nds: int) -> RivetCode:
        """Give the same rivet in another diameter [1/32 in]."""
        diameter = _diameter_32nds(diameter_32nds, "")
        return replace(self, diameter_32nds=diameter, shank_mm=None)

    def with_shank(self, shank_mm: Fraction) -> RivetCode:
        """Give the same rivet with the shank [mm] the user entered."""
        return replace(self, shank_mm=shank_mm)


def parse_rivet_code(text: str) -> RivetCode:
    """Read a part number, spaces and hyphens as printed.

    Args:
        text: ``MS20470AD4-5``, ``AN470 AD4-5``, ``MS20426-AD4-6`` [-].

    Returns:
        The rivet; AN470 and AN426 become MS20470 and MS20426.

    Raises:
        CodeRefused: it is no such part number; says the nearest right form.

    Source:
        NAVEDTRA 14315 ch. 3; FAA AC 43.13-1B p. 4-16, Fig. 4-4; READ.
    """
    plain = " ".join(_DASHES.sub("-", text).upper().split())
    parts = _PARTS.fullmatch(plain)
    if parts is None:
        raise _refused(text, "write the four parts in this order", _nearest(plain))
    family = _known_family(parts["standard"].replace(" ", ""), text)
    standard = family.cells["standard"]
    material = _known_material(parts["material"], text)
    if parts["length"] is None:
        raise _refused(
            text, "write the length in 16ths after a hyphen", _nearest(plain)
        )
    return RivetCode(
        standard=standard,
        head=family.cells["head"],
        material=material,
        diameter_32nds=_diameter_32nds(int(parts["diameter"]), text),
        length_16ths=_length_16ths(Fraction(parts["length"]), text),
    )


def rivet_code(
    standard: str, material: str, diameter_32nds: int, length_16ths: Fraction | int
) -> RivetCode:
    """Build a rivet from the four parts of its number.

    Args:
        standard: ``MS20470``, ``AN426``, ``NAS1097`` [-].
        material: material letters, such as ``AD`` [-].
        diameter_32nds: diameter [1/32 in].
        length_16ths: length, halves allowed [1/16 in].

    Returns:
        The rivet.

    Raises:
        CodeRefused: one of the parts is not known.

    Source:
        NAVEDTRA 14315 ch. 3; FAA AC 43.13-1B p. 4-16, Fig. 4-4; READ.
    """
    length = show_plain(length_16ths)
    return parse_rivet_code(f"{standard}{material}{diameter_32nds}-{length}")


def rivet_family(standard: str) -> Looked[str]:
    """Give the head kind of a rivet standard, with the row it stands in.

    Args:
        standard: ``MS20470`` or an older number it supersedes [-].

    Returns:
        ``universal``, ``flush`` or ``reduced flush``.

    Raises:
        CodeRefused: the standard is not known.

    Source:
        rivet_families.csv, status per row.
    """
    row = _known_family(standard, standard)
    return row.looked(row.cells["head"])


@cache
def _families() -> dict[str, Row]:
    """Map each way a standard is written to its row."""
    rows = read_table("rivet_families").rows
    current = {row.cells["standard"]: row for row in rows}
    older = {row.cells["also_written"]: row for row in rows}
    older.pop("", None)
    return {**current, **older}


@cache
def _materials() -> tuple[str, ...]:
    """List the material letters."""
    return tuple(row.cells["code"] for row in read_table("materials").rows)


def _family(standard: str) -> Row:
    """Give the row of a standard that is already known."""
    return _families()[standard]


def _known_family(standard: str, text: str) -> Row:
    """Give the row of a standard, or refuse with the nearest one."""
    row = _families().get(standard.upper())
    if row is not None:
        return row
    plain = " ".join(_DASHES.sub("-", text).upper().split())
    raise _refused(text, f"choose from {', '.join(_families())}", _nearest(plain))


def _known_material(material: str | None, text: str) -> str:
    """Give the material letters, or refuse with the list of them."""
    if material in _materials():
        return str(material)
    found = f"write one of the material letters {', '.join(_materials())}"
    plain = " ".join(_DASHES.sub("-", text).upper().split())
    raise _refused(text, found, _nearest(plain))


def _diameter_32nds(diameter: int, text: str) -> int:
    """Hold a diameter to what is made."""
    if 2 <= diameter <= DIAMETER_32NDS_MOST:
        return diameter
    raise _refused(
        text or f"diameter {diameter}/32 in",
        f"write a diameter of 2 to {DIAMETER_32NDS_MOST} thirty-seconds of an inch",
        "",
    )


def _length_16ths(length: Fraction, text: str) -> Fraction:
    """Hold a length to whole and half sixteenths."""
    if (length * 2).denominator == 1 and 0 < length <= LENGTH_16THS_MOST:
        return length
    halves = max(Fraction(1, 2), Fraction(round(length * 2), 2))
    raise _refused(
        text or f"length {show_plain(length)}/16 in",
        f"write whole or half sixteenths up to {LENGTH_16THS_MOST}; the nearest "
        f"is {show_plain(min(halves, Fraction(LENGTH_16THS_MOST)))}",
        "",
    )


def _nearest(plain: str) -> str:
    """Find the part number nearest to what was written, empty where none is near."""
    loose = re.fullmatch(
        r"([A-Z]{2,3})[ -]*([0-9]{3,5})[ -]*([A-Z]{0,3})[ -]*([0-9]{0,2})"
        r"(?:[ ./-]+([0-9]{1,2}(?:[.,]5)?))?.*",
        plain,
    )
    if loose is None:
        return ""
    letters, digits, material, diameter, length = loose.groups()
    standards = get_close_matches(letters + digits, _families(), n=1, cutoff=0.7)
    materials = get_close_matches(material, _materials(), n=1, cutoff=0.5)
    if not (standards and materials and diameter and length):
        return ""  # a part that was never written is not guessed
    standard = _family(standards[0]).cells["standard"]
    return f"{standard}{materials[0]}{diameter}-{length.replace(',', '.')}"


def _refused(text: str, do: str, nearest: str) -> CodeRefused:
    """Build the refusal of a part number."""
    near = f"; the nearest right form is {nearest}" if nearest else ""
    return CodeRefused(
        asked="read a rivet's part number",
        found=text.strip()[:60] or "nothing written",
        allowed=_ALLOWED,
        do=f"{do}{near}",
        source="FAA AC 43.13-1B p. 4-16; NAVEDTRA 14315 ch. 3",
    )
