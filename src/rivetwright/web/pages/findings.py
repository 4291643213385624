"""The pages of the findings: what each code checks, why, and what to do."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from rivetwright.engines.checks import CHECKS, Check
from rivetwright.engines.rules import REGISTRY, Rule
from rivetwright.errors import NotFound, nearest_hint
from rivetwright.web.pages.show import show

router = APIRouter()


@dataclass(frozen=True)
class Paragraph:
    """One paragraph of a finding's page: its heading, empty for none, and its words."""

    heading: str
    words: str


def paragraphs(check: Check) -> tuple[Paragraph, ...]:
    """The page of a check after its first line, paragraph by paragraph."""
    made = []
    for block in check.page.split("\n\n")[1:]:
        heading, colon, words = " ".join(block.split()).partition(": ")
        made.append(Paragraph(heading, words) if colon else Paragraph("", heading))
    return tuple(made)


def rules_of(check: Check) -> tuple[Rule, ...]:
    """The rules whose figures a check speaks of."""
    names = dict.fromkeys((check.quantity, check.limit, *check.fields))
    return tuple(REGISTRY[name] for name in names)


@router.get("/findings")
def finding_list(request: Request) -> Response:
    """Every code there is, by what it can hold up."""
    order = sorted(CHECKS.values(), key=lambda one: one.code)
    return show(request, "findings.html", here="/findings", checks=order)


@router.get("/findings/{code}")
def finding_show(request: Request, code: str) -> Response:
    """The page of one code."""
    check = CHECKS.get(code.upper())
    if check is None:
        raise NotFound(
            asked="open the page of a finding",
            found=code,
            allowed="a code of this program" + nearest_hint(code.upper(), CHECKS),
            do="choose one from the list of findings",
        )
    return show(
        request,
        "finding.html",
        here="/findings",
        check=check,
        paragraphs=paragraphs(check),
        rules=rules_of(check),
    )
