"""Put the pack of an assembly together and have it typeset."""

from __future__ import annotations

import json
import re
from collections import Counter
from datetime import date
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal

import typst

from rivetwright.bench.head_table import HeadTable, written_table
from rivetwright.drawing.legend import legend_svg
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import NotFound
from rivetwright.model.plan import Plan
from rivetwright.model.severity import Severity
from rivetwright.paper import lists
from rivetwright.paper.head_pages import head_pages
from rivetwright.paper.hole_table import COLUMNS, HoleTable
from rivetwright.paper.maps import SHEETS, Paper, Sheet, face_maps, row_strips, sections
from rivetwright.paper.set_up_cards import set_up_cards
from rivetwright.paper.step_cards import holder_lines, step_cards
from rivetwright.paper.tools_by_row import tools_by_row
from rivetwright.paper.words import (
    NO_LETTER,
    breakable,
    printable,
    say,
    section,
    shortened,
)
from rivetwright.texts.catalogue import catalogue

# Pictures keep their text as it is; a break inside a word would be drawn.
AS_DRAWN = frozenset({"svg", "legend"})
INVENTED = "INVENTED"
HEAD_LETTERS = 40
# Accessible PDF: pictures described, tables and headings marked.
STANDARD: Literal["ua-1"] = "ua-1"
_NOT_IN_FILE_NAMES = re.compile(r"[^A-Za-z0-9._-]+")


def write_pack(worked_plan: WorkedPlan, folder: Path, *, paper: Paper) -> list[Path]:
    """Write an assembly's hole maps and hole table as a PDF.

    The same plan gives the same bytes: the date is the plan's, never the clock's.

    Args:
        worked_plan: the plan, worked out.
        folder: where the file goes; made if it is not there.
        paper: "letter" or "a4".

    Returns:
        The file written.

    Raises:
        NotFound: no such paper.
    """
    made = typeset(worked_plan, paper)
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / file_name(worked_plan.worked.plan)
    part = file.with_suffix(".partial")
    part.write_bytes(made)
    part.replace(file)
    return [file]


def file_name(plan: Plan) -> str:
    """The file's name from the assembly's id and the revision."""
    plain = _NOT_IN_FILE_NAMES.sub("-", plan.id).strip("-.") or "assembly"
    return f"{plain}-revision-{plan.revision}.pdf"


def typeset(
    worked_plan: WorkedPlan, paper: Paper, heads: HeadTable | None = None
) -> bytes:
    """The pack as PDF.

    Args:
        worked_plan: the plan, worked out.
        paper: "letter" or "a4".
        heads: heads as the record has them; None: those of the plan's file.

    Raises:
        NotFound: no such paper.
    """
    sheet = SHEETS.get(paper)
    if sheet is None:
        raise NotFound(
            asked=f"print on {paper}",
            found="no such paper",
            allowed=" or ".join(SHEETS),
            do="name the paper in your printer",
        )
    contents = _printed(pack_contents(worked_plan, sheet, heads))
    contents["replaced"] = say("head.replaced") if _is_replaced(contents) else ""
    return typst.compile(
        _template(),
        sys_inputs={"pack": json.dumps(contents, ensure_ascii=True)},
        ignore_system_fonts=True,
        pdf_standards=STANDARD,
        timestamp=0,
    )


@cache
def _template() -> bytes:
    """The typesetter's template, read once."""
    return files("rivetwright.paper").joinpath("pack.typ").read_bytes()


def _printed(contents: Any, key: str = "") -> Any:
    """Everything that is to be printed, in letters that the fonts have."""
    if isinstance(contents, str):
        shown = printable(contents)
        return shown if key in AS_DRAWN else breakable(shown)
    if isinstance(contents, dict):
        return {name: _printed(value, name) for name, value in contents.items()}
    if isinstance(contents, list):
        return [_printed(value, key) for value in contents]
    return contents


def _is_replaced(contents: dict[str, Any]) -> bool:
    """Whether a letter had to be replaced anywhere."""
    return NO_LETTER in json.dumps(contents, ensure_ascii=False)


def plan_date(plan: Plan) -> date | None:
    """The day the plan speaks of: issued, or as far as its opening goes."""
    return plan.issued or plan.opening.day


