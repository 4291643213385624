"""A head as entered: gauge answers, and sizes that are asked about."""

from __future__ import annotations

import math

import pytest

from rivetwright.engines.heads.entry import (
    GaugeAnswer,
    Head,
    Known,
    Look,
    Side,
    Slip,
    questions,
)
from rivetwright.engines.heads.verdict import Overall
from tests.unit.engines.heads_made import IN, called, head, judged


def test_a_usual_head_is_not_asked_about() -> None:
    """.194 x .063 on 1/8: 1.55 D wide, 0.5 D high, near the metal called for."""
    assert questions(head(0.194, 0.063), called()) == ()


@pytest.mark.parametrize(
    ("width_in", "height_in", "field", "slip"),
    [
        (0.194, 0.63, "height_mm", Slip.POINT_TOO_FAR_RIGHT),
        (0.194, 0.0063, "height_mm", Slip.POINT_TOO_FAR_LEFT),
        (0.194, 63.0, "height_mm", Slip.THOUSANDTHS),
        (0.194, 1.6, "height_mm", Slip.MM_FOR_INCHES),
        (0.194 / 25.4, 0.063 / 25.4, "width_mm", Slip.INCHES_FOR_MM),
        (0.063, 0.194, "width_mm", Slip.SWAPPED),
        (4.93, 1.6, "width_mm", Slip.MM_FOR_INCHES),
    ],
)
def test_a_slip_is_named(
    width_in: float, height_in: float, field: str, slip: Slip
) -> None:
    """Each way of writing .194 x .063 wrongly: the likeliest reading is the right one.

    1.6 for .063 is 12.8 D high; 1.6 mm is .063 in. 4.93 mm is .194 in.
    """
    question = questions(head(width_in, height_in), called())[0]
    assert question.field == field
    assert question.meant[0].slip is slip
    meant = question.meant[0].head
    assert meant.width_mm == pytest.approx(0.194 * IN, rel=0.01)
    assert meant.height_mm == pytest.approx(0.063 * IN, rel=0.01)


def test_a_doubtful_head_is_not_judged_until_somebody_stands_by_it() -> None:
    """.63 high is asked about; confirmed, it is ten times too high and fails."""
    asked = judged(0.194, 0.63)
    assert asked.overall is Overall.NOT_JUDGED
    assert asked.remarks == ()
    stood_by = judged(0.194, 0.63, is_confirmed=True)
    assert stood_by.questions == ()
    assert stood_by.overall is Overall.FAILS


def test_metal_unlike_the_rivet_is_asked_about() -> None:
    """.130^2 x .030 / .125^3 = .26 D^3 of metal, and 1.196 is called for."""
    (question,) = questions(head(0.130, 0.030), called())
    assert question.field == "metal"
    assert question.slip is Slip.UNLIKE_THE_RIVET
    assert question.found == pytest.approx(0.2596 / 1.1962, abs=0.001)
    bent = head(0.130, 0.030, looks=(Look.BENT,))
    assert questions(bent, called()) == ()


def test_an_offset_of_a_head_is_asked_about() -> None:
    """.150 beside a 1/8 hole is more than its diameter; .015 was meant."""
    (question,) = questions(head(0.194, 0.063, offset_mm=0.150 * IN), called())
    assert question.field == "offset_mm"
    assert question.most == pytest.approx(0.125 * IN)
    assert question.meant[0].head.offset_mm == pytest.approx(0.015 * IN)


def test_a_gauge_encloses_a_size() -> None:
    """The slot of .070 does not go over, a step of .050 is reached: over .070."""
    answers = (
        GaugeAnswer(Side.MOST_HEIGHT, is_kept=False, size_mm=0.070 * IN),
        GaugeAnswer(Side.LEAST_HEIGHT, is_kept=True, size_mm=0.050 * IN),
        GaugeAnswer(Side.LEAST_WIDTH, is_kept=False, size_mm=0.163 * IN),
        GaugeAnswer(Side.MOST_WIDTH, is_kept=True),
    )
    found = Head(gauge=answers)
    assert found.height == Known(0.070 * IN, math.inf)
    assert found.width == Known(0.0, 0.163 * IN)
    assert not found.height.is_measured


def test_gauge_answers_that_contradict_are_asked_about() -> None:
    """A head cannot be over .070 and under .050."""
    answers = (
        GaugeAnswer(Side.MOST_HEIGHT, is_kept=False, size_mm=0.070 * IN),
        GaugeAnswer(Side.LEAST_HEIGHT, is_kept=False, size_mm=0.050 * IN),
    )
    (question,) = questions(Head(gauge=answers), called())
    assert question.slip is Slip.GAUGE_CONTRADICTS


def test_a_caliper_outranks_the_gauge() -> None:
    """A measured size is one figure, whatever the gauge says."""
    answers = (GaugeAnswer(Side.LEAST_WIDTH, is_kept=False, size_mm=4.0),)
    assert Head(width_mm=4.5, gauge=answers).width == Known(4.5, 4.5)
