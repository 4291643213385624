"""A measured head: sizes, gauge answers, what is seen; and doubtful sizes asked about.

A size far from what such a rivet can have is not judged: the question names what was
probably meant (the point slipped, millimetres for inches, width and height swapped),
and a person says which.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from rivetwright.engines.forming import volume_ratio
from rivetwright.engines.heads.called import Called
from rivetwright.standards.head_checks import head_check_figure
from rivetwright.units.tolerance import is_less

MM_PER_INCH = 25.4
MAIN_SIZES = ("width_mm", "height_mm")


class Look(StrEnum):
    """What can be ticked on a head."""

    CRACKED = "cracked"
    GAP_HEAD = "gap under the manufactured head"
    GAP_SHOP = "gap under the shop head"
    TOOL_MARK = "tool mark"
    SHALLOW_MARK = "tool mark, shallow to the eye"
    OPEN_SHEETS = "sheets open"
    LEANS = "leans"
    BENT = "tail bent over"
    STEPPED = "stepped"
    OFF_CENTRE = "off centre"
    PROUD = "manufactured head proud"
    LOOSE = "loose"
    CUT = "head cut"


# Width times height is not the volume of a head of these shapes.
OUT_OF_SHAPE = frozenset({Look.LEANS, Look.BENT, Look.STEPPED, Look.CUT})


class Side(StrEnum):
    """The four sides of a go/no-go gauge."""

    LEAST_WIDTH = "least width"
    MOST_WIDTH = "most width"
    LEAST_HEIGHT = "least height"
    MOST_HEIGHT = "most height"


@dataclass(frozen=True)
class GaugeAnswer:
    """One side of a gauge: whether the head keeps to it, and the size of that side.

    `is_kept`: at a least side the head is no smaller, at a most side no larger.
    Without the gauge's size the answer says nothing about a limit in figures.
    """

    side: Side
    is_kept: bool
    size_mm: float | None = None


@dataclass(frozen=True)
class Known:
    """What is known of a size: between `low_mm` and `high_mm`."""

    low_mm: float = 0.0
    high_mm: float = math.inf

    @property
    def is_measured(self) -> bool:
        """Whether it is one figure."""
        return self.low_mm == self.high_mm


@dataclass(frozen=True)
class Head:
    """What was measured and seen on one head; None where it was not measured.

    `lean_deg` is the shop head's lean, `proud_mm` how far the manufactured head stands
    up, `gap_mm` the thickest feeler that goes under a head and `gap_share` over how
    much of its rim, `mark_mm` the depth of a tool mark. `is_confirmed` says that a
    person stands by sizes that were asked about.
    """

    width_mm: float | None = None
    height_mm: float | None = None
    gauge: tuple[GaugeAnswer, ...] = ()
    looks: frozenset[Look] = frozenset()
    offset_mm: float | None = None
    lean_deg: float | None = None
    proud_mm: float | None = None
    gap_mm: float | None = None
    gap_share: float | None = None
    mark_mm: float | None = None
    is_confirmed: bool = False

    @property
    def width(self) -> Known:
        """What is known of the width, by caliper or gauge."""
        return self._known(self.width_mm, Side.LEAST_WIDTH, Side.MOST_WIDTH)

    @property
    def height(self) -> Known:
        """What is known of the height, by caliper or gauge."""
        return self._known(self.height_mm, Side.LEAST_HEIGHT, Side.MOST_HEIGHT)

    @property
    def is_out_of_shape(self) -> bool:
        """Whether width times height says little about its metal."""
        return bool(self.looks & OUT_OF_SHAPE)

    def _known(self, size_mm: float | None, least: Side, most: Side) -> Known:
        """A size as measured, else as the gauge's sides enclose it."""
        if size_mm is not None:
            return Known(size_mm, size_mm)
        low, high = 0.0, math.inf
        for one in self.gauge:
            if one.size_mm is None or one.side not in (least, most):
                continue
            if (one.side is least) == one.is_kept:
                low = max(low, one.size_mm)
            else:
                high = min(high, one.size_mm)
        return Known(low, high)


class Slip(StrEnum):
    """How a size may have been written otherwise than it was meant."""

    POINT_TOO_FAR_RIGHT = "point one place too far right"
    POINT_TOO_FAR_LEFT = "point one place too far left"
    THOUSANDTHS = "thousandths without the point"
    MM_FOR_INCHES = "millimetres written for inches"
    INCHES_FOR_MM = "inches written for millimetres"
    SWAPPED = "width and height swapped"
    GAUGE_CONTRADICTS = "gauge answers contradict each other"
    UNLIKE_THE_RIVET = "far from the metal of the rivet called for"