def pack_contents(
    worked_plan: WorkedPlan, sheet: Sheet, heads: HeadTable | None = None
) -> dict[str, Any]:
    """Everything that the template lays out, in words and pictures."""
    plan = worked_plan.worked.plan
    return {
        "head": _head(plan),
        "paper": _paper(sheet),
        "words": section("section"),
        "columns": _columns(),
        "summary": _summary(worked_plan),
        "cautions": list(catalogue().section("caution").values()),
        "parts": lists.part_lines(worked_plan),
        "legend": legend_svg(for_paper=True),
        "maps": face_maps(worked_plan, sheet),
        "strips": row_strips(worked_plan),
        "strips_about": say("strip.about"),
        "stacks": sections(worked_plan),
        "stacks_about": say("stack.about"),
        "table": _table(worked_plan),
        "findings": lists.finding_lines(worked_plan),
        "open": lists.open_lines(worked_plan),
        "holds": lists.hold_lines(worked_plan),
        "questions": lists.question_lines(worked_plan),
        "sets": lists.sets_in_force(worked_plan),
        "sources": lists.source_lines(worked_plan),
        "tools": tools_by_row(worked_plan),
        "heads": head_pages(heads or written_table(worked_plan)),
        "orders": step_cards(worked_plan),
        "orders_about": say("order.about"),
        "holders": holder_lines(worked_plan),
        "holder_words": catalogue().section("holder_plan"),
        "set_ups": set_up_cards(worked_plan),
        "set_up": section("set_up"),
    }


def _head(plan: Plan) -> dict[str, Any]:
    """What stands on every page."""
    day = plan_date(plan)
    unit = "mm" if plan.unit == "mm" else "in"
    is_invented = any(
        INVENTED in words for words in (plan.note, plan.drawing, plan.project.note)
    )
    return {
        "title": say("head.title", project=plan.project.name, assembly=plan.name),
        "project": shortened(plan.project.name, HEAD_LETTERS),
        "assembly": shortened(plan.name, HEAD_LETTERS),
        "revision": say("head.revision", number=plan.revision),
        "date": day.isoformat() if day else say("head.no_date"),
        "day": [day.year, day.month, day.day] if day else [],
        "drawing": say("head.drawing", name=plan.drawing) if plan.drawing else "",
        "note": plan.note,
        "advice": catalogue().word("caution", "advice"),
        "invented": say("head.invented") if is_invented else "",
        "check_line": say(f"head.check_line_{unit}"),
        "check_line_mm": 100.0 if unit == "mm" else 101.6,
        "language": catalogue().language,
    }


def _paper(sheet: Sheet) -> dict[str, Any]:
    """The sheet as the template needs it."""
    return {
        "name": sheet.name,
        "side": sheet.side_mm,
        "top": sheet.top_mm,
        "bottom": sheet.bottom_mm,
    }


def _columns() -> dict[str, Any]:
    """The words over every table."""

    def words(name: str, keys: str) -> list[str]:
        return [section(name)[key] for key in keys.split()]

    return {
        "table": [section("table")[name] for name in COLUMNS],
        "parts": words("parts", "name title thickness material quantity"),
        "findings": words("findings", "code holes found allowed do"),
        "open": words("open", "name holes waits reason later"),
        "holds": words("holds", "name holes waits reason later"),
        "questions": words("questions", "name holes asked text answer"),
        "sources": words("rules", "figure source own weakest"),
        "tools": words("tools", "holes planned clear tight on_order way"),
        "tools_about": section("tools")["about"],
        "none": {
            name: section(name)["none"]
            for name in ("table", "findings", "open", "holds", "questions")
        },
        "findings_about": section("findings")["about"],
        "page": section("head")["page"],
    }


def _summary(worked_plan: WorkedPlan) -> list[list[list[str]]]:
    """Counts of holes by state, and beside them of findings by severity."""
    columns = worked_plan.worked.holes
    plan = columns.plan
    words = section("summary")
    states = Counter(columns.state(hole) for hole in range(len(columns)))
    found = Counter(str(finding.severity) for finding in worked_plan.findings)
    left = [[str(len(columns)), words["holes"]]]
    left += [
        [str(states[state]), shown]
        for state, shown in catalogue().section("state").items()
        if states[state]
    ]
    right = [
        [str(len(plan.rows)), words["rows"]],
        [str(len(plan.faces)), words["faces"]],
    ]
    right += [[str(found[severity]), words[severity]] for severity in Severity]
    return [left, right]


def _table(worked_plan: WorkedPlan) -> dict[str, Any]:
    """The hole table with the words above it."""
    table = HoleTable(worked_plan)
    unit = say(f"table.{table.system}")
    about = say("table.about", unit=unit, letters=lists.status_key())
    return {
        "about": f"{about} {table.blind_holes()}".strip(),
        "lines": [
            {"first": is_first, "cells": [cell.as_json() for cell in cells]}
            for is_first, cells in table.lines()
        ],
    }
