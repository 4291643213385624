"""Columns of tools: which get to each hole, and what is in the way of the others."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.given import DRAWING
from rivetwright.engines.reach.around_columns import no_words
from rivetwright.engines.reach.asked import planned_tools, step_tools
from rivetwright.engines.reach.fit import (
    CLEAR,
    NO,
    NOT_JUDGED,
    OWNED,
    TIGHT,
    Fits,
    fits,
    in_the_way,
    tools_at,
)
from rivetwright.engines.reach.throat import YOKE
from rivetwright.engines.rules import (
    CLASS,
    GIVEN,
    HOLE,
    SEARCH,
    TABLE,
    Column,
    Witness,
    rule,
)
from rivetwright.engines.worked import Worked
from rivetwright.model.shop import Tool
from rivetwright.standards.reach import MARGINS, reach_margin_mm, ways_of_kind

Mask = NDArray[np.bool_]

VERDICT_CLEAR, VERDICT_TIGHT, ON_ORDER, NONE, UNJUDGED = VERDICTS = (
    "clear",
    "tight",
    "on order",
    "none",
    "not judged",
)
# What decides whether a tool gets to a hole.
AROUND = (
    "tail_mm",
    "entry_mm",
    "throat_flange_mm",
    "gap_behind_mm",
    "gap_if_second_mm",
    "wall_shop_mm",
    "wall_head_mm",
)


def _has_tools(worked: Worked) -> bool:
    """Whether the shop has a tool that sets rivets."""
    return worked.shop is not None and bool(fits(worked).tools)


def _words_of(found: Fits, word: Callable[[Tool, int], str]) -> Column:
    """Words for the tools at every hole, made once for each way they fit together."""
    patterns, of_hole = found.patterns
    said = [
        ", ".join(
            filter(
                None, (word(t, int(k)) for t, k in zip(found.tools, one, strict=True))
            )
        )
        for one in patterns
    ]
    return np.array([*said, ""], dtype=object)[of_hole]


def _starred(tool: Tool) -> str:
    """A tool's id, with a star where it is on order."""
    return tool.id if tool.state == OWNED else f"{tool.id}*"


def _due(tool: Tool) -> str:
    """A tool on order with the day it is due."""
    return f"{tool.id}, due {tool.due}" if tool.due else f"{tool.id}, no date"


def _text_rule(
    output: str,
    title: str,
    formula: str,
    run: Callable[[Worked], Column],
    inputs: tuple[str, ...] = AROUND,
) -> None:
    """Register a column of words about tools; empty without tools."""

    def column(worked: Worked, *_: Column) -> Column:
        return run(worked) if _has_tools(worked) else no_words(worked)

    column.__doc__ = title
    register = rule(
        output,
        inputs=inputs,
        formula=formula,
        unit="text",
        source=MARGINS,
        level=HOLE,
        kind=SEARCH,
    )
    register(column)


def best_fit(found: Fits, of_tools: Mask) -> NDArray[np.int8]:
    """How the best of some tools fits each hole, shape (holes,).

    Source: own geometry; reach_margins.csv.
    """
    return np.asarray(found.fit[of_tools].max(axis=0, initial=NOT_JUDGED))


def _nearest(found: Fits, of_tools: Mask) -> NDArray[np.int64]:
    """The tool among some that fits best, or lacks least, at each hole."""
    rank = np.where(of_tools[:, None], found.slack_mm, -np.inf)
    # Of two that lack everything the first of those asked about is told.
    rank = np.where(np.isneginf(rank) & of_tools[:, None], -1e12, rank)
    judged = np.where(found.fit == NOT_JUDGED, -1e11, rank)
    return np.asarray(np.where(of_tools[:, None], judged, -np.inf).argmax(axis=0))


def _verdict(worked: Worked) -> Column:
    """One word for all tools at each hole."""
    found = fits(worked)
    owned = best_fit(found, found.is_owned)
    ordered = best_fit(found, ~found.is_owned)
    unjudged = (found.fit == NOT_JUDGED).any(axis=0)
    order = [owned == CLEAR, owned == TIGHT, unjudged, ordered >= TIGHT]
    words = [VERDICT_CLEAR, VERDICT_TIGHT, UNJUDGED, ON_ORDER]
    column = np.full(len(worked.holes), NONE, dtype=object)
    for mask, word in reversed(list(zip(order, words, strict=True))):
        column[mask] = word
    return column