FACTORS = {
    Slip.POINT_TOO_FAR_RIGHT: 0.1,
    Slip.POINT_TOO_FAR_LEFT: 10.0,
    Slip.THOUSANDTHS: 0.001,
    Slip.MM_FOR_INCHES: 1 / MM_PER_INCH,
    Slip.INCHES_FOR_MM: MM_PER_INCH,
}
# The sizes of a head that are asked about, with names of their believable ends in D.
ENDS = {
    "width_mm": ("least width", "most width"),
    "height_mm": ("least height", "most height"),
    "offset_mm": ("", "most beside"),
    "proud_mm": ("", "most beside"),
    "gap_mm": ("", "most depth"),
    "mark_mm": ("", "most depth"),
}


@dataclass(frozen=True)
class Meant:
    """A head as it may have been meant, and by which slip."""

    slip: Slip
    head: Head


@dataclass(frozen=True)
class Question:
    """A size that is hard to believe; the likeliest meaning comes first.

    `least` and `most` are the believable ends, in the unit the field's name ends in,
    or shares of the metal called for where `field` is ``metal``.
    """

    field: str
    found: float
    least: float
    most: float
    meant: tuple[Meant, ...]
    slip: Slip | None = None


def questions(head: Head, called: Called) -> tuple[Question, ...]:
    """What to ask about before a head is judged; nothing once it is confirmed.

    Args:
        head: as entered.
        called: what was called for at the hole.

    Returns:
        One question for each doubtful size [mm].
    """
    if head.is_confirmed:
        return ()
    doubtful = tuple(_doubtful(head, called))
    if doubtful:
        return doubtful
    return tuple(_contradictions(head)) + tuple(_unlike(head, called))


def metal_share(head: Head, called: Called) -> float | None:
    """Metal of a head against that of the rivet called for [-]; None unmeasured."""
    if head.width_mm is None or head.height_mm is None or not called.volume.central > 0:
        return None
    found = float(volume_ratio(called.shank_mm, head.width_mm, head.height_mm))
    return found / called.volume.central


def _ends_mm(field: str, called: Called) -> tuple[float, float]:
    """Believable ends of a size."""
    least, most = ENDS[field]
    low = head_check_figure(least) * called.shank_mm if least else 0.0
    return low, head_check_figure(most) * called.shank_mm


def _is_believable(head: Head, called: Called, field: str) -> bool:
    """Whether a size lies between its ends, or was not measured."""
    size: float | None = getattr(head, field)
    low, high = _ends_mm(field, called)
    return size is None or not (is_less(size, low) or is_less(high, size))


def _doubtful(head: Head, called: Called) -> Iterator[Question]:
    """A question for each size outside its ends."""
    for field in ENDS:
        if not _is_believable(head, called, field):
            low, high = _ends_mm(field, called)
            yield Question(
                field, getattr(head, field), low, high, _meant(head, called, field)
            )


def _meant(head: Head, called: Called, field: str) -> tuple[Meant, ...]:
    """Believable readings of a size, the nearest to the metal called for first."""
    found = [
        Meant(slip, _times(head, factor, (field,))) for slip, factor in FACTORS.items()
    ]
    if field in MAIN_SIZES:
        # A slip in the unit is made at both sizes.
        found += [
            Meant(slip, _times(head, FACTORS[slip], MAIN_SIZES))
            for slip in (Slip.MM_FOR_INCHES, Slip.INCHES_FOR_MM)
        ]
        turned = replace(head, width_mm=head.height_mm, height_mm=head.width_mm)
        found.append(Meant(Slip.SWAPPED, turned))
    fields = MAIN_SIZES if field in MAIN_SIZES else (field,)
    fit = [
        one
        for one in found
        if getattr(one.head, field) is not None
        and all(_is_believable(one.head, called, each) for each in fields)
    ]
    return tuple(sorted(fit, key=lambda one: _far(one.head, called)))


def _times(head: Head, factor: float, fields: tuple[str, ...]) -> Head:
    """A head with some of its sizes taken times a factor."""
    changed: dict[str, Any] = {
        field: None if getattr(head, field) is None else getattr(head, field) * factor
        for field in fields
    }
    return replace(head, **changed)


def _far(head: Head, called: Called) -> float:
    """How far a head's metal is from that called for: nought is the same."""
    share = metal_share(head, called)
    return abs(math.log(share)) if share else 0.0


def _contradictions(head: Head) -> Iterator[Question]:
    """A gauge cannot say both larger than its most side and smaller than its least."""
    for field, known in (("width_mm", head.width), ("height_mm", head.height)):
        if is_less(known.high_mm, known.low_mm):
            yield Question(
                field,
                known.low_mm,
                0.0,
                known.high_mm,
                (),
                Slip.GAUGE_CONTRADICTS,
            )


def _unlike(head: Head, called: Called) -> Iterator[Question]:
    """Both sizes are believable, but no rivet near the one called for makes them."""
    share = metal_share(head, called)
    if share is None or head.is_out_of_shape:
        return
    least, most = head_check_figure("least metal"), head_check_figure("most metal")
    if not least <= share <= most:
        yield Question("metal", share, least, most, (), Slip.UNLIKE_THE_RIVET)
