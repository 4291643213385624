"""The pages of heads: every look in a table, then the trends by tool and rivet."""

from __future__ import annotations

import re
from typing import Any

from rivetwright.bench.head_groups import HeadGroup
from rivetwright.bench.head_table import HeadTable
from rivetwright.drawing.group_trend import group_trend_svg
from rivetwright.paper.lists import system_of
from rivetwright.paper.words import say, section
from rivetwright.texts.head_group_words import (
    say_capability,
    say_count,
    say_group,
    say_taught,
    say_warnings,
)
from rivetwright.texts.head_line import HeadLineWords, say_line
from rivetwright.texts.say import System

COLUMNS = ("hole", "day", "rivet", "width", "height", "seen", "verdict")
_WIDE = re.compile(r'viewBox="\S+ \S+ (\S+) \S+"')


def head_pages(table: HeadTable) -> dict[str, Any]:
    """Heads as the template lays them out; no lines where none was looked at."""
    system = system_of(table.worked_plan)
    words = section("heads")
    return {
        "about": say("heads.about"),
        "columns": [words[name] for name in COLUMNS],
        "lines": [_line(say_line(one, system)) for one in table.lines],
        "groups": [_group(one, system) for one in table.groups if one.measured],
    }


def _line(words: HeadLineWords) -> dict[str, Any]:
    """One look at a head."""
    seen = "; ".join(filter(None, (words.seen, words.note)))
    after = filter(None, (words.verdict, words.decided, words.became))
    return {
        "severity": "" if words.tone == "fine" else words.tone,
        "cells": [
            words.name,
            words.day,
            f"{words.rivet}, {words.tool}",
            words.width.main,
            words.height.main,
            seen,
            "; ".join(after),
        ],
    }


def _group(group: HeadGroup, system: System) -> dict[str, Any]:
    """One group with its picture."""
    picture = group_trend_svg(group, system=system, for_paper=True)
    wide = _WIDE.search(picture)
    return {
        "title": say_group(group),
        "count": say_count(group),
        "warnings": " ".join(say_warnings(group, system)),
        "words": " ".join((*say_capability(group), *say_taught(group, system))),
        "svg": picture,
        "wide": float(wide[1]) if wide else 0.0,
    }
