"""An answered finding stays a finding and no longer stops."""

from __future__ import annotations

import pytest

from rivetwright.bench.answers import answer_finding, answers_to
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import FactRefused
from tests.unit.bench.conftest import Phone

CODE, ROW = "LENGTH-01", "A11"


def worked(workshop: Workshop) -> WorkedPlan:
    """The aileron as it stands."""
    return workshop.now().assembly("aileron").worked_plan


def finding(workshop: Workshop) -> Finding:
    """A11's callout is a size too short."""
    plan = worked(workshop)
    (found,) = [
        one
        for one in plan.findings
        if one.code == CODE and one.worked.holes.row_of(one.holes[0]).name == ROW
    ]
    return found


def answer(workshop: Workshop, phone: Phone, **said: str) -> None:
    """The kit supplier answers, or what is said instead."""
    words = {"answer": "-3.5; the drawing will be corrected", "by": "supplier"} | said
    done = answer_finding(
        workshop, phone.sender, finding(workshop), saw=workshop.position(), **words
    )
    assert done.refused == ()


def test_answered_finding_stays(workshop: Workshop, phone: Phone) -> None:
    """As many findings as before; this one is answered, and stops no more."""
    before = worked(workshop)
    assert not before.is_answered(finding(workshop))
    answer(workshop, phone, document="letter of 2026-11-30")
    after = worked(workshop)
    assert [one.code for one in after.findings] == [one.code for one in before.findings]
    assert after.is_answered(finding(workshop))
    given = workshop.state().assembly("aileron").answers
    (one,) = answers_to(finding(workshop), given)
    assert (one.by, one.document) == ("supplier", "letter of 2026-11-30")


def test_answer_of_other_holes_is_none_of_this(
    workshop: Workshop, phone: Phone
) -> None:
    """An answer for A1 says nothing of A11, nor does one of another code."""
    for code, hole in ((CODE, "A1:1"), ("EDGE-01", "A11:1")):
        said = {"code": code, "answer": "fine", "by": "supplier"}
        assert not phone.record("finding-answered", hole, **said).refused
    given = workshop.state().assembly("aileron").answers
    assert len(given) == 2
    assert answers_to(finding(workshop), given) == ()
    assert not worked(workshop).is_answered(finding(workshop))


def test_answer_of_some_holes_does_not_answer_all(
    workshop: Workshop, phone: Phone
) -> None:
    """A11:1 alone was answered: the finding is shown with it and still stops."""
    said = {"code": CODE, "answer": "fine there", "by": "supplier"}
    phone.record("finding-answered", "A11:1", **said)
    given = workshop.state().assembly("aileron").answers
    assert len(answers_to(finding(workshop), given)) == 1
    assert not worked(workshop).is_answered(finding(workshop))


def test_answer_taken_back_stops_again(workshop: Workshop, phone: Phone) -> None:
    """The letter was about another aircraft."""
    answer(workshop, phone)
    (one,) = workshop.state().assembly("aileron").answers
    phone.record("undone", fact=one.fact, reason="not about this one")
    assert not worked(workshop).is_answered(finding(workshop))


@pytest.mark.parametrize("said", [{"answer": " "}, {"by": ""}])
def test_answer_without_words_or_name_is_refused(
    workshop: Workshop, phone: Phone, said: dict[str, str]
) -> None:
    """Nothing is recorded."""
    before = workshop.position()
    with pytest.raises(FactRefused):
        answer(workshop, phone, **said)
    assert workshop.position() == before
