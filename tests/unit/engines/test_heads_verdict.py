"""A head against its limits, and what is seen against its sources."""

from __future__ import annotations

from typing import Any

import pytest

from rivetwright.engines.heads.called import called_at
from rivetwright.engines.heads.entry import GaugeAnswer, Head, Look, Side
from rivetwright.engines.heads.seen import Level
from rivetwright.engines.heads.verdict import Overall, Standing, judge
from tests.unit.engines.heads_made import IN, called, judged
from tests.unit.engines.small import blind, through

FLUSH = "MS20426AD3-3"


def level(of: str = "MS20470AD4-3.5", **seen: Any) -> Level:
    """What the first remark on a legal head asks for."""
    size = (0.148, 0.044) if of == FLUSH else (0.194, 0.060)
    how = "dimple" if of == FLUSH else "plain"
    sheets = (0.020, 0.020) if of == FLUSH else ()
    return judged(*size, called(of, *sheets, how=how), **seen).remarks[0].level


def test_every_other_set_is_shown() -> None:
    """The chosen set once, the others once each, each with its row and source."""
    verdict = judged(0.194, 0.060)
    names = [verdict.chosen.limit_set, *(one.limit_set for one in verdict.others)]
    assert len(names) == len(set(names)) == 6
    for one in (verdict.chosen, *verdict.others):
        assert one.source is not None
        assert one.row


def test_the_set_chosen_by_the_project_decides() -> None:
    """.170 x .045 is under .050 of the default set; MIL-HDBK-5H asks .0375 alone."""
    assert judged(0.170, 0.045).overall is Overall.FAILS
    chosen = judged(0.170, 0.045, called(limit_set="MIL-HDBK-5H"))
    assert chosen.overall is Overall.PASSES
    assert "MIL-R-47196A" in chosen.fails


def test_a_size_that_a_set_does_not_print_is_no_verdict() -> None:
    """The pocket handbook prints 1/8 alone: a 3/32 head is asked about."""
    verdict = judged(0.150, 0.045, called("MS20470AD3-3", limit_set="pocket handbook"))
    assert verdict.chosen.standing is Standing.NOT_PRINTED
    assert verdict.overall is Overall.ASK


def test_a_single_figure_without_tolerance_fails_nobody() -> None:
    """The wartime handbook prints .188 x .063: .194 x .060 is beside it, no more."""
    verdict = judged(0.194, 0.060)
    (wartime,) = [o for o in verdict.others if o.limit_set == "wartime handbook"]
    assert wartime.standing is Standing.OFF_TARGET
    assert "wartime handbook" not in verdict.fails + verdict.passes


def test_a_gauge_of_another_size_may_not_decide() -> None:
    """Reaching a 1.5 D gauge, .1875, decides .163; falling short of it does not."""
    kept = GaugeAnswer(Side.LEAST_WIDTH, is_kept=True, size_mm=0.1875 * IN)
    short = GaugeAnswer(Side.LEAST_WIDTH, is_kept=False, size_mm=0.1875 * IN)
    wide = judge(Head(height_mm=0.060 * IN, gauge=(kept,)), called())
    assert wide.chosen.standing is Standing.PASSES
    unsure = judge(Head(height_mm=0.060 * IN, gauge=(short,)), called())
    assert unsure.chosen.unknown == ("too narrow",)
    assert unsure.overall is Overall.MEASURE


def test_a_gauge_can_fail_a_head() -> None:
    """The slot of .070 does not go over: too high, whatever the height is."""
    slot = GaugeAnswer(Side.MOST_HEIGHT, is_kept=False, size_mm=0.072 * IN)
    verdict = judge(Head(width_mm=0.196 * IN, gauge=(slot,)), called())
    assert verdict.has("too high")


def test_a_head_not_measured_wants_a_measure() -> None:
    """Nothing is known: no limit is broken, none is met."""
    assert judge(Head(), called()).overall is Overall.MEASURE


def test_a_crack_is_asked_about_and_a_flat_cracked_head_comes_out() -> None:
    """Excessively flat with cracks is replaced; a crack on a legal head is asked."""
    cracked = (Look.CRACKED,)
    assert judged(0.194, 0.060, looks=cracked).remarks[0].level is Level.ASK
    assert judged(0.230, 0.045, looks=cracked).remarks[0].level is Level.REPLACE


