"""Whether the next size may go in at a hole, and which thing stands in the way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import isnan

from rivetwright.engines.reach.throat import YOKE
from rivetwright.engines.squeeze.batch import takes
from rivetwright.engines.worked import Worked
from rivetwright.standards.codes import RivetCode
from rivetwright.standards.rework import (
    adjacent_oversize_most,
    next_diameter_32nds,
    oversize_most,
)
from rivetwright.units.tolerance import is_less


class Gate(StrEnum):
    """What the next size needs."""

    EDGE = "edge distance"
    PITCH = "pitch"
    LENGTH = "length supplied"
    STOCK = "stock"
    TOOL = "tool"
    QUOTA = "oversize rivets of the pattern"
    ADJACENT = "oversize rivets side by side"


@dataclass(frozen=True)
class Gated:
    """One need of the next size: `holds` is None where it is not known.

    `found` and `needed` are in D for edge and pitch, counts for stock and quotas, words
    for length and tool.
    """

    gate: Gate
    holds: bool | None
    found: float | str
    needed: float | str


@dataclass(frozen=True)
class Row:
    """What the record says of a row's oversize rivets.

    `pattern_count` are the rivets of the pattern, `oversize_count` those already
    oversize, `adjacent_count` those oversize side by side with this hole.
    """

    pattern_count: int
    oversize_count: int = 0
    adjacent_count: int = 0


def next_code(worked: Worked, hole: int) -> RivetCode | None:
    """The next size's part number at a hole; None where none is made or supplied."""
    one = worked.stacks.classes[int(worked.stacks.class_of[hole])]
    length = float(worked.at("next_length_16ths", hole))
    if not isinstance(one.callout, RivetCode) or isnan(length):
        return None
    larger = next_diameter_32nds(one.callout.diameter_32nds).value
    return one.callout.with_diameter(larger).with_length(Fraction(length))


def next_size_gates(
    worked: Worked,
    hole: int,
    row: Row,
    stock: Mapping[str, int] | None = None,
) -> tuple[Gated, ...]:
    """What the next size needs at a hole, and whether it is there.

    Args:
        worked: the worked plan.
        hole: the hole's index.
        row: what the record says of the row.
        stock: rivets on hand by part number; None where nothing was counted.
    """
    code = next_code(worked, hole)
    return (
        _ratio(worked, hole, Gate.EDGE, "next_edge_ratio", "edge_check_ratio"),
        _ratio(worked, hole, Gate.PITCH, "next_pitch_ratio", "pitch_min_ratio"),
        Gated(Gate.LENGTH, code is not None, str(code or ""), ""),
        _stock(code, stock),
        _tool(worked, hole, code),
        _quota(row),
        _adjacent(row),
    )


def _ratio(worked: Worked, hole: int, gate: Gate, name: str, limit: str) -> Gated:
    """A distance in D of the next size against its least."""
    found, needed = float(worked.at(name, hole)), float(worked.at(limit, hole))
    is_known = not isnan(found) and not isnan(needed)
    return Gated(gate, not is_less(found, needed) if is_known else None, found, needed)


def _stock(code: RivetCode | None, stock: Mapping[str, int] | None) -> Gated:
    """Whether one is on hand."""
    if code is None or stock is None:
        return Gated(Gate.STOCK, None, "", 1)
    count = stock.get(str(code), 0)
    return Gated(Gate.STOCK, count >= 1, count, 1)


def _tool(worked: Worked, hole: int, code: RivetCode | None) -> Gated:
    """Whether an owned tool that reaches the hole is rated for the larger rivet."""
    shop = worked.shop
    if shop is None or not shop.tools or code is None:
        return Gated(Gate.TOOL, None, "", "")
    size = code.diameter_32nds
    reach = set(str(worked.at("tools_that_fit", hole)).split(", "))
    may_squeeze = any(takes(one, size) for one in shop.squeezers)
    able = [
        one.id
        for one in shop.tools
        # A tool on order stands with a star there, so it is not among them.
        if one.id in reach and takes(one, size) and (one.kind != YOKE or may_squeeze)
    ]
    return Gated(Gate.TOOL, bool(able), ", ".join(able), code.diameter_shown)


def _quota(row: Row) -> Gated:
    """How many of the pattern may be oversize, this one counted."""
    most = oversize_most(row.pattern_count).value
    count = row.oversize_count + 1
    return Gated(Gate.QUOTA, count <= most, count, most)


def _adjacent(row: Row) -> Gated:
    """How many may be oversize side by side, this one counted."""
    most = adjacent_oversize_most().value
    count = row.adjacent_count + 1
    return Gated(Gate.ADJACENT, count <= most, count, most)
