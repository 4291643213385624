"""What a file says had happened is what the record says once it was begun."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.bench.begin import Begun, plan_facts
from rivetwright.bench.now import HoleIds, opening_now
from rivetwright.model.columns import expand, parse_hole_range
from rivetwright.model.plan import Plan
from rivetwright.record.chain import Entry, Head, link
from rivetwright.record.fact import Fact
from rivetwright.record.fold import fold
from tests.property.strategies import plans

BEGUN = Begun("project", "builder", datetime(2036, 1, 1, tzinfo=UTC))
ARRIVED = "2036-01-01T00:00:00.000Z"


def entries(facts: Sequence[Fact]) -> list[Entry]:
    """Facts in a chain."""
    head, chain = Head(), []
    for fact in facts:
        chain.append(link(head, ARRIVED, fact))
        head = Head(chain[-1].seq, chain[-1].digest)
    return chain


def holes_of(ids: HoleIds, written: Sequence[str]) -> set[int]:
    """Holes of ranges as a plan names them."""
    return {at for text in written for at in ids.holes.indices(parse_hole_range(text))}


@given(plans())
@settings(max_examples=25)
def test_record_says_what_the_file_said(plan: Plan) -> None:
    """Holds, questions, deliveries, steps, hours and heads are the same.

    Drilled holes are those of `drilled` and of the log; what is said without a day
    counts last, so a hole named in `set` that the log does not set is set.
    """
    ids = HoleIds(expand(plan))
    said = plan.opening
    state = fold(entries(plan_facts(ids, BEGUN, "d" * 64)))
    now = opening_now(ids, state, [one.part for one in said.deliveries])
    for field in ("holds", "deliveries", "hours"):
        assert getattr(now, field) == getattr(said, field), field
    assert {(one.step, one.state) for one in now.steps} == {
        (one.step, one.state) for one in said.steps
    }
    assert [(one.id, one.holes, one.text, one.answer) for one in now.questions] == [
        (one.id, one.holes, one.text, one.answer) for one in said.questions
    ]
    assert [(one.hole, one.width_mm, one.height_mm) for one in now.heads] == [
        (one.hole, one.width_mm, one.height_mm) for one in said.heads
    ]
    logged = [one for one in said.done if one.operation == "drilled"]
    drilled = holes_of(ids, [*said.drilled, *(h for one in logged for h in one.holes)])
    assert holes_of(ids, now.drilled) == drilled
    is_logged = {one.operation for one in said.done} & {"set", "removed"}
    if not is_logged:
        assert holes_of(ids, now.set_holes) == holes_of(ids, said.set_holes)


@given(plans(), st.datetimes(datetime(2020, 1, 1), datetime(2035, 12, 31)))
@settings(max_examples=25)
def test_facts_of_an_opening_are_made_once(plan: Plan, moment: datetime) -> None:
    """Whenever it is begun: the same ids, none twice, and none later than then."""
    ids = HoleIds(expand(plan))
    now = moment.replace(tzinfo=UTC)
    begun = Begun("project", "builder", now)
    facts = plan_facts(ids, begun, "d" * 64)
    assert [fact.id for fact in facts] == [
        fact.id for fact in plan_facts(ids, BEGUN, "d" * 64)
    ]
    assert len({fact.id for fact in facts}) == len(facts)
    assert all(fact.happened[:19] <= f"{now:%Y-%m-%dT%H:%M:%S}" for fact in facts)
    assert [fact.device_seq for fact in facts] == list(range(1, len(facts) + 1))
