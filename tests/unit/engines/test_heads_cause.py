"""Causes of one head: metal, height, looks."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.engines.heads.entry import Look
from rivetwright.engines.heads.suspect import TESTS, Case, Cause
from rivetwright.engines.heads.volume import Amount, metal_of
from tests.unit.engines.heads_made import IN, called, causes, head, judged

LONGER = called("MS20470AD4-4")


def test_metal_of_the_rivet_called_for_is_right() -> None:
    """-4 in .064: (.250 - .064)/.125 - .0816 x .512 = 1.4880 - .0418 = 1.4462.

    .2125 x .0625: .0451563 x .0625 / .001953125 = 1.4450.
    """
    metal = metal_of(head(0.2125, 0.0625), LONGER)
    assert metal is not None
    assert metal.called.central == pytest.approx(1.4462, abs=0.0001)
    assert metal.found == pytest.approx(1.4450, abs=0.0001)
    assert metal.amount is Amount.RIGHT
    assert metal.nearest.length_16ths == 4
    assert metal.like_hole_mm is None


def test_metal_of_a_longer_rivet_names_it() -> None:
    """-5 leaves 1.4462 + .0625/.125 = 1.9462: .240 x .066 holds 1.9464."""
    verdict = judged(0.240, 0.066, LONGER)
    metal = metal_of(verdict.head, verdict.called)
    assert metal is not None
    assert metal.amount is Amount.MORE
    assert metal.nearest.length_16ths == Fraction(5)
    found = causes(verdict)
    assert next(iter(found)) is Cause.WRONG_LENGTH
    assert found[Cause.WRONG_LENGTH].speaks_for[0].figures["length_16ths"] == 5.0
    assert Cause.STACK_DIFFERS in found


def test_missing_metal_may_lie_in_the_hole_or_between_the_sheets() -> None:
    """-3 in place of -4: 1.4462 - .5 = .9462; .174 x .061 holds .9456.

    The .5006 missing would be a gap of .0626, or a hole with ((d/D)^2 - 1) x .512 =
    .0418 + .5006: d = .125 x sqrt(1 + 1.0594) = .1794. The next size needs .1563, so
    such a hole would have been seen.
    """
    verdict = judged(0.174, 0.061, LONGER)
    metal = metal_of(verdict.head, verdict.called)
    assert metal is not None
    assert metal.like_hole_mm == pytest.approx(0.1794 * IN, abs=0.0002 * IN)
    assert metal.like_gap_mm == pytest.approx(0.0626 * IN, abs=0.0001 * IN)
    found = causes(verdict)
    assert next(iter(found)) is Cause.WRONG_LENGTH
    assert found[Cause.OVERSIZE_HOLE].points < 0
    assert found[Cause.SHEETS_APART].points == 0


def test_open_sheets_seen_come_before_a_short_rivet() -> None:
    """The same head with open sheets: .0626 between them explains it."""
    found = causes(judged(0.174, 0.061, LONGER, looks=(Look.OPEN_SHEETS,)))
    assert next(iter(found)) is Cause.SHEETS_APART


def test_too_low_over_a_dimple_suspects_the_stand_off() -> None:
    """.180 x .034 on a dimpled 3/32: set too far, or the cone was left out."""
    dimpled = called("MS20426AD3-3.5", 0.020, 0.020, how="dimple")
    found = causes(judged(0.195, 0.034, dimpled))
    assert next(iter(found)) is Cause.SET_TOO_FAR
    assert Cause.STAND_OFF_FORGOTTEN in found
    assert Cause.STAND_OFF_FORGOTTEN not in causes(judged(0.235, 0.048))


def test_too_high_may_have_been_released_early() -> None:
    """Too high, metal 1.205 of 1.196 is right: not far enough, or let go early."""
    found = causes(judged(0.176, 0.076))
    assert list(found) == [Cause.NOT_FAR_ENOUGH, Cause.RELEASED_EARLY]
    assert found[Cause.NOT_FAR_ENOUGH].points == 3
    assert found[Cause.RELEASED_EARLY].test == "squeeze-again-and-hold"


def test_a_long_tail_that_bent_was_too_long() -> None:
    """-5 in .064: .2485/.125 = 1.99 D of tail, over 1.7 D."""
    bent = judged(0.194, 0.060, called("MS20470AD4-5"), looks=(Look.BENT,))
    assert next(iter(causes(bent))) is Cause.RIVET_LONG


@pytest.mark.parametrize(
    ("looks", "first"),
    [
        ((Look.STEPPED,), Cause.CHIP_ON_DIE),
        ((Look.OFF_CENTRE,), Cause.TOOL_TILTED),
        ((Look.GAP_HEAD,), Cause.HOLE_NOT_SQUARE),
        ((Look.GAP_SHOP,), Cause.TOOL_TILTED),
        ((Look.PROUD,), Cause.HOLE_NOT_SQUARE),
        ((Look.TOOL_MARK,), Cause.SET_SLIPPED),
        ((Look.CUT,), Cause.SET_SLIPPED),
        ((Look.CRACKED,), Cause.METAL_HARD),
        ((Look.LEANS,), Cause.TOOL_TILTED),
    ],
)
def test_what_is_seen_points_somewhere(looks: tuple[Look, ...], first: Cause) -> None:
    """A legal head, .194 wide, with one look: its likeliest cause."""
    assert next(iter(causes(judged(0.194, 0.060, looks=looks)))) is first


def test_a_loose_rivet_points_at_nothing() -> None:
    """Loose by hand has no cause of its own."""
    assert causes(judged(0.194, 0.060, looks=(Look.LOOSE,))) == {}


def test_a_measure_counts_as_its_look() -> None:
    """An offset in figures names the same causes as the look; both count once."""
    by_look = causes(judged(0.194, 0.060, looks=(Look.OFF_CENTRE,)))
    by_size = causes(judged(0.194, 0.060, offset_mm=0.3))
    both = causes(judged(0.194, 0.060, looks=(Look.OFF_CENTRE,), offset_mm=0.3))
    assert by_look == by_size == both


def test_an_unmeasured_crack_says_nothing_of_the_rim() -> None:
    """Without a width only hard metal is left."""
    assert list(causes(judged(None, 0.060, looks=(Look.CRACKED,)))) == [
        Cause.METAL_HARD
    ]


def test_a_head_that_is_asked_about_has_no_causes() -> None:
    """.63 high: first the question."""
    assert causes(judged(0.194, 0.63)) == {}


def test_every_cause_has_a_test() -> None:
    """Each cause names the test that tells it apart."""
    assert set(TESTS) == set(Cause)


def test_equal_suspects_keep_one_order() -> None:
    """Equal weight: in the order of the causes, whatever came first."""
    case = Case()
    case.speak_for(Cause.METAL_HARD, "cracks come of it")
    case.speak_for(Cause.RIVET_LONG, "the tail bent over")
    assert [one.cause for one in case.ranked()] == [Cause.RIVET_LONG, Cause.METAL_HARD]