@pytest.mark.parametrize("look", [Look.GAP_HEAD, Look.GAP_SHOP])
@pytest.mark.parametrize(
    ("gap_in", "share", "expected"),
    [
        (None, None, Level.MEASURE),
        (0.001, 1.0, Level.FINE),
        (0.002, None, Level.MEASURE),
        (0.002, 0.40, Level.ASK),
        (0.003, 0.41, Level.REPLACE),
    ],
)
def test_a_gap_is_as_bad_as_the_feeler_says(
    look: Look, gap_in: float | None, share: float | None, expected: Level
) -> None:
    """.002 in over more than 40 % of the rim: out; less of it is asked about."""
    gap = None if gap_in is None else gap_in * IN
    assert level(looks=(look,), gap_mm=gap, gap_share=share) is expected


@pytest.mark.parametrize(
    ("of", "look", "mark_in", "expected"),
    [
        ("MS20470AD4-3.5", Look.TOOL_MARK, None, Level.MEASURE),
        ("MS20470AD4-3.5", Look.SHALLOW_MARK, None, Level.FINE),
        ("MS20470AD4-3.5", Look.TOOL_MARK, 0.0135, Level.FINE),
        ("MS20470AD4-3.5", Look.SHALLOW_MARK, 0.014, Level.REPLACE),
        (FLUSH, Look.SHALLOW_MARK, None, Level.REPLACE),
    ],
)
def test_a_mark_may_be_a_quarter_of_a_standing_head(
    of: str, look: Look, mark_in: float | None, expected: Level
) -> None:
    """A 1/8 universal head is .054 high: .0135 may be; on a flush head none."""
    mark = None if mark_in is None else mark_in * IN
    assert level(of, looks=(look,), mark_mm=mark) is expected


@pytest.mark.parametrize(
    ("offset_in", "expected"),
    [(None, Level.MEASURE), (0.031, Level.FINE), (0.032, Level.REPLACE)],
)
def test_off_centre_is_allowed_while_the_hole_is_covered(
    offset_in: float | None, expected: Level
) -> None:
    """A head .194 wide over .1315 at most: (.194 - .1315)/2 = .03125 may be."""
    offset = None if offset_in is None else offset_in * IN
    assert level(looks=(Look.OFF_CENTRE,), offset_mm=offset) is expected


@pytest.mark.parametrize(
    ("lean_deg", "expected"),
    [(None, Level.MEASURE), (5.0, Level.FINE), (6.0, Level.REPLACE)],
)
def test_a_lean_is_allowed_while_both_sides_keep_to_the_limits(
    lean_deg: float | None, expected: Level
) -> None:
    """.060 has .010 to either limit; .194/2 x tan 5 deg = .0085, tan 6 deg = .0102."""
    assert level(looks=(Look.LEANS,), lean_deg=lean_deg) is expected


def test_a_lean_without_limits_is_not_held_against_it() -> None:
    """The wartime handbook prints no 3/32: nothing says how much is left."""
    of = called("MS20470AD3-3", limit_set="wartime handbook")
    assert judged(0.150, 0.045, of, lean_deg=5.0).remarks[0].level is Level.FINE


@pytest.mark.parametrize(
    ("proud_in", "expected"),
    [(None, Level.MEASURE), (0.006, Level.FINE), (0.007, Level.ASK)],
)
def test_a_flush_head_of_3_32_may_stand_proud_a_little(
    proud_in: float | None, expected: Level
) -> None:
    """.006 before it is shaved, quoted for 3/32."""
    proud = None if proud_in is None else proud_in * IN
    assert level(FLUSH, looks=(Look.PROUD,), proud_mm=proud) is expected


def test_other_flush_heads_that_stand_proud_are_asked_about() -> None:
    """No figure was seen for 1/8; a universal head that stands off has a gap."""
    flush = called("MS20426AD4-4", 0.032, 0.032, how="dimple")
    proud = judged(0.170, 0.060, flush, proud_mm=0.002 * IN).remarks[0]
    assert proud.level is Level.ASK
    assert level(looks=(Look.PROUD,)) is Level.MEASURE


@pytest.mark.parametrize("look", [Look.BENT, Look.OPEN_SHEETS, Look.LOOSE, Look.CUT])
def test_some_things_never_stay(look: Look) -> None:
    """A bent tail, open sheets, a loose rivet, a cut head: replaced."""
    assert level(looks=(look,)) is Level.REPLACE


def test_two_levels_want_a_measure() -> None:
    """A stepped head is measured on both levels."""
    assert level(looks=(Look.STEPPED,)) is Level.MEASURE


def test_a_blind_rivet_has_no_shop_head_to_judge() -> None:
    """What is called for is None where it is no solid rivet."""
    found = through(
        (0.032, "plain"), (0.032, "plain"), code=blind("BD4-2", ".06", ".12")
    )
    assert called_at(found.worked, 0) is None
