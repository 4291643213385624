"""Offset of the dies and spring of the yoke, from heads and before any."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rivetwright.engines.learning.offset import Learnt, learn, spring_before
from rivetwright.engines.squeeze.spring import judged_stiffness_n_mm, spring_of
from rivetwright.engines.squeeze.taught import BY_PHYSICS, Basis, DieSet
from rivetwright.errors import NotFound
from rivetwright.standards.source import Status
from tests.unit.engines.made_heads import (
    EIGHTH,
    IN,
    LARGER,
    MIL,
    RIGID_MM,
    STIFF,
    UNKNOWN,
    lifted,
    sprung,
)


def test_before_a_head_everything_is_by_physics() -> None:
    """No offset give or take 8 thousandths, the judged spring give or take 60 %.

    At 1000 N the spread is the root of 0.2032^2 and (0.6 x 1000 / k)^2.
    """
    learnt = learn([], [UNKNOWN])
    told = learnt.lift(EIGHTH, 1000.0)
    opens = 1 / judged_stiffness_n_mm(UNKNOWN.reach_mm)
    assert told.basis is Basis.PHYSICS
    assert told.heads_count == 0
    assert told.band_mm.central == pytest.approx(1000 * opens)
    expected = ((8 * MIL) ** 2 + (0.6 * 1000 * opens) ** 2) ** 0.5
    assert told.spread_mm == pytest.approx(expected)
    assert learnt.spring("Y") == spring_of(UNKNOWN)
    assert learnt.taught().of(EIGHTH) == BY_PHYSICS
    assert learnt.taught().spring(UNKNOWN) == spring_of(UNKNOWN)


def test_a_stiffness_that_was_given_is_kept() -> None:
    """No prior spread, and no head changes it."""
    assert spring_before(STIFF) == (1e-12, 0.0)
    learnt = learn(lifted([4.0] * 6), [STIFF])
    assert learnt.spring("Y") == spring_of(STIFF)


def test_heads_that_all_stand_four_thousandths_high() -> None:
    """Twenty at +4 give an offset just under 4, by the pull of nought give or take 8.

    Each of the twenty pulls with 5/4 of 1 / s^2, s under 2.5: the pull of nought is
    1 / 64 against more than 20 x 5/4 / 6.25 = 4, so it takes less than 0.4 % of 4.
    """
    told = learn(lifted([4.0] * 20), [STIFF]).lift(EIGHTH, 0.0)
    assert 3.98 * MIL < told.band_mm.central < 4 * MIL
    assert told.basis is Basis.HEADS
    assert (told.heads_count, told.slips_count) == (20, 0)


def test_two_forces_tell_offset_and_spring_apart() -> None:
    """Two sizes of rivet without scatter: both come out within a tenth.

    Dies are the same for both gaps of each size, so that the spring shows within one
    set of dies: a head at 0.060 in and one at 0.045 in of the same rivet.
    """
    offset, opens = 5 * MIL, 2 / judged_stiffness_n_mm(UNKNOWN.reach_mm)
    heads = [
        one
        for dies in (EIGHTH, LARGER)
        for rigid in (RIGID_MM, 0.75 * RIGID_MM)
        for one in sprung(offset, opens, 40, dies, rigid)
    ]
    learnt = learn(heads, [UNKNOWN]).yokes["Y"]
    assert learnt.opens_mm_n.central == pytest.approx(opens, rel=0.1)
    for dies in (EIGHTH, LARGER):
        assert learnt.lift(dies, 0.0).band_mm.central == pytest.approx(offset, rel=0.1)


def test_one_force_cannot_tell_offset_and_spring_apart() -> None:
    """All heads alike: how high they come is known well, the spring hardly better."""
    heads = sprung(5 * MIL, 1 / judged_stiffness_n_mm(UNKNOWN.reach_mm), 40)
    before, after = learn([], [UNKNOWN]), learn(heads, [UNKNOWN])
    told = after.head(heads[0])
    assert told.band_mm.central == pytest.approx(heads[0].height_mm, abs=0.2 * MIL)
    assert told.spread_mm < before.head(heads[0]).spread_mm / 5

    def wide(learnt: Learnt) -> float:
        band = learnt.yokes["Y"].opens_mm_n
        return band.high - band.low

    assert wide(after) > wide(before) / 2


def test_a_spring_that_was_learnt_says_so() -> None:
    """Its source is the builder's own heads, and the band is what the engine takes."""
    spring = learn(sprung(0.0, 1e-5, 10), [UNKNOWN]).spring("Y")
    assert spring.source.status is Status.OWN_TEST
    assert not spring.is_known
    assert spring.low_mm_n <= spring.mm_n <= spring.high_mm_n


def test_no_yoke_springs_shut() -> None:
    """Narrow heads lower at the higher force would need that: it counts as rigid."""
    heads = [*sprung(0.0, 0.0, 30), *sprung(-20 * MIL, 0.0, 30, rigid_mm=45 * MIL)]
    assert learn(heads, [UNKNOWN]).yokes["Y"].opens_mm_n.central == 0


def test_a_new_period_forgets_the_offset_and_keeps_the_spring() -> None:
    """Forty old heads at +10 weigh nothing in the offset of three new ones at -2."""
    heads = [*lifted([10.0] * 40), *lifted([-2.0] * 3, period=1)]
    told = learn(heads, [STIFF]).lift(EIGHTH, 0.0)
    alone = learn(lifted([-2.0] * 3), [STIFF]).lift(EIGHTH, 0.0)
    assert told.heads_count == 3
    assert told.band_mm.central == pytest.approx(alone.band_mm.central, rel=0.02)


