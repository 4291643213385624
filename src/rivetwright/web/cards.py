"""A hole's card as a page shows it: figures written, findings in words, its section."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from rivetwright.bench.hole import HoleCard, hole_card
from rivetwright.bench.open import Assembly
from rivetwright.standards.source import Status
from rivetwright.texts.say import FindingWords, say_finding
from rivetwright.web.figures import Figure, figure_of, system_of
from rivetwright.web.pictures import section_picture
from rivetwright.web.tool_lines import ShownTools, shown_tools


@dataclass(frozen=True)
class CardFinding:
    """A finding at a hole, in words, and the figure whose working explains it."""

    code: str
    severity: str
    words: FindingWords
    quantity: str


@dataclass(frozen=True)
class ShownCard:
    """A hole card ready for the page."""

    card: HoleCard
    groups: tuple[tuple[str, tuple[Figure, ...]], ...]
    findings: tuple[CardFinding, ...]
    section: Markup | None
    is_flush: bool
    tools: ShownTools | None

    @property
    def has_weak_figures(self) -> bool:
        """Whether any figure rests on less than what was read."""
        return self.card.status is not Status.READ


def card(assembly: Assembly, name: str) -> ShownCard:
    """The card of a hole.

    Raises:
        NotFound: the plan has no such hole.
    """
    worked_plan = assembly.worked_plan
    hole = worked_plan.worked.holes.index(name)
    known = hole_card(worked_plan, hole)
    system = system_of(worked_plan)
    groups = tuple(
        (title, tuple(figure_of(worked_plan, one) for one in figures))
        for title, figures in known.groups
    )
    findings = tuple(
        CardFinding(one.code, str(one.severity), say_finding(one, system), one.quantity)
        for one in known.findings
    )
    section = section_picture(worked_plan, hole)
    is_flush = bool(worked_plan.worked.at("is_flush", hole))
    tools = shown_tools(assembly, hole)
    return ShownCard(known, groups, findings, section, is_flush, tools)
