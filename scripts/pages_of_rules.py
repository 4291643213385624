"""Pages about findings and quantities, from the checks and rules themselves."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from rivetwright.bench.statuses import Statuses
from rivetwright.engines.checks import CHECKS, Check
from rivetwright.engines.rules import (
    FORMULA,
    GEOMETRY,
    GIVEN,
    REGISTRY,
    SEARCH,
    TABLE,
    Rule,
)
from rivetwright.model.severity import Severity
from rivetwright.standards.source import Source, Status
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import say_about, say_title
from scripts.every_rivet import every_rivet

MADE = "<!-- Made by scripts/write_docs.py; change the code, not this page. -->"
PARTS = ("found", "allowed", "do")
KINDS = {
    GIVEN: "What the drawing gives",
    TABLE: "Looked up in a named table",
    FORMULA: "Worked out by a formula",
    GEOMETRY: "Measured on the outlines",
    SEARCH: "Chosen or found by a search",
}


def _paragraphs(check: Check) -> Iterator[str]:
    """The page of a check after its first line; its headings in bold."""
    for block in check.page.split("\n\n")[1:]:
        heading, colon, words = " ".join(block.split()).partition(": ")
        if colon and len(heading.split()) <= 4:
            yield f"**{heading}.** {words[:1].upper()}{words[1:]}"
        else:
            yield heading + colon + words


def _quantity_line(name: str) -> str:
    """A quantity with a link to where it is described."""
    return f"[{say_title(name)}](../quantities.md#{name})"


def _compared_line(name: str) -> str:
    """A quantity that a finding rests on, with its formula."""
    rule = REGISTRY[name]
    formula = f"`{name} = {rule.formula}`" if rule.kind == FORMULA else rule.formula
    return f"- {_quantity_line(name)}: {formula}"


def _also(names: Sequence[str]) -> Iterator[str]:
    """What else a finding's sentences speak of, where there is anything."""
    if names:
        yield f"It also speaks of: {', '.join(map(_quantity_line, names))}."


def _with_titles(sentence: str) -> str:
    """A sentence of the catalogue with its places for figures in words."""

    def words(place: re.Match[str]) -> str:
        name = place[1]
        if name in REGISTRY.rules:
            title = say_title(name)
            return f"*{title[:1].lower()}{title[1:]}*"
        plain = name.removeprefix("witness_").removesuffix("_mm")
        return f"*{plain.replace('_', ' ')}*"

    return re.sub(r"\{(\w+)\}", words, sentence)


def finding_page(check: Check, rows: Mapping[str, tuple[Source, ...]]) -> str:
    """The page of one code; `rows` gives the sources of looked-up limits."""
    words = catalogue().section("finding")[check.code]
    compared = dict.fromkeys((check.quantity, check.limit))
    others = [name for name in dict.fromkeys(check.fields) if name not in compared]
    sources = rows.get(check.limit) or (REGISTRY[check.limit].source,)
    replaces = f" It takes the place of {', '.join(check.over)} at the same hole."
    lines = [
        MADE,
        f"# {check.code}: {check.title}",
        f"**{check.severity}** ({catalogue().word('severity_means', check.severity)})."
        + (replaces if check.over else ""),
        *_paragraphs(check),
        "It is told like this, its figures in the project's unit:",
        "\n".join(f"- {part}: {_with_titles(words[part])}" for part in PARTS),
        "What is compared:\n\n" + "\n".join(map(_compared_line, compared)),
        *_also(others),
        f"What is allowed comes from:\n\n{_sources(sources)}",
        "[All findings](README.md)",
    ]
    return "\n\n".join(lines) + "\n"


def finding_index() -> str:
    """The list of all codes, by severity."""
    lines = [
        MADE,
        "# Findings",
        "A finding has a stable code, the holes it stands at, what was found, what is "
        "allowed, the source of that, and what to do now. A code is never used again "
        "for something else.",
    ]
    for severity in Severity:
        means = catalogue().word("severity_means", severity)
        table = [f"## {severity}: {means}", "", "| Code | What it says |", "|---|---|"]
        table += [
            f"| [{one.code}]({one.code}.md) | {one.title} |"
            for one in sorted(CHECKS.values(), key=lambda one: one.code)
            if one.severity is severity
        ]
        lines.append("\n".join(table))
    return "\n\n".join(lines) + "\n"


def table_sources() -> dict[str, tuple[Source, ...]]:
    """For every looked-up quantity the sources its rows have, in printed order."""
    found: dict[str, dict[Source, None]] = {}
    for worked_plan in every_rivet():
        statuses = Statuses(worked_plan)
        for rule in REGISTRY:
            if rule.kind == TABLE:
                own = statuses.sources(rule.output)
                found.setdefault(rule.output, {}).update(dict.fromkeys(own))
    return {
        name: tuple(one for one in sources if one != REGISTRY[name].source)
        for name, sources in found.items()
    }


def _sources(sources: Iterable[Source]) -> str:
    """Sources as list entries, with their notes."""
    return "\n".join(
        f"- {one}" + (f" ({one.note})" if one.note else "") for one in sources
    )


def _quantity(rule: Rule, sources: tuple[Source, ...]) -> str:
    """One quantity: title, unit, formula, inputs, sources."""
    lines = [
        f'### <a id="{rule.output}"></a>{say_title(rule.output)}',
        say_about(rule.output),
    ]
    if rule.kind == FORMULA:
        lines.append(f"`{rule.output} = {rule.formula}`")
    else:
        formula = rule.formula if rule.formula != "looked up" else ""
        lines.append(f"`{rule.output}`" + (f": {formula}" if formula else ""))
    facts = [f"- Unit: {rule.unit}; one value per {rule.level}"]
    if rule.inputs:
        linked = ", ".join(
            f"[{say_title(name)}](#{REGISTRY[name].output})" for name in rule.inputs
        )
        facts.append(f"- Needs: {linked}")
    lines += ["\n".join(facts), "From:", _sources(sources or (rule.source,))]
    return "\n\n".join(lines)


def quantity_page(rows: Mapping[str, tuple[Source, ...]]) -> str:
    """Every quantity there is; `rows` gives the sources of looked-up ones."""
    statuses = "\n".join(
        f"- **{status}**: {catalogue().word('status', status)}" for status in Status
    )
    lines = [
        MADE,
        "# Quantities, formulas, sources",
        "Every number the program shows is one of these quantities. Its working opens "
        "on screen and with `rivetwright why FILE HOLE QUANTITY`: the formula with "
        "the figures put in, what it rests on, and the same for each figure it needs. "
        "A *class* is all holes with the same sheets, preparation and callout.",
        "A formula is run as it stands here. Names ending in `_mm` are millimetres, in "
        "`_16ths` and `_32nds` parts of an inch, in `_ratio` multiples of the shank "
        "diameter D or, for volumes, of pi/4 D^3. `sum_sheets`, `least_sheet`, "
        "`most_sheet`, `first_sheet`, `last_sheet` go over the sheets of a stack; "
        "`nested_above` adds up the dimpled sheets straight above each sheet; angles "
        "are in degrees, and `log` is the natural logarithm.",
        "A result shows the weakest status it rests on, from strong to weak:",
        statuses,
        "Where a figure is looked up, the sources of all rows it may come from are "
        "listed, those of other named sets included; the working names the row.",
    ]
    for kind, heading in KINDS.items():
        lines.append(f"## {heading}")
        lines += [
            _quantity(rule, rows.get(rule.output, ()))
            for rule in REGISTRY
            if rule.kind == kind
        ]
    return "\n\n".join(lines) + "\n"
