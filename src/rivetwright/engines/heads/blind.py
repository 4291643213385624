"""Blind rivets: gap under the head, the stem, the mandrel, the hole's size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from rivetwright.engines.heads.seen import Level
from rivetwright.engines.heads.suspect import Case, Cause, Suspect
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.head_checks import defect, head_check
from rivetwright.standards.holes import blind_hole
from rivetwright.standards.source import Source, Status
from rivetwright.units.tolerance import is_less


class BlindLook(StrEnum):
    """What is seen or measured on a blind rivet."""

    GAP = "gap under the head"
    COLLAR = "collar off the head's top"
    STEM_LOOSE = "stem moves"
    STEM_LONG = "stem not broken flush"
    MANDREL_IN = "mandrel not pulled through"
    MARKED = "stretch marks or slight flash"
    HOLE = "hole out of size"
    GRIP = "stack outside the grip range"


@dataclass(frozen=True)
class BlindHead:
    """One blind rivet as seen; None where it was not measured.

    `gap_mm` is the thickest feeler that goes in and `gap_share` over how much of the
    rim; `collar_mm` how far the collar stands off the top of the head.
    """

    looks: frozenset[BlindLook] = frozenset()
    gap_mm: float | None = None
    gap_share: float | None = None
    collar_mm: float | None = None
    hole_mm: float | None = None


@dataclass(frozen=True)
class BlindRemark:
    """One thing seen on a blind rivet, against what its source allows."""

    look: BlindLook
    level: Level
    source: Source
    row: str
    found_mm: float | None = None
    allowed_mm: float | None = None


KIT_RANGE = Source("the kit's own blind codes", "grip range", Status.READ)
NOT_PULLED = Source("judgement", "a stem not pulled clamps nothing", Status.JUDGEMENT)
GAP_ROW = "gap under manufactured or shop head (blind rivet)"
STEM_ROW = "trimmed blind stem tightness"
MARK_ROW = "stretch marks, slight flash on a blind rivet"
COLLAR_ROW = "blind stem / collar flush with head"


def judge_blind(
    head: BlindHead, code: KitBlindCode, grip_mm: float
) -> tuple[BlindRemark, ...]:
    """What the sources say of a blind rivet; empty where nothing is against it.

    Args:
        head: as measured and seen.
        code: the kit's code, with its grip range [mm].
        grip_mm: what the rivet feels: the stack, and the head in dimpled sheets [mm].

    Raises:
        OutsideTable: a hole was measured and the chart has no such diameter.
    """
    found = [*_seen(head), *_sized(head, code, grip_mm)]
    return tuple(sorted(found, key=lambda one: -one.level))


def _seen(head: BlindHead) -> Iterator[BlindRemark]:
    """Looks that need no figure of the rivet."""
    rows = (
        (BlindLook.STEM_LOOSE, Level.REPLACE, STEM_ROW),
        (BlindLook.STEM_LONG, Level.MEASURE, COLLAR_ROW),
        (BlindLook.MARKED, Level.FINE, MARK_ROW),
    )
    for look, level, observation in rows:
        is_measured = look is BlindLook.STEM_LONG and head.collar_mm is not None
        if look in head.looks and not is_measured:
            row = defect(observation)
            yield BlindRemark(look, level, row.source, row.row)
    if BlindLook.MANDREL_IN in head.looks:
        yield BlindRemark(BlindLook.MANDREL_IN, Level.REPLACE, NOT_PULLED, "")
    if BlindLook.GAP in head.looks or head.gap_mm:
        yield _gap(head)
    if head.collar_mm is not None:
        most = head_check("collar")
        too_far = is_less(float(most.value), head.collar_mm)
        level = Level.REPLACE if too_far else Level.FINE
        yield BlindRemark(
            BlindLook.COLLAR,
            level,
            most.source,
            most.row,
            head.collar_mm,
            float(most.value),
        )


def _gap(head: BlindHead) -> BlindRemark:
    """The feeler over more than its share of the rim: out."""
    row, thin = defect(GAP_ROW), float(head_check("feeler").value)
    share = float(head_check("share of the rim").value)
    if head.gap_mm is not None and is_less(head.gap_mm, thin):
        level = Level.FINE
    elif head.gap_mm is None or head.gap_share is None:
        level = Level.MEASURE
    else:
        level = Level.REPLACE if head.gap_share > share else Level.FINE
    return BlindRemark(BlindLook.GAP, level, row.source, row.row, head.gap_mm, thin)


def _sized(
    head: BlindHead, code: KitBlindCode, grip_mm: float
) -> Iterator[BlindRemark]:
    """Hole and grip against the chart and the kit's range."""
    if head.hole_mm is not None:
        chart = blind_hole(code.diameter_mm)
        least, most = chart.value.least_mm, chart.value.most_mm
        assert least is not None
        assert most is not None
        low, high = float(least), float(most)
        if is_less(head.hole_mm, low) or is_less(high, head.hole_mm):
            limit = low if head.hole_mm < low else high
            yield BlindRemark(
                BlindLook.HOLE,
                Level.REPLACE,
                chart.source,
                chart.row,
                head.hole_mm,
                limit,
            )
    if not code.takes(grip_mm):
        low, high = float(code.grip_least_mm), float(code.grip_most_mm)
        limit = low if grip_mm < low else high
        yield BlindRemark(
            BlindLook.GRIP, Level.REPLACE, KIT_RANGE, code.code, grip_mm, limit
        )


def blind_suspects(remarks: tuple[BlindRemark, ...]) -> tuple[Suspect, ...]:
    """Likely causes of what was seen on a blind rivet, ranked.

    Args:
        remarks: what the sources say of it; what is fine has no cause.
    """
    case = Case()
    for one in remarks:
        if one.level is not Level.FINE:
            for cause, points in CAUSES[one.look]:
                case.speak_for(cause, "blind rivet shows it", points, look=one.look)
    return case.ranked()


CAUSES: dict[BlindLook, tuple[tuple[Cause, int], ...]] = {
    BlindLook.GAP: ((Cause.NOSE_NOT_SQUARE, 2), (Cause.DIRT_UNDER_HEAD, 1)),
    BlindLook.COLLAR: ((Cause.BLIND_GRIP, 2), (Cause.PULL_SHORT, 1)),
    BlindLook.STEM_LOOSE: ((Cause.BLIND_GRIP, 2), (Cause.BLIND_HOLE, 1)),
    BlindLook.STEM_LONG: ((Cause.PULL_SHORT, 2), (Cause.BLIND_GRIP, 1)),
    BlindLook.MANDREL_IN: ((Cause.PULL_SHORT, 2), (Cause.PULLER_WORN, 1)),
    BlindLook.MARKED: (),
    BlindLook.HOLE: ((Cause.BLIND_HOLE, 3),),
    BlindLook.GRIP: ((Cause.BLIND_GRIP, 3),),
}