def test_stalled_heads_and_other_yokes_are_passed_over() -> None:
    """Nothing is learnt of a stalled head, nor of a yoke that the shop has not."""
    stalled = [replace(one, is_stalled=True) for one in lifted([40.0] * 9)]
    other = [
        replace(one, dies=replace(EIGHTH, yoke="gone")) for one in lifted([40.0] * 9)
    ]
    learnt = learn([*stalled, *other], [STIFF])
    assert learnt.lift(EIGHTH, 0.0).basis is Basis.PHYSICS
    assert list(learnt.yokes) == ["Y"]


def test_an_unsure_dimple_widens_what_is_known_beforehand() -> None:
    """A range of 2 x 16 thousandths is one of 8 as a spread: root of 8^2 + 8^2."""
    (one,) = lifted([0.0])
    unsure = replace(one, unsure_mm=16 * MIL)
    sure_band = learn([one], [STIFF]).lift(EIGHTH, 0.0)
    unsure_band = learn([unsure], [STIFF]).lift(EIGHTH, 0.0)
    # Precisions add: 1 / spread^2 = prior + 5/7 / scatter^2.
    told = 5 / 7 / unsure_band.scatter_mm**2
    expected = (told + 1 / (128 * MIL**2)) ** -0.5
    assert unsure_band.spread_mm == pytest.approx(expected)
    assert sure_band.spread_mm < unsure_band.spread_mm


def test_a_yoke_the_shop_has_not_is_refused() -> None:
    """The refusal names what was asked, found and allowed."""
    with pytest.raises(NotFound, match="gone") as refused:
        learn([], [STIFF]).lift(replace(EIGHTH, yoke="gone"), 0.0)
    assert refused.value.allowed.startswith("Y")


def test_a_slip_is_counted_as_one() -> None:
    """Eleven heads at +4 and one at +40."""
    told = learn(lifted([4.0] * 11 + [40.0]), [STIFF]).lift(EIGHTH, 0.0)
    assert (told.heads_count, told.slips_count) == (12, 1)
    assert told.band_mm.central == pytest.approx(4 * MIL, abs=0.5 * MIL)


def test_other_dies_in_a_learnt_yoke_profit_from_its_spring() -> None:
    """Their own offset is still unknown; a given stiffness is no learning."""
    learnt = learn(sprung(0.0, 1e-5, 10), [UNKNOWN])
    assert learnt.lift(LARGER, 1000.0).basis is Basis.YOKE
    assert learnt.lift(LARGER, 1000.0).heads_count == 0
    given = learn(lifted([4.0] * 10), [STIFF])
    assert given.lift(LARGER, 1000.0).basis is Basis.PHYSICS


def test_what_was_taught_as_the_squeezer_takes_it() -> None:
    """Keyed by the whole set of dies: an offset of 4 thousandths, its count, its band.

    With a given stiffness no spring is among what was taught, and other dies of that
    yoke stay by physics; so do dimpled stacks of the same size.
    """
    dies = DieSet("squeezer", "Y", 4, False)
    learnt = learn(lifted([4.0] * 400, dies), [STIFF])
    taught = learnt.taught()
    assert list(taught.dies) == [dies]
    assert taught.springs == {}
    told = taught.of(dies)
    assert told.offset_mm == pytest.approx(4 * MIL, rel=1e-3)
    assert (told.basis, told.heads_count, told.slips_count) == (Basis.HEADS, 400, 0)
    assert taught.of(replace(dies, is_dimpled=True)) == BY_PHYSICS
    assert taught.of(replace(dies, squeezer="hand")) == BY_PHYSICS


@pytest.mark.parametrize("force", [0.0, 1000.0, 9000.0])
def test_what_was_taught_has_the_band_of_the_fit(force: float) -> None:
    """Spread of offset + force x spring: a quadratic in the force."""
    learnt = learn(sprung(3 * MIL, 1e-5, 10), [UNKNOWN])
    told, lift = learnt.taught().of(EIGHTH), learnt.lift(EIGHTH, force)
    spring = learnt.taught().springs["Y"]
    assert told.spread_mm(force) == pytest.approx(lift.spread_mm)
    assert told.offset_mm + force * spring.mm_n == pytest.approx(lift.band_mm.central)
    half = (lift.band_mm.high - lift.band_mm.low) / 2
    assert told.middle_half_mm(force) == pytest.approx(half)


def test_other_dies_of_a_learnt_yoke_are_told_by_its_spring() -> None:
    """Their offset is nought give or take 8 thousandths; the spring is learnt."""
    told = learn(sprung(0.0, 1e-5, 10), [UNKNOWN]).taught().of(LARGER)
    assert told.basis is Basis.YOKE
    assert told.offset_mm == 0
    assert told.offset_spread_mm == pytest.approx(8 * MIL)


def test_a_head_is_foretold_with_its_spread() -> None:
    """The next head stands about the band's middle: root of both squares."""
    told = learn(lifted([4.0] * 5), [STIFF]).head(lifted([0.0])[0])
    both = told.spread_mm**2 + told.scatter_mm**2
    assert told.head_spread_mm**2 == pytest.approx(both)
    assert told.band_mm.central == pytest.approx(0.064 * IN, abs=0.2 * MIL)
