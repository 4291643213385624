"""Stock as JSON, and the order list as a table that a spreadsheet opens."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

from rivetwright.bench.stock import Stock
from rivetwright.engines.stock.need import Arrival, Bite, CodeNeed, OrderLine
from rivetwright.engines.stock.wants import Wanted
from rivetwright.record.export import safe_cell

STOCK_FORMAT = "rivetwright stock 1"


def stock_result(stock: Stock) -> dict[str, Any]:
    """The stock of a project as plain values."""
    return {
        "format": STOCK_FORMAT,
        "day": stock.today.isoformat(),
        "codes": [_code(stock, need) for need in stock.needs],
        "orders": [_order(stock, line) for line in stock.orders],
        "unknown": [_wanted(stock, one) for one in stock.unknown],
        "kits_to_count": [
            {
                "bulletin": one.bulletin,
                "kit": one.kit,
                "code": one.code,
                "count": one.count,
            }
            for one in stock.kits
        ],
        "holders": [
            {
                "diameter_32nds": one.diameter_32nds,
                "wanted": one.wanted,
                "owned": one.owned,
                "in_other_holes": one.inside,
                "steps": list(one.steps),
            }
            for one in stock.holders
        ],
    }


def _code(stock: Stock, need: CodeNeed) -> dict[str, Any]:
    """One code with the steps that take it."""
    drawer = need.drawer
    return {
        "code": need.code,
        "needed": need.needed,
        "at_most": need.at_most,
        "spare": need.spare,
        "on_hand": drawer.on_hand,
        "counted": drawer.counted,
        "received": drawer.received,
        "used": drawer.used,
        "spoilt": drawer.spoilt,
        "coming": [_arrival(one) for one in drawer.arrivals],
        "short": need.short,
        "short_at_most": need.short_at_most,
        "runs_out": _bite(stock, need.bites),
        "steps": [_wanted(stock, one) for one in need.wants],
    }


def _order(stock: Stock, line: OrderLine) -> dict[str, Any]:
    """One line of the order list."""
    return {
        "code": line.code,
        "order": line.count,
        "short": line.short,
        "by": line.by.isoformat() if line.by else None,
        "is_sure": line.is_sure,
        "runs_out": _bite(stock, line.bites),
        "stand_ins": [
            {
                "code": one.code,
                "spared": one.spared,
                "way": str(one.way),
                "source": str(one.source),
            }
            for one in stock.stand_ins(line.need)
        ],
    }


def _wanted(stock: Stock, one: Wanted) -> dict[str, Any]:
    """Holes of one step."""
    assembly = stock.assembly_of(one)
    holes = assembly.worked_plan.worked.holes
    return {
        "assembly": assembly.key,
        "step": one.step,
        "holes": [holes.name(hole) for hole in one.holes],
        "sureness": str(one.sureness),
        "because": one.because,
        "waits_for": one.when.waits_for,
        "day": None if one.when.is_far else one.when.day.isoformat(),
        "steps_before": one.when.depth,
    }


def _bite(stock: Stock, bite: Bite | None) -> dict[str, Any] | None:
    """Where a code runs out."""
    if bite is None:
        return None
    return {
        "assembly": stock.assembly_of(bite.wanted).key,
        "step": bite.wanted.step,
        "missing": bite.missing,
    }


def _arrival(one: Arrival) -> dict[str, Any]:
    due = one.due.isoformat() if one.due else None
    return {"count": one.count, "due": due, "kit": one.kit}


def as_csv(heading: Sequence[str], lines: Iterable[Sequence[object]]) -> str:
    """Lines as CSV; a cell that a spreadsheet would run is made text."""
    out = io.StringIO()
    writer = csv.writer(out)
    for line in (heading, *lines):
        writer.writerow([safe_cell(cell) for cell in line])
    return out.getvalue()
