"""Columns of what stands round a hole; empty where there is no shop to ask for it."""

from __future__ import annotations

import numpy as np

from rivetwright.engines.given import OWN_GEOMETRY
from rivetwright.engines.reach.surroundings import surroundings
from rivetwright.engines.rules import (
    CLASS,
    GEOMETRY,
    HOLE,
    SEARCH,
    Column,
    Witness,
    formula,
    rule,
)
from rivetwright.engines.worked import Worked
from rivetwright.standards.reach import opposite_head_ratio, reach_margin_mm
from rivetwright.standards.source import Source, Status

BY_HAND_SOURCE = Source("entered by hand", "access to the row", Status.READ)
NOT_KNOWN, BY_HAND, OUTLINES = "not known", "by hand", "outlines"

formula(
    "tail_mm",
    "What stands out behind before it is set",
    "length_mm - grip_mm",
    unit="mm",
    source=OWN_GEOMETRY,
    level=CLASS,
)


def nothing(worked: Worked) -> Column:
    """An empty column of lengths.

    Source: none is needed.
    """
    return np.full(len(worked.holes), np.nan)


def no_words(worked: Worked) -> Column:
    """An empty column of words.

    Source: none is needed.
    """
    return np.full(len(worked.holes), "", dtype=object)


def _or_nothing(length_mm: Column) -> Column:
    """A length; what is open has none."""
    return np.where(np.isfinite(length_mm), length_mm, np.nan)


def _from_hand(worked: Worked, hole: int, drawn_mm: Column) -> Witness | None:
    """What was entered by hand, with what the outlines say beside it."""
    if not surroundings(worked).is_by_hand[hole]:
        return None
    length = float(_or_nothing(drawn_mm)[hole])
    return Witness("by hand", {"from_outlines_mm": length}, BY_HAND_SOURCE)


def _way_witness(worked: Worked, hole: int, figure: str) -> Witness | None:
    """The way in that a figure rests on, or that it was entered by hand."""
    if worked.shop is None:
        return None
    found = surroundings(worked)
    by_hand = _from_hand(worked, hole, getattr(found.drawn_way, figure))
    number = int(found.way.number[hole])
    if by_hand is not None or number < 0:
        return by_hand
    ways = found.used.ways
    fields = {
        "place_u_mm": float(ways.u_mm[number]),
        "place_v_mm": float(ways.v_mm[number]),
        "flange_mm": float(ways.flange_mm[number]),
    }
    return Witness("way in", fields)


def _wall_witness(worked: Worked, hole: int, side: str) -> Witness | None:
    """The leg that is the wall, or that it was entered by hand."""
    if worked.shop is None:
        return None
    found = surroundings(worked)
    drawn = getattr(found.drawn, f"wall_{side}_mm")
    by_hand = _from_hand(worked, hole, drawn)
    layer = int(getattr(found.used, f"wall_{side}_layer")[hole])
    if by_hand is not None or layer < 0:
        return by_hand
    return Witness("leg", {"part": worked.stacks.layers[layer].layer.part})


@rule(
    "entry_mm",
    inputs=("place_u_mm", "place_v_mm"),
    formula="hole centre to the nearest edge over which a yoke may come in",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=GEOMETRY,
    witness=lambda worked, hole: _way_witness(worked, hole, "entry_mm"),
)
def entry_mm(worked: Worked, *_: Column) -> Column:
    """Way in from the edge.

    Source: own geometry, or entered by hand.
    """
    if worked.shop is None:
        return nothing(worked)
    return _or_nothing(surroundings(worked).way.entry_mm)


@rule(
    "throat_flange_mm",
    inputs=("entry_mm",),
    formula="height of the legs that stand on that way, of both sides together",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=GEOMETRY,
    witness=lambda worked, hole: _way_witness(worked, hole, "flange_mm"),
)
def throat_flange_mm(worked: Worked, *_: Column) -> Column:
    """Flange in the throat.

    Source: own geometry, or entered by hand.
    """
    if worked.shop is None:
        return nothing(worked)
    return surroundings(worked).way.flange_mm


