"""Why one head looks as it does: from its metal, its height, and what is seen.

Metal tells length, hole and gap between the sheets; height at the right metal tells
how far it was set; what is seen tells the tool's stance and the hole. A head inside
its limits with the right metal and nothing seen has no suspects.
"""

from __future__ import annotations

from rivetwright.engines.heads.called import Called
from rivetwright.engines.heads.entry import Head, Look
from rivetwright.engines.heads.suspect import Case, Cause, Suspect
from rivetwright.engines.heads.verdict import HeadVerdict
from rivetwright.engines.heads.volume import Amount, Metal, metal_of
from rivetwright.standards.head_checks import head_check_figure
from rivetwright.units.tolerance import is_less

# A rim wider than this share of D was stretched far; measured heads reach 1.81 D.
STRETCHED_D = 1.6


def suspects(verdict: HeadVerdict) -> tuple[Suspect, ...]:
    """Likely causes of one head, ranked.

    Args:
        verdict: the head as judged; one that is still asked about has no cause.
    """
    if verdict.questions:
        return ()
    head, called = verdict.head, verdict.called
    metal = metal_of(head, called)
    case = Case()
    if metal is not None:
        _by_metal(case, metal, head, called)
    _by_height(case, verdict, metal)
    for look in head.looks:
        SEEN.get(look, _nothing)(case, head, called)
    _by_measure(case, head, called)
    return case.ranked()


def _by_metal(case: Case, metal: Metal, head: Head, called: Called) -> None:
    """Less or more metal than the rivet called for leaves."""
    if metal.amount is Amount.RIGHT:
        return
    figures = {"found_volume": metal.found, "called_volume": metal.called.central}
    nearest = metal.nearest
    is_other = nearest.length_16ths != called.code.length_16ths
    if is_other and nearest.is_within:
        length = float(nearest.length_16ths)
        case.speak_for(
            Cause.WRONG_LENGTH,
            "metal of another length",
            3,
            **figures,
            length_16ths=length,
            length_volume=nearest.volume,
            like_length_mm=metal.like_length_mm,
        )
        if head.is_out_of_shape:
            case.speak_against(Cause.WRONG_LENGTH, "shape hides the metal", 2)
    if metal.amount is Amount.LESS:
        _metal_missing(case, metal, head, called)
    else:
        case.speak_for(Cause.STACK_DIFFERS, "more metal than called for", 1, **figures)


def _metal_missing(case: Case, metal: Metal, head: Head, called: Called) -> None:
    """Where else than in a shorter rivet the metal can be."""
    assert metal.like_hole_mm is not None
    assert metal.like_gap_mm is not None
    case.speak_for(
        Cause.OVERSIZE_HOLE,
        "hole that would explain it",
        like_hole_mm=metal.like_hole_mm,
    )
    next_size_mm = called.shank_mm + 25.4 / 32
    if is_less(next_size_mm, metal.like_hole_mm):
        case.speak_against(
            Cause.OVERSIZE_HOLE,
            "such a hole takes the next size",
            2,
            next_mm=next_size_mm,
        )
    case.speak_for(
        Cause.SHEETS_APART, "gap that would explain it", like_gap_mm=metal.like_gap_mm
    )
    if Look.OPEN_SHEETS not in head.looks:
        case.speak_against(Cause.SHEETS_APART, "no open sheets seen")


def _by_height(case: Case, verdict: HeadVerdict, metal: Metal | None) -> None:
    """Set too far, or not far enough; at the right metal it is sure."""
    is_low = verdict.has("too low")
    is_high = verdict.has("too high")
    if not is_low and not is_high:
        return
    cause = Cause.SET_TOO_FAR if is_low else Cause.NOT_FAR_ENOUGH
    (broken,) = [
        one for one in verdict.chosen.broken if one.breach in ("too low", "too high")
    ]
    key = "lower than the limit" if is_low else "higher than the limit"
    case.speak_for(cause, key, found_mm=broken.found_mm, limit_mm=broken.limit_mm)
    if metal is not None and metal.amount is Amount.RIGHT:
        case.speak_for(
            cause,
            "metal is right",
            2,
            found_volume=metal.found,
            called_volume=metal.called.central,
        )
    if is_low and verdict.called.shop_dimpled:
        _stand_off(case, verdict.called, broken.by_mm)
    if is_high:
        case.speak_for(Cause.RELEASED_EARLY, "high heads come of it too")


def _stand_off(case: Case, called: Called, low_by_mm: float) -> None:
    """A dimple's cone left out of the gap crushes the head by as much."""
    case.speak_for(
        Cause.STAND_OFF_FORGOTTEN,
        "shop head on a dimple",
        stand_off_mm=called.stand_off_mm.central,
        low_by_mm=low_by_mm,
    )


def _nothing(case: Case, head: Head, called: Called) -> None:
    """A look that points at no one cause."""


