"""Each tool of the shop against each hole: clear, tight, or no, and what is in the way.

Worked over all holes at once; for one hole the same limits are asked again, so that
what is shown is what was decided.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.reach.asked import Asked, asked_of
from rivetwright.engines.reach.limits import KINDS, NO_WAY_IN, Limit, limits_of
from rivetwright.engines.rules import Column
from rivetwright.engines.worked import Worked
from rivetwright.model.shop import Shop, Tool
from rivetwright.standards.reach import reach_margin_mm
from rivetwright.units.tolerance import TOLERANCE_MM

Kinds = NDArray[np.int8]

NOT_JUDGED, NO, TIGHT, CLEAR = -1, 0, 1, 2
FIT_WORDS = {NOT_JUDGED: "not judged", NO: "no", TIGHT: "tight", CLEAR: "clear"}
OWNED = "owned"


@dataclass(frozen=True)
class Fits:
    """Every tool at every hole, shape (tools, holes) each.

    `slack_mm` is the least room any limit leaves, negative where there is none;
    `decides` says which limit that is.
    """

    tools: tuple[Tool, ...]
    asked: Asked
    fit: Kinds
    slack_mm: Column
    decides: NDArray[np.int64]

    @cached_property
    def patterns(self) -> tuple[Kinds, NDArray[np.int64]]:
        """The ways tools fit together, shape (patterns, tools), and which a hole has.

        The same few come again and again, so words are made once for each.
        """
        keys = np.zeros(self.fit.shape[1], dtype=np.int64)
        for of_tool in self.fit:
            keys = np.unique(keys * 4 + of_tool + 1, return_inverse=True)[1]
        _, first, of_hole = np.unique(keys, return_index=True, return_inverse=True)
        return self.fit.T[first], of_hole

    @property
    def is_owned(self) -> NDArray[np.bool_]:
        """Which tools are owned, shape (tools,); the others are on order."""
        return np.array([tool.state == OWNED for tool in self.tools], dtype=bool)


@dataclass(frozen=True)
class ToolFit:
    """One tool at one hole: how it fits and the one thing that decides.

    `limit` names what is in the way, or what is tightest; empty where nothing limits
    it. `has_mm` and `needs_mm` are NaN for a limit that is no length.
    """

    tool: Tool
    fit: str
    limit: str
    has_mm: float
    needs_mm: float
    slack_mm: float

    @property
    def gets_there(self) -> bool:
        """Whether it sets the rivet, be it tightly."""
        return self.fit in (FIT_WORDS[TIGHT], FIT_WORDS[CLEAR])


_FOUND: WeakKeyDictionary[Worked, Fits] = WeakKeyDictionary()


def fits(worked: Worked) -> Fits:
    """Every tool of the shop at every hole of a plan, worked out once.

    Source: the shop's sizes; own geometry; reach_margins.csv.
    """
    if worked not in _FOUND:
        shop = worked.shop
        tools = tuple(t for t in (shop.tools if shop else ()) if t.kind in KINDS)
        asked = asked_of(worked)
        shape = len(tools), len(asked)
        fit, slack = np.zeros(shape, dtype=np.int8), np.zeros(shape)
        decides = np.zeros(shape, dtype=np.int64)
        for k, tool in enumerate(tools):
            assert shop is not None
            fit[k], slack[k], decides[k] = judge(
                limits_of(tool, shop, asked), asked.doubt_mm
            )
        _FOUND[worked] = Fits(tools, asked, fit, slack, decides)
    return _FOUND[worked]


def judge(
    limits: tuple[Limit, ...], doubt_mm: Column
) -> tuple[Kinds, Column, NDArray[np.int64]]:
    """How one tool fits each hole, by how much, and which limit decides.

    Where a place may be off, a tool is ruled out only beyond that doubt.

    Args:
        limits: every limit of the tool [-].
        doubt_mm: how far each place may be off, shape (holes,) [mm].
    Source: reach_margins.csv; JUDGEMENT.
    """
    tight = float(reach_margin_mm("tight").value)
    slack = np.stack([one.slack_mm for one in limits])
    unknown = np.isnan(slack).any(axis=0)
    known = np.where(np.isnan(slack), np.inf, slack)
    soft = np.array([one.is_soft for one in limits])
    hard = np.where(soft[:, None], np.inf, known)
    least_hard, least = hard.min(axis=0), known.min(axis=0)
    fit = np.where(least < tight - TOLERANCE_MM, TIGHT, CLEAR)
    fit = np.where(unknown, NOT_JUDGED, fit)
    is_out = least_hard < -TOLERANCE_MM - doubt_mm
    fit = np.where(is_out, NO, fit)
    decides = np.where(is_out, hard.argmin(axis=0), known.argmin(axis=0))
    return fit.astype(np.int8), np.where(is_out, least_hard, least), decides


def tool_at(worked: Worked, tool: Tool, hole: int) -> ToolFit:
    """One tool at one hole, with the one thing that decides.

    Source: the shop's sizes; own geometry; reach_margins.csv.
    """
    shop = worked.shop
    assert shop is not None, "a tool belongs to a shop"
    return _tool_at(tool, shop, fits(worked).asked.at(hole))


def _tool_at(tool: Tool, shop: Shop, asked: Asked) -> ToolFit:
    """One tool at the one hole that is asked about."""
    return one_fit(tool, limits_of(tool, shop, asked), asked.doubt_mm)


def one_fit(tool: Tool, limits: tuple[Limit, ...], doubt_mm: Column) -> ToolFit:
    """How a tool fits one hole by its limits there.

    Args:
        tool: the tool [-].
        limits: its limits, each of one hole [-].
        doubt_mm: how far the place may be off, shape (1,) [mm].
    Source: reach_margins.csv; JUDGEMENT.
    """
    fit, slack, decides = judge(limits, doubt_mm)
    limit, has, needs = _decided(limits[int(decides[0])], 0)
    return ToolFit(tool, FIT_WORDS[int(fit[0])], limit, has, needs, float(slack[0]))


def _decided(limit: Limit, at: int) -> tuple[str, float, float]:
    """The limit that decides at a place, with its figures; none where all is open."""
    has, needs = float(limit.has_mm[at]), float(limit.needs_mm[at])
    if limit.slack_mm[at] == np.inf:
        return "", np.nan, np.nan
    if needs == np.inf:
        return NO_WAY_IN, np.nan, np.nan
    return limit.name, has, needs


def in_the_way(
    worked: Worked, tool_of: NDArray[np.int64], here: NDArray[np.bool_]
) -> Column:
    """What is in the way of one tool at each of some holes, as `limit_written` does.

    Args:
        worked: a plan with a shop [-].
        tool_of: which tool at each hole, shape (holes,) [-].
        here: the holes asked about, shape (holes,); elsewhere it is empty [-].
    Source: the shop's sizes; own geometry; reach_margins.csv.
    """
    words = np.full(len(here), "", dtype=object)
    found, shop = fits(worked), worked.shop
    assert shop is not None, "a tool belongs to a shop"
    for k in np.unique(tool_of[here]).tolist():
        tool = found.tools[k]
        limits = limits_of(tool, shop, found.asked)
        for hole in np.flatnonzero(here & (tool_of == k)).tolist():
            decided = _decided(limits[found.decides[k, hole]], hole)
            words[hole] = limit_written(tool.id, *decided)
    return words


def limit_written(tool: str, limit: str, has_mm: float, needs_mm: float) -> str:
    """A tool's limit as one word of a column: tool, limit and figures by bars.

    Args:
        tool: the tool's id [-].
        limit: name of the limit; empty where nothing limits the tool [-].
        has_mm: what there is [mm].
        needs_mm: what is needed [mm].
    Source: own form.
    """
    return f"{tool}|{limit}|{has_mm:.6g}|{needs_mm:.6g}" if limit else ""


def limit_read(written: str) -> tuple[str, str, float, float]:
    """Tool, limit, what there is and what is needed [mm], out of such a word.

    Source: own form.
    """
    tool, limit, has, needs = written.split("|")
    return tool, limit, float(has), float(needs)


def tools_at(worked: Worked, hole: int) -> tuple[ToolFit, ...]:
    """Every tool of the shop at one hole, in the shop's order; empty without a shop.

    Source: the shop's sizes; own geometry; reach_margins.csv.
    """
    shop = worked.shop
    if shop is None:
        return ()
    found = fits(worked)
    asked = found.asked.at(hole)
    return tuple(_tool_at(tool, shop, asked) for tool in found.tools)