@rule(
    "gap_behind_mm",
    inputs=("place_v_mm",),
    formula="free depth behind at the hole's step, from the taper of the face",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=GEOMETRY,
    witness=lambda worked, hole: (
        _from_hand(worked, hole, surroundings(worked).drawn.gap_behind_mm)
        if worked.shop
        else None
    ),
)
def gap_behind_mm(worked: Worked, *_: Column) -> Column:
    """Free depth behind.

    Source: own geometry, or entered by hand; nothing where it is open.
    """
    if worked.shop is None:
        return nothing(worked)
    return _or_nothing(surroundings(worked).used.gap_behind_mm)


@rule(
    "opposite_takes_mm",
    inputs=("shank_diameter_mm",),
    formula="0.48 D of the rivet on the flange opposite, where there is one",
    unit="mm",
    source=opposite_head_ratio().source,
    level=HOLE,
    kind=GEOMETRY,
    witness=lambda worked, hole: _opposite_witness(worked, hole),
)
def opposite_takes_mm(worked: Worked, *_: Column) -> Column:
    """Depth that a shop head opposite takes.

    Source: reach_margins.csv; JUDGEMENT.
    """
    if worked.shop is None:
        return nothing(worked)
    found = surroundings(worked)
    return np.where(found.opposite >= 0, found.opposite_takes_mm, np.nan)


def _opposite_witness(worked: Worked, hole: int) -> Witness | None:
    """The hole on the flange opposite."""
    if worked.shop is None:
        return None
    other = int(surroundings(worked).opposite[hole])
    if other < 0:
        return None
    return Witness("hole opposite", {"hole": worked.holes.name(other)})


formula(
    "gap_if_second_mm",
    "Free depth behind once the rivet opposite is set",
    "gap_behind_mm - opposite_takes_mm",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
)


def _wall_rule(side: str) -> None:
    """Register the wall of one side."""

    def run(worked: Worked, *_: Column) -> Column:
        if worked.shop is None:
            return nothing(worked)
        return _or_nothing(getattr(surroundings(worked).used, f"wall_{side}_mm"))

    run.__doc__ = f"Wall on the {side} side"
    register = rule(
        f"wall_{side}_mm",
        inputs=("place_u_mm", "place_v_mm"),
        formula=f"hole centre to the nearest standing leg on the {side} side",
        unit="mm",
        source=OWN_GEOMETRY,
        level=HOLE,
        kind=GEOMETRY,
        witness=lambda worked, hole: _wall_witness(worked, hole, side),
    )
    register(run)


_wall_rule("shop")
_wall_rule("head")


@rule(
    "access_from",
    formula="whether the surroundings were entered by hand or follow from the outlines",
    unit="text",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=SEARCH,
)
def access_from(worked: Worked) -> Column:
    """Surroundings known from.

    Source: the plan.
    """
    if worked.shop is None:
        return no_words(worked)
    found = surroundings(worked)
    words = np.where(found.used.is_known, OUTLINES, NOT_KNOWN)
    return np.where(found.is_by_hand, BY_HAND, words).astype(object)


@rule(
    "access_differs",
    inputs=("entry_mm", "throat_flange_mm", "wall_shop_mm", "wall_head_mm"),
    formula="which figures entered by hand leave more room than the outlines do",
    unit="text",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=SEARCH,
)
def access_differs(worked: Worked, *_: Column) -> Column:
    """Entered by hand with more room than drawn.

    Source: own geometry; differences under the tight margin are not told.
    """
    if worked.shop is None:
        return no_words(worked)
    found = surroundings(worked)
    tight = float(reach_margin_mm("tight").value)
    drawn, hand = found.drawn_way, found.way
    asked = found.is_by_hand & found.drawn.is_known & found.used.has_both_sides
    more = {
        "entry_mm": drawn.entry_mm > hand.entry_mm + tight,
        "throat_flange_mm": drawn.flange_mm > hand.flange_mm + tight,
    }
    for name in ("gap_behind_mm", "wall_shop_mm", "wall_head_mm"):
        more[name] = getattr(found.drawn, name) < getattr(found.used, name) - tight
    words = no_words(worked)
    for name, mask in more.items():
        here = mask & asked
        words[here] = words[here] + np.where(words[here] == "", name, f" {name}")
    return words
