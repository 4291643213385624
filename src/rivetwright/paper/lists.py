"""The lists of the pack: parts, findings, open holes, holds, questions, sources."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import REGISTRY
from rivetwright.engines.worked import working
from rivetwright.model.plan import Sheet
from rivetwright.paper.words import NARROW, breakable, hole_ranges, say, section
from rivetwright.standards.source import Status, weakest
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import System, say_finding, say_title
from rivetwright.units.wording import show_length

Lines = list[list[str]]

# Figures whose sources are listed, in the order of the hole table.
SOURCED = (
    "grip_mm",
    "wanted_length_16ths",
    "legal_length_codes",
    "head_width_mm",
    "head_width_min_mm",
    "wanted_blind_code",
    "hole_diameter_mm",
    "hole_high_mm",
    "countersink_min_sheet_mm",
    "nested_land_mm",
    "edge_distance_mm",
    "pitch_mm",
    "row_distance_mm",
)
CLASSES_LOOKED_AT = 200


def system_of(worked_plan: WorkedPlan) -> System:
    """The plan's own unit."""
    return "mm" if worked_plan.worked.plan.unit == "mm" else "in"


def part_lines(worked_plan: WorkedPlan) -> Lines:
    """Every part with its thickness and material."""
    system = system_of(worked_plan)
    return [
        [
            breakable(part.name, NARROW),
            part.title,
            show_length(part.thickness_mm, system=system, style="decimal"),
            part.material,
            str(part.quantity),
        ]
        for part in worked_plan.worked.plan.parts
    ]


def finding_lines(worked_plan: WorkedPlan) -> list[dict[str, Any]]:
    """Findings in words; those that say the same of several rows become one."""
    holes = worked_plan.worked.holes
    system = system_of(worked_plan)
    same: dict[tuple[str, ...], list[int]] = {}
    for finding in worked_plan.findings:
        words = say_finding(finding, system)
        key = (
            str(finding.severity),
            finding.code,
            words.title,
            words.found,
            words.allowed,
            words.source,
            words.do,
        )
        same.setdefault(key, []).extend(finding.holes)
    names = ("severity", "code", "title", "found", "allowed", "source", "do")
    return [
        {
            **dict(zip(names, key, strict=True)),
            "shown": catalogue().word("severity", key[0]),
            "holes": hole_ranges(holes, found),
        }
        for key, found in same.items()
    ]


def _stack_words(sheets: Iterable[Sheet]) -> str:
    """Sheets from the manufactured head on, plain ones without a word."""
    words = [
        sheet.part if sheet.preparation == "plain" else f"{sheet.part} {prepared}"
        for sheet in sheets
        for prepared in [catalogue().word("preparation", sheet.preparation)]
    ]
    return " + ".join(words)


def open_lines(worked_plan: WorkedPlan) -> Lines:
    """Holes left open: which, what for, and what is set there then."""
    lines = []
    for one in worked_plan.worked.plan.open_holes:
        waits = [say("open.part", name=one.part)] if one.part else []
        waits += [say("open.step", name=one.step)] if one.step else []
        later = [_stack_words(one.stack)] if one.stack else []
        later += [str(one.callout)] if one.callout else []
        lines.append(
            [
                one.id,
                ", ".join(str(holes) for holes in one.holes),
                ", ".join(waits) or say("open.someone"),
                one.reason,
                "; ".join(later),
            ]
        )
    return lines


def hold_lines(worked_plan: WorkedPlan) -> Lines:
    """Holes on hold: which, what for, until when."""
    lines = []
    for hold in worked_plan.worked.plan.opening.holds:
        waits = f"{hold.kind} {hold.name}".strip()
        if hold.until:
            day = hold.until.isoformat()
            waits = say("holds.until", what=waits, day=day)
        later = [words for words in (hold.stack, hold.callout) if words]
        lines.append(
            [
                hold.id,
                ", ".join(hold.holes),
                waits,
                hold.reason,
                "; ".join(dict.fromkeys(later)),
            ]
        )
    return lines


def question_lines(worked_plan: WorkedPlan) -> Lines:
    """Questions to the kit supplier or an inspector, and the answers."""
    return [
        [
            one.id,
            ", ".join(one.holes),
            one.asked.isoformat() if one.asked else "",
            one.text,
            one.answer or say("questions.not_answered"),
        ]
        for one in worked_plan.worked.plan.opening.questions
    ]


def sets_in_force(worked_plan: WorkedPlan) -> str:
    """The named rule sets in one sentence."""
    sets = worked_plan.worked.plan.rule_sets
    whole = [
        show_length(size * 25.4 / 32, style="fraction")
        for size in sets.whole_lengths_32nds
    ]
    return say(
        "rules.sets",
        head_limits=sets.head_limits,
        length_rounding=sets.length_rounding,
        drills=sets.drills,
        countersink=sets.countersink,
        whole=say("rules.whole", sizes=", ".join(whole)) if whole else "",
    )


def source_lines(worked_plan: WorkedPlan) -> Lines:
    """Figure by figure: the rule's source, its status and the weakest below it."""
    lines = []
    for name in SOURCED:
        weak = _weakest(worked_plan, name)
        if weak is not None:
            source = REGISTRY[name].source
            place = f", {source.place}" if source.place else ""
            words = f"{source.document}{place}"
            lines.append([say_title(name), words, str(source.status), str(weak)])
    return lines


def _weakest(worked_plan: WorkedPlan, name: str) -> Status | None:
    """The weakest status behind a figure in this plan; None where it has none."""
    worked = worked_plan.worked
    found: list[Status] = []
    seen: set[int] = set()
    for hole, kind in enumerate(worked.stacks.class_of.tolist()):
        if kind in seen or len(seen) >= CLASSES_LOOKED_AT:
            continue
        seen.add(kind)
        one = working(worked, name, hole)
        if one.value == one.value and one.value != "":
            found.append(one.status)
    return weakest(*found) if found else None


def status_key() -> str:
    """The letters of the statuses: `R READ, S SECOND-HAND`."""
    return ", ".join(f"{letter} {name}" for name, letter in section("status").items())
