"""What the pages about stock show, in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rivetwright.bench.stock import Stock, weight_of
from rivetwright.engines.stock.need import CodeNeed
from rivetwright.engines.stock.weighing import LEAST_SAMPLE, counted_by_sample
from rivetwright.errors import Refusal
from rivetwright.texts.stock_words import (
    say_pieces,
    say_sureness,
    say_when,
    say_where,
)
from rivetwright.texts.tool_words import say_largest
from rivetwright.units.mass import parse_mass_kg
from rivetwright.web.addresses import hole_words
from rivetwright.web.sayings import Sayings

G_PER_KG = 1000
WEIGHTS = ("heap", "sample", "count")


@dataclass(frozen=True)
class WantedLine:
    """Holes of one step that take a code."""

    where: str
    key: str
    holes: str
    count: int
    when: str
    doubt: str


def wanted_lines(stock: Stock, need: CodeNeed) -> list[WantedLine]:
    """What takes a code, in the order in which it can be set."""
    return [
        WantedLine(
            say_where(stock, one),
            stock.assembly_of(one).key,
            hole_words(stock.assembly_of(one).worked_plan, one.holes),
            one.count,
            say_when(one.when),
            say_sureness(one),
        )
        for one in need.wants
    ]


def holder_lines(stock: Stock, say: Sayings) -> list[tuple[str, bool]]:
    """Sheet holders by size, and whether some are short."""
    said = []
    for one in stock.holders:
        plan = stock.assemblies[one.plan].worked_plan.worked.plan
        values = {
            "size": say_largest(one.diameter_32nds),
            "wanted": one.wanted,
            "steps": ", ".join(one.steps),
            "assembly": plan.name,
            "owned": one.owned or 0,
        }
        parts = [say("stock_page.holder_line", **values)]
        if one.owned is None:
            parts.append(say("stock_page.holder_unknown"))
        if one.inside:
            parts.append(say("stock_page.holder_inside", inside=one.inside))
        if one.short:
            parts.append(say("stock_page.holder_short", short=one.short))
        said.append(("; ".join(parts), bool(one.short)))
    return said


@dataclass(frozen=True)
class Weighed:
    """What weighing came to: sentences, or why it could not be worked out."""

    asked: Mapping[str, str]
    said: tuple[str, ...] = ()
    refusal: Refusal | None = None


def weighed(code: str, query: Mapping[str, str], say: Sayings) -> Weighed:
    """Rivets of a code counted by weighing, from the fields of the form."""
    asked = {name: query.get(name, "").strip() for name in WEIGHTS}
    if not asked["heap"]:
        return Weighed(asked)
    try:
        return Weighed(asked, tuple(_weighed(code, asked, say)))
    except Refusal as refusal:
        return Weighed(asked, (), refusal)


def _weighed(code: str, asked: Mapping[str, str], say: Sayings) -> Iterable[str]:
    """The count by a counted sample where one was given, then by volume."""
    heap_g = float(parse_mass_kg(asked["heap"])) * G_PER_KG
    if asked["sample"]:
        sample_g = float(parse_mass_kg(asked["sample"])) * G_PER_KG
        written = asked["count"]
        count = int(written) if written.isascii() and written.isdigit() else 0
        found = counted_by_sample(heap_g, sample_g, count)
        yield say("stock_page.weigh_by_sample", count=found)
    weight = weight_of(code)
    if weight is not None:
        words = say_pieces(weight, heap_g)
        yield say("stock_page.weigh_by_volume", words=words)


__all__ = ["LEAST_SAMPLE", "holder_lines", "wanted_lines", "weighed"]
