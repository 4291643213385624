"""The closed gap a rivet wants, as columns: what lies between the dies at the end.

From die to die, with the yoke not yet sprung: manufactured head, stack, dimple
stand-off and the shop head at the height aimed at.
"""

from __future__ import annotations

import numpy as np

from rivetwright.engines.given import OWN_GEOMETRY
from rivetwright.engines.lookups import TABLES, found_row
from rivetwright.engines.rules import CLASS, TABLE, Column, Witness, formula, rule
from rivetwright.engines.worked import Worked
from rivetwright.errors import OutsideTable
from rivetwright.model.plan import Callout
from rivetwright.standards.codes import RivetCode
from rivetwright.standards.heads import ManufacturedHead, manufactured_head
from rivetwright.standards.source import Looked, Source, Status
from rivetwright.standards.squeeze import squeeze_figure

BAND_MOST_D = squeeze_figure("band most")
CUP = Source(
    "own geometry",
    "a cup is measured to its bottom, so the whole head is its seat; a flush head 0",
    Status.DERIVED,
)


def _head(callout: Callout) -> Looked[ManufacturedHead] | None:
    """Manufactured head of a solid rivet, None where its dimensions are not known."""
    if not isinstance(callout, RivetCode) or callout.is_flush:
        return None
    try:
        return manufactured_head(callout.standard, callout.nominal_diameter_mm)
    except OutsideTable:
        return None


def _taller_row(worked: Worked, hole: int) -> Witness | None:
    """The table row that the tolerance was read from."""
    return found_row(_head(worked.stacks.kind(hole).callout))


@rule(
    "head_taller_mm",
    inputs=("shank_diameter_mm",),
    formula="looked up",
    unit="mm",
    source=TABLES,
    level=CLASS,
    kind=TABLE,
    witness=_taller_row,
)
def head_taller_mm(worked: Worked, _: Column) -> Column:
    """How much taller than its nominal height a universal head may be.

    Source: heads.csv.
    """
    kinds = worked.stacks.kinds
    found = [_head(kind.callout) for kind in kinds.kinds]
    more = [one.value.height_plus_mm if one else None for one in found]
    known = [np.nan if mm is None else float(mm) for mm in more]
    return np.array(known)[kinds.of_class]


formula(
    "manufactured_seat_mm",
    "What the manufactured head takes of the gap",
    "where(is_solid, where(is_flush, 0.0, head_height_mm), nan)",
    unit="mm",
    source=CUP,
)
formula(
    "squeeze_height_most_mm",
    "Most height of the shop head that a set-up may make",
    "where(head_height_max_mm > 0, head_height_max_mm,"
    f" {BAND_MOST_D} * shank_diameter_mm)",
    unit="mm",
    source=Source(
        "the named head limits",
        "0.56 D where they print no greatest height",
        Status.DERIVED,
    ),
)
formula(
    "squeeze_aim_mm",
    "Shop-head height that the gap aims at, the middle of the band",
    "(head_height_min_mm + squeeze_height_most_mm) / 2",
    unit="mm",
    source=OWN_GEOMETRY,
)
formula(
    "closed_gap_mm",
    "Closed gap wanted, before the yoke springs",
    "grip_mm + stand_off_mm + manufactured_seat_mm + squeeze_aim_mm",
    unit="mm",
    source=OWN_GEOMETRY,
)
formula(
    "closed_gap_low_mm",
    "Closed gap wanted, where the dimple stands least proud",
    "grip_mm + stand_off_low_mm + manufactured_seat_mm + squeeze_aim_mm",
    unit="mm",
    source=OWN_GEOMETRY,
)
formula(
    "closed_gap_high_mm",
    "Closed gap wanted, where dimple and manufactured head stand most proud",
    "grip_mm + stand_off_high_mm + manufactured_seat_mm"
    " + where(is_flush, 0.0, head_taller_mm) + squeeze_aim_mm",
    unit="mm",
    source=OWN_GEOMETRY,
)
