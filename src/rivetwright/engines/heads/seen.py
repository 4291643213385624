"""What is seen on a head, and what the sources say of it.

Each remark names the row it rests on and, where the source has a figure, what was
found against what is allowed. A look without its measure asks for the measure.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import IntEnum

from rivetwright.engines.forming import wedge_mm
from rivetwright.engines.heads.called import Called
from rivetwright.engines.heads.entry import Head, Known, Look
from rivetwright.errors import OutsideTable
from rivetwright.standards.head_checks import defect, head_check
from rivetwright.standards.source import Source
from rivetwright.units.tolerance import is_less

# Words of defects.csv.
CRACKED_FLAT = "excessively flat head with cracks (overdriven)"
CRACKED = "cracks in the tail"
SLOPING = "sloping head (unsteady set)"
BUCKLED = "buckled shank (too long)"
OFFSET = "clinched / offset tail"
SWELLED = "sheet separation / swelled shank between sheets"
LOOSE = "loose rivet"
CUT = "cut head (tool held wrongly)"
MARK_STANDING = "tool cut or ring on a NON-flush manufactured head"
MARK_FLUSH = "tool cut or ring on a FLUSH head"
HEAD_CONTACT = "protruding head"
FLUSH_CONTACT = "flush head"
TAIL_CONTACT = "tail contact"
SMALL_32NDS = 3


class Level(IntEnum):
    """What a remark asks for; the higher, the worse."""

    FINE = 0
    MEASURE = 1
    ASK = 2
    REPLACE = 3


@dataclass(frozen=True)
class Remark:
    """One thing seen; `found_mm` against `allowed_mm` where the source has a figure."""

    look: Look
    level: Level
    source: Source
    row: str
    found_mm: float | None = None
    allowed_mm: float | None = None


def remarks(head: Head, called: Called) -> tuple[Remark, ...]:
    """What the sources say of all that is seen on a head.

    Args:
        head: as measured and seen.
        called: what was called for at the hole.

    Returns:
        One remark for each look, the worst first [mm].
    """
    found = [REMARKS[look](head, called) for look in _looks(head)]
    return tuple(sorted(found, key=lambda one: -one.level))


def _looks(head: Head) -> Iterator[Look]:
    """The looks ticked, and those that a measure alone tells of."""
    told = {
        Look.OFF_CENTRE: head.offset_mm,
        Look.PROUD: head.proud_mm,
        Look.LEANS: head.lean_deg,
    }
    for look in Look:
        if look is Look.SHALLOW_MARK and Look.TOOL_MARK in head.looks:
            continue
        if look in head.looks or told.get(look):
            yield look


def _by_row(look: Look, level: Level, observation: str) -> Remark:
    """A remark that rests on a row of the defects alone."""
    row = defect(observation)
    return Remark(look, level, row.source, row.row)


def _cracked(head: Head, called: Called) -> Remark:
    """Flat and cracked is over-driven: out; any other crack is asked about."""
    least_mm, _ = _heights_mm(called)
    if is_less(head.height.high_mm, least_mm):
        return _by_row(Look.CRACKED, Level.REPLACE, CRACKED_FLAT)
    return _by_row(Look.CRACKED, Level.ASK, CRACKED)


def _gap(look: Look, head: Head, contact: str) -> Remark:
    """A gap: how much of the rim takes the feeler decides; contact is asked for."""
    feeler, share = head_check("feeler"), head_check("share of the rim")
    thin = float(feeler.value)
    if head.gap_mm is None:
        row = defect(contact)
        return Remark(look, Level.MEASURE, row.source, row.row, None, thin)
    if is_less(head.gap_mm, thin):
        return Remark(look, Level.FINE, feeler.source, feeler.row, head.gap_mm, thin)
    if head.gap_share is None:
        level = Level.MEASURE
    else:
        is_much = head.gap_share > float(share.value)
        level = Level.REPLACE if is_much else Level.ASK
    return Remark(look, level, feeler.source, feeler.row, head.gap_mm, thin)


def _gap_head(head: Head, called: Called) -> Remark:
    """A gap under the manufactured head."""
    contact = FLUSH_CONTACT if called.code.is_flush else HEAD_CONTACT
    return _gap(Look.GAP_HEAD, head, contact)


def _mark(look: Look, head: Head, called: Called) -> Remark:
    """A tool mark: on a flush head never, on a standing one to a quarter of it."""
    if called.code.is_flush:
        return _by_row(look, Level.REPLACE, MARK_FLUSH)
    share = head_check("tool mark")
    most_mm = float(share.value) * called.head_height_mm
    if head.mark_mm is not None:
        too_deep = is_less(most_mm, head.mark_mm)
        level = Level.REPLACE if too_deep else Level.FINE
    else:
        level = Level.FINE if look is Look.SHALLOW_MARK else Level.MEASURE
    return Remark(look, level, share.source, share.row, head.mark_mm, most_mm)


def _offset(head: Head, called: Called) -> Remark:
    """Off centre: allowed while the head covers the hole all round."""
    row = defect(OFFSET)
    width, hole_mm = head.width, called.hole_mm.high
    if head.offset_mm is None or width == Known():
        return Remark(Look.OFF_CENTRE, Level.MEASURE, row.source, row.row)
    most_mm = (width.low_mm - hole_mm) / 2
    level = Level.REPLACE if is_less(most_mm, head.offset_mm) else Level.FINE
    return Remark(
        Look.OFF_CENTRE, level, row.source, row.row, head.offset_mm, max(most_mm, 0.0)
    )


def _leans(head: Head, called: Called) -> Remark:
    """A lean: fine while its low and its high side both keep to the limits."""
    row = defect(SLOPING)
    if head.lean_deg is None or head.height_mm is None or head.width_mm is None:
        level = Level.REPLACE if Look.BENT in head.looks else Level.MEASURE
        return Remark(Look.LEANS, level, row.source, row.row)
    half_mm = float(wedge_mm(head.width_mm, head.lean_deg)) / 2
    least_mm, most_mm = _heights_mm(called)
    spare_mm = max(min(head.height_mm - least_mm, most_mm - head.height_mm), 0.0)
    level = Level.REPLACE if is_less(spare_mm, half_mm) else Level.FINE
    return Remark(Look.LEANS, level, row.source, row.row, half_mm, spare_mm)


def _heights_mm(called: Called) -> tuple[float, float]:
    """Least and most height of the chosen set; nought and no end where it has none."""
    try:
        limits = called.limits().value
    except OutsideTable:
        return 0.0, math.inf
    least, most = limits.height_least_mm, limits.height_most_mm
    return float(least or 0), math.inf if most is None else float(most)


def _proud(head: Head, called: Called) -> Remark:
    """A flush head that stands proud: a figure was seen for 3/32 alone."""
    if not called.code.is_flush:
        return _gap(Look.PROUD, head, HEAD_CONTACT)
    printed = head_check("proud 3/32")
    if called.code.diameter_32nds != SMALL_32NDS:
        row = defect(FLUSH_CONTACT)
        return Remark(Look.PROUD, Level.ASK, row.source, row.row, head.proud_mm)
    most_mm = float(printed.value)
    if head.proud_mm is None:
        level = Level.MEASURE
    else:
        level = Level.ASK if is_less(most_mm, head.proud_mm) else Level.FINE
    return Remark(
        Look.PROUD, level, printed.source, printed.row, head.proud_mm, most_mm
    )


REMARKS: dict[Look, Callable[[Head, Called], Remark]] = {
    Look.CRACKED: _cracked,
    Look.GAP_HEAD: _gap_head,
    Look.GAP_SHOP: lambda head, _: _gap(Look.GAP_SHOP, head, TAIL_CONTACT),
    Look.TOOL_MARK: lambda head, called: _mark(Look.TOOL_MARK, head, called),
    Look.SHALLOW_MARK: lambda head, called: _mark(Look.SHALLOW_MARK, head, called),
    Look.OPEN_SHEETS: lambda *_: _by_row(Look.OPEN_SHEETS, Level.REPLACE, SWELLED),
    Look.LEANS: _leans,
    Look.BENT: lambda *_: _by_row(Look.BENT, Level.REPLACE, BUCKLED),
    Look.STEPPED: lambda *_: _by_row(Look.STEPPED, Level.MEASURE, SLOPING),
    Look.OFF_CENTRE: _offset,
    Look.PROUD: _proud,
    Look.LOOSE: lambda *_: _by_row(Look.LOOSE, Level.REPLACE, LOOSE),
    Look.CUT: lambda *_: _by_row(Look.CUT, Level.REPLACE, CUT),
}
