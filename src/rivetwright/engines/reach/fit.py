"""Each tool of the shop against each hole: clear, tight, or no, and what is in the way.

Worked over all holes at once; for one hole the same limits are asked again, so that
what is shown is what was decided.
"""

from __future__ import annotations

from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.reach.asked import Asked, asked_of
from rivetwright.engines.reach.limits import KINDS, Limit, limits_of
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

    `slack_mm` is the least room any limit leaves, negative where there is none.
    """

    tools: tuple[Tool, ...]
    asked: Asked
    fit: Kinds
    slack_mm: Column

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
        for k, tool in enumerate(tools):
            assert shop is not None
            fit[k], slack[k], _ = _judge(limits_of(tool, shop, asked), asked)
        _FOUND[worked] = Fits(tools, asked, fit, slack)
    return _FOUND[worked]


def _judge(
    limits: tuple[Limit, ...], asked: Asked
) -> tuple[Kinds, Column, NDArray[np.int64]]:
    """How one tool fits each hole, by how much, and which limit decides.

    Where a place may be off, a tool is ruled out only beyond that doubt.
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
    is_out = least_hard < -TOLERANCE_MM - asked.doubt_mm
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
    limits = limits_of(tool, shop, asked)
    fit, slack, decides = _judge(limits, asked)
    one = limits[int(decides[0])]
    limit = "" if np.isposinf(slack[0]) else one.name
    word = FIT_WORDS[int(fit[0])]
    has, needs = float(one.has_mm[0]), float(one.needs_mm[0])
    if not limit:
        has = needs = np.nan
    return ToolFit(tool, word, limit, has, needs, float(slack[0]))


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
