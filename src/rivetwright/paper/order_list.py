"""The order list of a project on paper."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import Any

import typst

from rivetwright.bench.stock import Stock
from rivetwright.paper.maps import SHEETS, Paper
from rivetwright.paper.pack import INVENTED, STANDARD
from rivetwright.paper.words import breakable, printable, say
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.stock_words import (
    order_cells,
    order_heading,
    say_kit,
    say_stand_ins,
    say_unknown,
)


def order_list(stock: Stock, paper: Paper = "letter") -> bytes:
    """The order list as PDF; the same stock gives the same bytes.

    Args:
        stock: what is needed and there.
        paper: "letter" or "a4".
    """
    return typst.compile(
        _template(),
        sys_inputs={"list": json.dumps(_contents(stock, paper), ensure_ascii=True)},
        ignore_system_fonts=True,
        pdf_standards=STANDARD,
        timestamp=0,
    )


@cache
def _template() -> bytes:
    """The typesetter's template, read once."""
    return files("rivetwright.paper").joinpath("order_list.typ").read_bytes()


def _contents(stock: Stock, paper: Paper) -> dict[str, Any]:
    """Everything that the template lays out, in words."""
    day = stock.today
    plans = [one.worked_plan.worked.plan for one in stock.assemblies]
    notes = [words for plan in plans for words in (plan.note, plan.project.note)]
    project = plans[0].project.name if plans else ""
    title = say("order_list.title", project=project, day=day.isoformat())
    return {
        "title": printable(title),
        "day": [day.year, day.month, day.day],
        "paper": SHEETS[paper].name,
        "language": catalogue().language,
        "advice": catalogue().word("caution", "advice"),
        "invented": say("head.invented") if any(INVENTED in n for n in notes) else "",
        "lead": say("order_list.lead") if stock.orders else say("order_list.none"),
        "heading": list(order_heading()),
        "lines": [
            [breakable(printable(cell)) for cell in order_cells(stock, line)]
            for line in stock.orders
        ],
        "groups": [group for group in _groups(stock) if group["lines"]],
    }


def _groups(stock: Stock) -> list[dict[str, Any]]:
    """What stands below the table: stand-ins, what nobody knows, kits to count."""
    instead = [
        f"{line.code}: {text}" + (f" ({source})" if source else "")
        for line in stock.orders
        for text, source in say_stand_ins(line.need, stock.stand_ins(line.need))
    ]
    unknown = [say_unknown(stock, one) for one in stock.unknown]
    return [
        {"title": say("order_list.instead"), "lines": list(map(printable, instead))},
        {"title": say("order_list.unknown"), "lines": list(map(printable, unknown))},
        {
            "title": say("order_list.kits"),
            "lines": [printable(say_kit(one)) for one in stock.kits],
        },
    ]