def _in_the_way(worked: Worked) -> Column:
    """Of the tools that come nearest the limit that decides."""
    found, verdict = fits(worked), worked["tool_verdict"]
    nobody = verdict == NONE
    everyone = np.ones(len(found.tools), dtype=bool)
    owned = found.is_owned if found.is_owned.any() else everyone
    tool_of = np.where(nobody, _nearest(found, everyone), _nearest(found, owned))
    asked = nobody | (verdict == VERDICT_TIGHT) | (verdict == ON_ORDER)
    return in_the_way(worked, tool_of, asked)


def _order_in_the_way(worked: Worked) -> Column:
    """What is tightest for a tool on order, where only such a one gets there."""
    found = fits(worked)
    ordered = ~found.is_owned
    tight = (worked["tool_verdict"] == ON_ORDER) & (best_fit(found, ordered) == TIGHT)
    return in_the_way(worked, _nearest(found, ordered), np.asarray(tight))


def _squeezer_in_the_way(worked: Worked) -> Column:
    """What is in the way of the yoke that comes nearest, where a helper is needed."""
    found = fits(worked)
    yokes = np.array([tool.kind == YOKE for tool in found.tools], dtype=bool)
    if not yokes.any():
        return no_words(worked)
    asked = worked["takes_two"] == 1
    return in_the_way(worked, _nearest(found, yokes), np.asarray(asked))


def _planned_in_the_way(worked: Worked) -> Column:
    """What is in the way of the tools on the plan, where none of them gets there."""
    found = fits(worked)
    rows_of: dict[tuple[str, ...], list[int]] = {}
    for row, names in planned_tools(worked):
        rows_of.setdefault(names, []).append(row)
    tool_of = np.zeros(len(worked.holes), dtype=np.int64)
    asked = np.zeros(len(worked.holes), dtype=bool)
    for names, rows in rows_of.items():
        named = np.array([tool.id in names for tool in found.tools], dtype=bool)
        if not named.any():
            continue
        here = np.isin(worked.holes.row, rows) & (found.fit[named] == NO).all(axis=0)
        tool_of[here] = _nearest(found, named)[here]
        asked |= here
    return in_the_way(worked, tool_of, asked)


def _unknown_tools(worked: Worked) -> Column:
    """Tools that the plan names for the row or its step and the shop does not have."""
    known = {tool.id for tool in (worked.shop.tools if worked.shop else ())}

    def lacking(names: Iterable[str]) -> set[str]:
        return set(names) - known

    of_row = {k: lacking(names) for k, names in planned_tools(worked)}
    of_step = {k: lacking(names) for k, names in step_tools(worked)}
    words = no_words(worked)
    if not any((*of_row.values(), *of_step.values())):
        return words
    keys = np.column_stack((worked.holes.row, worked.holes.step))
    pairs, of_hole = np.unique(keys, axis=0, return_inverse=True)
    said = [
        ", ".join(sorted(of_row.get(row, set()) | of_step.get(step, set())))
        for row, step in pairs.tolist()
    ]
    return np.array(said, dtype=object)[of_hole.reshape(-1)]


@rule(
    "tight_margin_mm",
    formula="looked up",
    unit="mm",
    source=reach_margin_mm("tight").source,
    level=CLASS,
    kind=TABLE,
    witness=lambda *_: Witness(
        "table row",
        {"row": reach_margin_mm("tight").row},
        reach_margin_mm("tight").source,
    ),
)
def tight_margin_mm(worked: Worked) -> Column:
    """Room under which a tool is tight.

    Source: reach_margins.csv; JUDGEMENT.
    """
    margin = float(reach_margin_mm("tight").value)
    return np.full(len(worked.stacks.classes), margin)


