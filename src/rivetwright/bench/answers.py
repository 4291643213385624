"""Answers to findings: who said what, in which document. They stay visible.

A finding whose every hole was answered no longer stops; it is still shown.
"""

from __future__ import annotations

from collections.abc import Iterable

from rivetwright.bench.keep import Answer, Sender, keep_here
from rivetwright.bench.now import HoleIds
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.checks import Finding
from rivetwright.errors import FactRefused
from rivetwright.record.kinds import FindingAnswered
from rivetwright.record.state import Answered


def answers_to(finding: Finding, answers: Iterable[Answered]) -> tuple[Answered, ...]:
    """The answers that speak of a finding's holes, oldest first."""
    ids = HoleIds(finding.worked.holes)
    holes = set(finding.holes)
    return tuple(
        one
        for one in answers
        if one.code == finding.code and holes.intersection(ids.indices(one.holes))
    )


def answer_finding(
    workshop: Workshop,
    sender: Sender,
    finding: Finding,
    *,
    answer: str,
    by: str,
    document: str = "",
    saw: int,
) -> Answer:
    """Record an answer to a finding.

    Raises:
        FactRefused: it says nothing, or not who said it.
    """
    if not answer.strip() or not by.strip():
        raise FactRefused(
            asked=f"answer {finding.code}",
            found="no words, or nobody who said them",
            allowed="what was answered, and by whom",
            do="write both; name the letter or message too, where there is one",
        )
    plan = finding.worked.plan
    body = FindingAnswered(
        finding.code,
        HoleIds(finding.worked.holes).ranges(finding.holes),
        answer.strip(),
        by.strip(),
        document.strip(),
    )
    return keep_here(
        workshop, sender, body, assembly=plan.id, revision=plan.revision, saw=saw
    )