def _leans(case: Case, head: Head, called: Called) -> None:
    """The tool leant, or the hole does."""
    case.speak_for(Cause.TOOL_TILTED, "the head leans", 2)
    case.speak_for(Cause.HOLE_NOT_SQUARE, "the head leans")


def _bent(case: Case, head: Head, called: Called) -> None:
    """A tail that bent over: pushed sideways, too long, or loose in its hole."""
    case.speak_for(Cause.TOOL_TILTED, "the tail bent over", 2)
    case.speak_for(Cause.DIE_WORN, "the tail bent over")
    case.speak_for(Cause.LOOSE_PIN, "the tail bent over")
    case.speak_for(Cause.OVERSIZE_HOLE, "the tail bent over")
    case.speak_for(Cause.RIVET_LONG, "the tail bent over")
    free_d = head_check_figure("free tail")
    tail_d = called.tail_mm / called.shank_mm
    if tail_d > free_d:
        case.speak_for(
            Cause.RIVET_LONG, "long tail", 2, tail_ratio=tail_d, most_ratio=free_d
        )
    else:
        case.speak_against(
            Cause.RIVET_LONG, "tail not long", tail_ratio=tail_d, most_ratio=free_d
        )


def _stepped(case: Case, head: Head, called: Called) -> None:
    """Two levels: the tool moved between blows, or the die has a step."""
    case.speak_for(Cause.TOOL_TILTED, "the head has two levels")
    case.speak_for(Cause.CHIP_ON_DIE, "the head has two levels", 2)


def _off_centre(case: Case, head: Head, called: Called) -> None:
    """The shop head stands beside its hole."""
    case.speak_for(Cause.TOOL_TILTED, "the head stands beside its hole", 2)
    case.speak_for(Cause.LOOSE_PIN, "the head stands beside its hole")
    case.speak_for(Cause.HOLE_NOT_SQUARE, "the head stands beside its hole")


def _cracked(case: Case, head: Head, called: Called) -> None:
    """A rim stretched far, or metal gone hard."""
    case.speak_for(Cause.METAL_HARD, "cracks come of it")
    width_mm = head.width_mm
    if width_mm is None:
        return
    width_d = width_mm / called.shank_mm
    if width_d >= STRETCHED_D:
        case.speak_for(
            Cause.RIVET_LONG,
            "rim stretched far",
            2,
            width_ratio=width_d,
            most_ratio=STRETCHED_D,
        )


def _proud(case: Case, head: Head, called: Called) -> None:
    """A manufactured head that does not go down."""
    if called.code.is_flush:
        case.speak_for(Cause.DIMPLE_SHALLOW, "flush head stands proud", 2)
    else:
        case.speak_for(Cause.HOLE_NOT_SQUARE, "manufactured head does not lie flat")
    case.speak_for(Cause.DIRT_UNDER_HEAD, "manufactured head does not lie flat")


def _gap_head(case: Case, head: Head, called: Called) -> None:
    """Air under the manufactured head."""
    case.speak_for(Cause.DIRT_UNDER_HEAD, "manufactured head does not lie flat")
    case.speak_for(Cause.HOLE_NOT_SQUARE, "manufactured head does not lie flat", 2)
    case.speak_for(Cause.TOOL_TILTED, "manufactured head does not lie flat")


def _marked(case: Case, head: Head, called: Called) -> None:
    """A mark of the tool on the manufactured head."""
    case.speak_for(Cause.SET_SLIPPED, "mark on the head", 2)
    case.speak_for(Cause.TOOL_TILTED, "mark on the head")
    case.speak_for(Cause.CHIP_ON_DIE, "mark on the head")


def _open(case: Case, head: Head, called: Called) -> None:
    """Sheets that stood apart while the rivet was set."""
    case.speak_for(Cause.SHEETS_APART, "open sheets seen", 3)


def _gap_shop(case: Case, head: Head, called: Called) -> None:
    """Air under the shop head: it leans, or stands on a burr."""
    case.speak_for(Cause.TOOL_TILTED, "air under the shop head")
    case.speak_for(Cause.DIRT_UNDER_HEAD, "air under the shop head")


SEEN = {
    Look.LEANS: _leans,
    Look.BENT: _bent,
    Look.STEPPED: _stepped,
    Look.OFF_CENTRE: _off_centre,
    Look.CRACKED: _cracked,
    Look.PROUD: _proud,
    Look.GAP_HEAD: _gap_head,
    Look.GAP_SHOP: _gap_shop,
    Look.TOOL_MARK: _marked,
    Look.SHALLOW_MARK: _marked,
    Look.CUT: _marked,
    Look.OPEN_SHEETS: _open,
}


def _by_measure(case: Case, head: Head, called: Called) -> None:
    """A measure alone tells as much as the look it belongs to."""
    told = {
        Look.OFF_CENTRE: head.offset_mm,
        Look.PROUD: head.proud_mm,
        Look.LEANS: head.lean_deg,
    }
    for look, measure in told.items():
        if measure and look not in head.looks:
            SEEN[look](case, head, called)
