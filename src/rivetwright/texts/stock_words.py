"""Stock in words: when holes can be set, where a code runs out, what may stand in."""

from __future__ import annotations

from collections.abc import Iterable

from rivetwright.bench.stock import KitHere, Stock
from rivetwright.engines.stock.need import Arrival, Bite, CodeNeed, OrderLine
from rivetwright.engines.stock.stand_ins import StandIn, Way
from rivetwright.engines.stock.times import When
from rivetwright.engines.stock.wants import Sureness, Wanted
from rivetwright.engines.stock.weighing import PieceWeight
from rivetwright.texts.catalogue import catalogue

SECTION, STAND_IN = "stock", "stand_in"
GRAM_DIGITS = 3


def stock_word(key: str, **values: object) -> str:
    """Words about stock, filled in."""
    return catalogue().word(SECTION, key).format_map(values)


def say_when(when: When) -> str:
    """When holes can be set at the earliest, and what that hangs on."""
    if when.is_far:
        return stock_word("far", name=when.waits_for)
    if when.waits_for:
        return stock_word("from", day=when.day.isoformat(), name=when.waits_for)
    if when.depth == 1:
        return stock_word("after_one")
    if when.depth:
        return stock_word("after", count=when.depth)
    return stock_word("now")


def say_where(stock: Stock, wanted: Wanted) -> str:
    """Step and assembly of some holes."""
    name = stock.assembly_of(wanted).worked_plan.worked.plan.name
    if wanted.step:
        return stock_word("where", step=wanted.step, assembly=name)
    return stock_word("no_step", assembly=name)


def say_sureness(wanted: Wanted) -> str:
    """Why a code is in doubt, or differs from the callout; empty where it is plain."""
    if wanted.sureness is Sureness.AS_DRAWN:
        return stock_word("as_drawn", code=wanted.because)
    if wanted.sureness is Sureness.IF_SO:
        return stock_word("if_so", code=wanted.because)
    return stock_word("by_hold", code=wanted.because) if wanted.because else ""


def say_bite(stock: Stock, bite: Bite | None) -> str:
    """Where a code runs out."""
    if bite is None:
        return stock_word("only_spare")
    where = say_where(stock, bite.wanted)
    counts = {"missing": bite.missing, "count": bite.wanted.count}
    return stock_word("bites", where=where, **counts)


def say_order_by(stock: Stock, line: OrderLine) -> str:
    """When to order."""
    if not line.is_sure:
        return stock_word("order_if")
    if line.by is not None:
        if line.by <= stock.today:
            return stock_word("order_now")
        return stock_word("order_by", day=line.by.isoformat())
    if line.bites is None:
        return ""
    when = line.bites.wanted.when
    if when.is_far:
        return say_when(when)
    return stock_word("order_before", where=say_where(stock, line.bites.wanted))


def say_arrivals(arrivals: Iterable[Arrival]) -> str:
    """What is on its way: how many, with what, and when."""
    words = []
    for one in arrivals:
        if one.kit:
            what = stock_word("arrival_kit", count=one.count, kit=one.kit)
        else:
            what = stock_word("arrival", count=one.count)
        if one.due:
            words.append(stock_word("arrival_due", what=what, day=one.due.isoformat()))
        else:
            words.append(stock_word("arrival_open", what=what))
    return "; ".join(words)


def say_on_hand(need: CodeNeed) -> str:
    """What is there; that nobody counted, where nobody did."""
    on_hand = need.drawer.on_hand
    return stock_word("never") if on_hand is None else str(on_hand)


def say_doubted(need: CodeNeed) -> str:
    """How many more would be needed if doubts are answered this way."""
    more = need.at_most - need.needed
    return f"+{more}" if more else ""


def say_unknown(stock: Stock, wanted: Wanted) -> str:
    """Holes of which nobody knows what goes in."""
    where = say_where(stock, wanted)
    return stock_word("unknown", count=wanted.count, where=where, code=wanted.because)


def say_kit(kit: KitHere) -> str:
    """A kit that came and was not counted."""
    return stock_word(
        "kit_here",
        kit=kit.kit,
        bulletin=kit.bulletin,
        code=kit.code,
        count=kit.count,
    )


def say_stand_ins(need: CodeNeed, found: Iterable[StandIn]) -> list[tuple[str, str]]:
    """What may stand in for a code, each with its source; that nothing may, else."""
    length = need.code.rpartition("-")[2]
    said = []
    for one in found:
        values = {"code": one.code, "spared": one.spared, "length": length}
        said.append((_stand_in(one.way).format_map(values), str(one.source)))
    return said or [(catalogue().word(STAND_IN, "none"), "")]


def _stand_in(way: Way) -> str:
    if way is Way.CUT:
        return catalogue().word(STAND_IN, "cut")
    if way is Way.ASK_LENGTH:
        return catalogue().word(STAND_IN, "ask_length")
    return catalogue().word(STAND_IN, "ask_softer")


def say_piece(weight: PieceWeight | None) -> str:
    """What one rivet weighs."""
    if weight is None:
        return stock_word("no_weight")
    low, high = (f"{g:.{GRAM_DIGITS}f}" for g in (weight.low_g, weight.high_g))
    return stock_word("piece", low=low, high=high)


def say_pieces(weight: PieceWeight, weight_g: float) -> str:
    """How many rivets a weight makes."""
    low, mid, high = weight.count(weight_g)
    return stock_word("pieces", low=low, mid=mid, high=high)


def order_heading() -> tuple[str, ...]:
    """The headings of an order list."""
    words = catalogue().section("order_column")
    keys = (
        *("code", "count", "short", "on_hand", "coming", "needed", "doubted"),
        *("spare", "by", "bites", "sure"),
    )
    return tuple(words[key] for key in keys)


def order_cells(stock: Stock, line: OrderLine) -> tuple[str, ...]:
    """A line of an order list, in the order of its headings."""
    need = line.need
    return (
        line.code,
        str(line.count),
        str(line.short),
        say_on_hand(need),
        say_arrivals(need.drawer.arrivals),
        str(need.needed),
        say_doubted(need),
        str(need.spare or need.spare_at_most),
        say_order_by(stock, line),
        say_bite(stock, line.bites),
        doubt_of(need),
    )


def doubt_of(need: CodeNeed) -> str:
    """Why a code is in doubt, each reason once; empty where all is plain."""
    said = dict.fromkeys(map(say_sureness, need.wants))
    return "; ".join(filter(None, said))