def _fit_witness(worked: Worked, hole: int) -> Witness | None:
    """How every tool fits, told in one line."""
    said = [f"{one.tool.id} {one.fit}" for one in tools_at(worked, hole)]
    return Witness("tools", {"tools": ", ".join(said)}) if said else None


@rule(
    "tools_that_fit",
    inputs=AROUND,
    formula="tools of the shop inside every limit, clear or tight; * is on order",
    unit="text",
    source=MARGINS,
    level=HOLE,
    kind=SEARCH,
    witness=_fit_witness,
)
def tools_that_fit(worked: Worked, *_: Column) -> Column:
    """Tools that get there.

    Source: the shop; own geometry; reach_margins.csv.
    """
    if not _has_tools(worked):
        return no_words(worked)
    return _words_of(fits(worked), lambda t, k: _starred(t) if k >= TIGHT else "")


_text_rule(
    "tools_clear",
    "Tools that get there clear",
    "tools with more room than the tight margin at every limit; * is on order",
    lambda worked: _words_of(
        fits(worked), lambda t, k: _starred(t) if k == CLEAR else ""
    ),
    (*AROUND, "tight_margin_mm"),
)
_text_rule(
    "tools_on_order",
    "Tools on order that get there",
    "tools that get there and are on order, with the day they are due",
    lambda worked: _words_of(
        fits(worked), lambda t, k: _due(t) if k >= TIGHT and t.state != OWNED else ""
    ),
)
_text_rule(
    "tool_verdict",
    "Whether a tool gets there",
    "the best of the owned tools; on order where only such a one gets there",
    _verdict,
    ("tools_that_fit", "tight_margin_mm"),
)
_text_rule(
    "in_the_way",
    "What is in the way of the nearest tool",
    "the limit that decides for the tool that fits best or lacks least",
    _in_the_way,
    ("tool_verdict",),
)
_text_rule(
    "order_in_the_way",
    "What is tight for the tool on order",
    "the limit that leaves it less than the tight margin",
    _order_in_the_way,
    ("tool_verdict",),
)
_text_rule(
    "planned_in_the_way",
    "What is in the way of the tool on the plan",
    "the limit that decides for the planned tool that lacks least",
    _planned_in_the_way,
    ("planned_tools", "tools_that_fit"),
)
_text_rule(
    "squeezer_in_the_way",
    "What is in the way of the squeezer",
    "the limit that decides for the yoke that lacks least",
    _squeezer_in_the_way,
    ("takes_two",),
)
_text_rule(
    "unknown_tools",
    "Tools of the plan that the shop lacks",
    "tools named for the row or its step that are not in the shop file",
    _unknown_tools,
    ("planned_tools",),
)


@rule(
    "planned_tools",
    formula="tools that the plan names for the row",
    unit="text",
    source=DRAWING,
    level=HOLE,
    kind=GIVEN,
)
def planned_tool_words(worked: Worked) -> Column:
    """Tools on the plan.

    Source: the plan.
    """
    words = [""] * len(worked.plan.rows)
    for row, names in planned_tools(worked):
        words[row] = ", ".join(names)
    return np.array([*words, ""], dtype=object)[worked.holes.row]


@rule(
    "takes_two",
    inputs=("tools_that_fit",),
    formula="1 where every tool that gets there needs a second person",
    unit="yes/no",
    source=ways_of_kind("bar")[0].source,
    level=HOLE,
    kind=SEARCH,
)
def takes_two(worked: Worked, *_: Column) -> Column:
    """Second person needed.

    Source: ways.csv. Owned tools decide; those on order where no owned one fits.
    """
    if not _has_tools(worked):
        return np.full(len(worked.holes), np.nan)
    found = fits(worked)
    alone = np.array(
        [
            any(not way.value.takes_two for way in ways_of_kind(tool.kind))
            for tool in found.tools
        ],
        dtype=bool,
    )
    gets_there = found.fit >= TIGHT
    owned = gets_there & found.is_owned[:, None]
    counts = np.where(owned.any(axis=0), owned, gets_there)
    anybody = (counts & alone[:, None]).any(axis=0)
    return np.asarray(counts.any(axis=0) & ~anybody, dtype=float)
