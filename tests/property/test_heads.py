"""Laws of heads: limits, metal, questions, decisions."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from rivetwright.engines.heads.again import Again, squeeze_again
from rivetwright.engines.heads.called import Called
from rivetwright.engines.heads.cause import suspects
from rivetwright.engines.heads.decide import Action, History, decide
from rivetwright.engines.heads.entry import Head, Look, questions
from rivetwright.engines.heads.sampling import SetHead, heads_due
from rivetwright.engines.heads.square import lean_of_shift_deg, off_square
from rivetwright.engines.heads.verdict import Overall, Standing, judge
from rivetwright.engines.heads.volume import metal_of
from tests.unit.engines.heads_made import IN, called

CALLED = (
    called(),
    called("MS20470AD4-4"),
    called("MS20470AD3-3"),
    called("MS20426AD3-3", 0.020, 0.020, how="dimple"),
    called("MS20470AD5-5"),
)
rivets = st.sampled_from(CALLED)
inches = st.floats(0.02, 0.35, allow_nan=False)
looks = st.frozensets(st.sampled_from(Look), max_size=3)
heads = st.builds(
    lambda width, height, seen: Head(width * IN, height * IN, looks=seen),
    inches,
    inches,
    looks,
)
histories = st.builds(
    History, st.integers(0, 3), st.integers(0, 2), st.integers(0, 4), st.booleans()
)


@given(heads, rivets)
def test_a_head_confirmed_is_always_judged(head: Head, rivet: Called) -> None:
    """A person who stands by a size gets a verdict; a doubtful one gets none."""
    asked = judge(head, rivet)
    assert (asked.overall is Overall.NOT_JUDGED) == bool(questions(head, rivet))
    assert judge(replace(head, is_confirmed=True), rivet).questions == ()


@given(heads, rivets)
def test_what_was_meant_is_itself_believed(head: Head, rivet: Called) -> None:
    """No reading is offered that would be asked about at the same size again."""
    for question in questions(head, rivet):
        for meant in question.meant:
            again = {one.field for one in questions(meant.head, rivet)}
            assert question.field not in again


@given(heads, rivets)
def test_passing_and_failing_exclude_each_other(head: Head, rivet: Called) -> None:
    """A measured head stands one way against each set that prints its size."""
    verdict = judge(head, rivet)
    assert not set(verdict.passes) & set(verdict.fails)
    for one in (verdict.chosen, *verdict.others):
        assert bool(one.broken) == (
            one.standing in (Standing.FAILS, Standing.OFF_TARGET)
        )


@given(inches, inches, rivets)
def test_metal_does_not_change_when_a_head_is_squeezed(
    width: float,
    height: float,
    rivet: Called,
) -> None:
    """Half the height at sqrt 2 the width is the same metal and the same length."""
    one = metal_of(Head(width * IN, height * IN), rivet)
    two = metal_of(Head(width * IN * 2**0.5, height * IN / 2), rivet)
    assert one is not None
    assert two is not None
    assert abs(one.found - two.found) < 1e-9 * max(one.found, 1)
    assert one.nearest.length_16ths == two.nearest.length_16ths


@given(heads, rivets)
def test_squeezing_again_ends_inside_the_limits(head: Head, rivet: Called) -> None:
    """Where it is offered, the head comes out legal by its own metal, and lower."""
    head = replace(head, looks=frozenset())
    again = squeeze_again(head, rivet, metal_of(head, rivet))
    if isinstance(again, Again):
        made = Head(again.width_mm, again.target_mm, is_confirmed=True)
        assert judge(made, rivet).chosen.standing is Standing.PASSES
        assert head.height_mm is not None
        assert 0 < again.target_mm < head.height_mm
        assert again.shim_more_mm.low > 0


@given(heads, rivets, histories)
def test_only_a_legal_head_is_left(head: Head, rivet: Called, history: History) -> None:
    """Left means inside the limits and nothing against it; every decision has a why."""
    verdict = judge(head, rivet)
    decision = decide(verdict, suspects(verdict), history)
    assert decision.reasons
    if decision.action is Action.LEAVE:
        assert verdict.overall is Overall.PASSES
    if decision.action is Action.SQUEEZE_AGAIN:
        assert decision.again is not None


@given(heads, rivets)
def test_suspects_come_heaviest_first(head: Head, rivet: Called) -> None:
    """Ranked by weight, each once, each with something that speaks for it."""
    found = suspects(judge(replace(head, is_confirmed=True), rivet))
    points = [one.points for one in found]
    assert points == sorted(points, reverse=True)
    assert len({one.cause for one in found}) == len(found)
    assert all(one.speaks_for for one in found)


@given(st.lists(st.booleans(), max_size=60))
def test_measuring_what_is_due_leaves_nothing_due(measured: list[bool]) -> None:
    """Once every head that was asked for is measured, the plan is kept."""
    every = [SetHead(f"{k}", one) for k, one in enumerate(measured)]
    due = {one.name for one in heads_due(every)}
    done = [
        replace(one, is_measured=one.is_measured or one.name in due) for one in every
    ]
    assert heads_due(done) == ()


@given(
    st.floats(0.02, 0.5),
    st.floats(0.0, 20.0),
    st.floats(0.0, 0.01),
    st.floats(0.1, 0.4),
)
def test_what_is_left_never_exceeds_the_wedge(
    grip: float, lean: float, play: float, head_width: float
) -> None:
    """Play only helps; and the far side tells the lean back."""
    found = off_square(0.125, 0.125 + play, grip, head_width, lean)
    assert 0 <= found.left_mm <= found.wedge_mm + 1e-12
    assert abs(lean_of_shift_deg(found.shift_mm, grip) - lean) < 1e-9
