"""What is needed of each code, what is there, what is short, and when it bites."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import ceil

from rivetwright.engines.stock.wants import Sureness, Wanted


@dataclass(frozen=True)
class OrderRules:
    """How much is kept spare and how little can be ordered.

    `order_least`: the smallest order of a code; `reorder_days`: from order to
    arrival. None: not known.
    """

    spare_ratio: float = 0.10
    spare_least: int = 5
    order_least: int | None = None
    reorder_days: int | None = None


@dataclass(frozen=True)
class Arrival:
    """Pieces on their way: how many, when they are due (None: no date), with what."""

    count: int
    due: date | None = None
    kit: str = ""


@dataclass(frozen=True)
class Drawer:
    """What the record says of one code.

    `on_hand` is None where it was never counted. `spoilt` were taken out of holes
    again or lost between tray and hole.
    """

    code: str
    on_hand: int | None = None
    counted: str = ""
    received: int = 0
    used: int = 0
    spoilt: int = 0
    arrivals: tuple[Arrival, ...] = ()

    @property
    def there(self) -> int:
        """Pieces that count as there: none where nobody counted."""
        return max(0, self.on_hand or 0)

    @property
    def coming(self) -> int:
        """Pieces on their way."""
        return sum(one.count for one in self.arrivals)

    def by(self, wanted: Wanted) -> int:
        """Pieces that are there when some holes can be set at the earliest.

        Args:
            wanted: the holes.

        Source: what was counted, and arrivals due by that day; far-off holes wait
        for all arrivals.
        """
        day = None if wanted.when.is_far else wanted.when.day
        came = (
            one.count
            for one in self.arrivals
            if day is None or (one.due is not None and one.due <= day)
        )
        return self.there + sum(came)


@dataclass(frozen=True)
class Bite:
    """Where a code runs out: the first holes that go without, and how many of them."""

    wanted: Wanted
    missing: int


@dataclass(frozen=True)
class CodeNeed:
    """One code: what the holes take, what is there, what is short.

    `wants` stand in the order in which they can be set. `spare` is kept over what is
    surely needed, `spare_at_most` over all that may be. `short` is missing for what
    is sure with its spare; `short_at_most` if every doubt is answered this way.
    """

    code: str
    drawer: Drawer
    wants: tuple[Wanted, ...]
    spare: int
    spare_at_most: int
    short: int
    short_at_most: int
    bites: Bite | None

    def count(self, *kinds: Sureness) -> int:
        """How many holes take it, of some kinds of sureness.

        Args:
            kinds: which; none: all.

        Source: counted.
        """
        return sum(
            one.count for one in self.wants if not kinds or one.sureness in kinds
        )

    @property
    def needed(self) -> int:
        """Surely needed."""
        return self.count(Sureness.SURE)

    @property
    def at_most(self) -> int:
        """Needed if every doubt is answered this way."""
        return self.count()

    @property
    def over(self) -> int:
        """Pieces that nothing needs, were every doubt answered this way."""
        return max(0, self.drawer.there - self.at_most - self.spare_at_most)


@dataclass(frozen=True)
class OrderLine:
    """One line of an order list.

    `count` is what to order, `short` what is missing; `by` the last day to order for
    the pieces to be there in time; None: no date says when the step comes up.
    `is_sure` False: order only if the answer says so. `for_spare`: only the spare is
    short.
    """

    need: CodeNeed
    count: int
    short: int
    by: date | None
    bites: Bite | None
    is_sure: bool
    for_spare: bool

    @property
    def code(self) -> str:
        """The code to order."""
        return self.need.code


def spare_of(count: int, rules: OrderRules) -> int:
    """Pieces kept spare for so many holes.

    Args:
        count: holes that take the code.
        rules: share and least count.

    Returns:
        None for no hole; else the share rounded up, or the least count.

    Source: the shop's own rule; 10 %, at least 5, is common practice.
    """
    if count <= 0:
        return 0
    share = Fraction(str(rules.spare_ratio))
    return max(rules.spare_least, ceil(share * count))


def code_needs(
    wants: Iterable[Wanted], drawers: Mapping[str, Drawer], rules: OrderRules
) -> tuple[CodeNeed, ...]:
    """Every code that is needed or was counted, in order of code.

    Args:
        wants: what the holes take; those of no known code are left out.
        drawers: what is there, by code.
        rules: spare and smallest order.

    Source: counting; the shop's own rules.
    """
    by_code: dict[str, list[Wanted]] = {code: [] for code in drawers}
    for one in wants:
        if one.code:
            by_code.setdefault(one.code, []).append(one)
    return tuple(
        _code_need(code, some, drawers.get(code) or Drawer(code), rules)
        for code, some in sorted(by_code.items())
    )


def _code_need(
    code: str, wants: list[Wanted], drawer: Drawer, rules: OrderRules
) -> CodeNeed:
    """One code."""
    inorder = sorted(wants, key=lambda one: (one.when, one.plan))
    sure = [one for one in inorder if one.sureness is Sureness.SURE]
    needed, at_most = _sum(sure), _sum(inorder)
    spare, spare_at_most = spare_of(needed, rules), spare_of(at_most, rules)
    coming = drawer.there + drawer.coming
    return CodeNeed(
        code,
        drawer,
        tuple(inorder),
        spare,
        spare_at_most,
        max(0, needed + spare - coming),
        max(0, at_most + spare_at_most - coming),
        bite_of(sure, drawer),
    )


def _sum(wants: Iterable[Wanted]) -> int:
    return sum(one.count for one in wants)


def bite_of(wants: Sequence[Wanted], drawer: Drawer) -> Bite | None:
    """Where a code runs out first when holes are set as early as they can be.

    Args:
        wants: holes in the order in which they can be set.
        drawer: what is there and what is coming.

    Returns:
        The first holes that go without; None where it lasts.

    Source: counting along the order.
    """
    taken = 0
    for one in wants:
        taken += one.count
        missing = taken - drawer.by(one)
        if missing > 0:
            return Bite(one, min(missing, one.count))
    return None


def order_lines(
    needs: Iterable[CodeNeed], rules: OrderRules, today: date
) -> tuple[OrderLine, ...]:
    """What to order, the most pressing first; what only an answer decides, last.

    Args:
        needs: the codes.
        rules: smallest order and days to arrival.
        today: the day on which one orders.

    Source: the shop's own rules.
    """
    lines = []
    for need in needs:
        if need.short:
            lines.append(_line(need, need.short, need.bites, rules, today, True))
        elif need.short_at_most:
            bites = bite_of(need.wants, need.drawer)
            lines.append(_line(need, need.short_at_most, bites, rules, today, False))
    return tuple(sorted(lines, key=_pressing))


def _line(
    need: CodeNeed,
    short: int,
    bites: Bite | None,
    rules: OrderRules,
    today: date,
    is_sure: bool,
) -> OrderLine:
    """One line; an order is never less than the smallest."""
    return OrderLine(
        need,
        max(short, rules.order_least or 0),
        short,
        _last_day(bites, rules, today),
        bites,
        is_sure,
        bites is None,
    )


def _last_day(bites: Bite | None, rules: OrderRules, today: date) -> date | None:
    """The last day to order; none where no date says when the step comes up."""
    when = bites.wanted.when if bites else None
    if when is None or when.is_far or (when.depth and not when.waits_for):
        return None
    lead = timedelta(days=rules.reorder_days or 0)
    return max(today, when.day - lead)


def _pressing(line: OrderLine) -> tuple[object, ...]:
    """Sure ones first, by the day they bite; those that only want a spare last."""
    when = line.bites.wanted.when if line.bites else None
    return (
        not line.is_sure,
        line.by is None,
        line.by or date.max,
        (when.is_far, when.day, when.depth) if when else (True, date.max, 0),
        line.code,
    )
