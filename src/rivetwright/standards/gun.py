"""Starting figures of gun and bar: pressure, mass of the bar, the trial strip.

Starting pressures are meant with the trigger pulled.  Refuses a rivet size that the
table does not have.

Source: gun.csv, status per row.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rivetwright.standards.source import Looked
from rivetwright.standards.spread import Spread, printed_spread
from rivetwright.standards.table import outside, read_table
from rivetwright.units.force import KPA_PER_PSI
from rivetwright.units.mass import KG_PER_LB

_FACTORS = {
    "psi": KPA_PER_PSI,
    "lb": KG_PER_LB,
    **dict.fromkeys(("-", "count", "s"), Fraction(1)),
}


def gun_figure(quantity: str, diameter_32nds: int | None = None) -> Looked[Spread]:
    """Look up one figure of gun and bar.

    Args:
        quantity: its name in the table, such as ``start pressure`` [-].
        diameter_32nds: rivet diameter, for a figure that depends on it [1/32 in].

    Returns:
        Least, usual and most [kPa, kg, s, a count or a share, by its name].

    Raises:
        OutsideTable: the table has no such figure, or not for this size.

    Source:
        gun.csv, status per row.
    """
    table = read_table("gun")
    size = "" if diameter_32nds is None else str(diameter_32nds)
    for row in table.where(quantity=quantity, diameter_32nds=size):
        return row.looked(printed_spread(row, _FACTORS))
    sizes = ", ".join(
        f"{row.cells['diameter_32nds']}/32" for row in table.where(quantity=quantity)
    )
    raise outside(
        table.where(quantity=quantity) or table.rows,
        asked=f"look up the {quantity} of gun and bar",
        found=f"{size}/32 in" if size else quantity,
        allowed=sizes if size and sizes else "a figure of the table",
        unit=" in" if size and sizes else "",
    )


@dataclass(frozen=True)
class GunStep:
    """One step of the procedure, or one word between two people.

    `who` says a word: the bar, the gun, or either. `figures` names what it needs.
    """

    key: str
    who: str
    figures: tuple[str, ...]


def gun_steps(way: str, part: str) -> tuple[Looked[GunStep], ...]:
    """List the steps, or the words, of a way of riveting with the gun.

    Args:
        way: ``gun and bar`` or ``back-rivet`` [-].
        part: ``step`` or ``call`` [-].

    Returns:
        Each with its table row, in their order.

    Source:
        gun_steps.csv, status per row.
    """
    return tuple(
        row.looked(
            GunStep(
                row.cells["key"],
                row.cells["who"],
                tuple(row.cells["figures"].split()),
            )
        )
        for row in read_table("gun_steps").where(way=way, part=part)
    )
