"""Which cards the second person gets: by the tools planned for what is left."""

from __future__ import annotations

from rivetwright.bench.evening import evening_of
from rivetwright.bench.second_person import Card
from rivetwright.model.plan import Access, Row
from rivetwright.model.shop import Shop, Tool
from rivetwright.model.step import Need, Step
from rivetwright.record.fold import fold
from rivetwright.record.kinds import RivetsSet
from tests.unit.bench.plans import row, worked
from tests.unit.record.made import told

CODE = "MS20470AD4-4"
SHOP = Shop(
    "shop",
    "shop",
    "mm",
    tools=(Tool("Y1", "yoke"), Tool("Y2", "yoke"), Tool("B1", "bar")),
)


def cards(step: Step, *rows: Row, is_set: bool = False) -> tuple[Card, ...]:
    """The cards of a step; with `is_set`, after row A was set."""
    plan = worked(*rows, id="aileron", steps=(step,))
    state = fold(told(RivetsSet(("id-A:1-3",), CODE)) if is_set else [])
    return evening_of(plan, state, SHOP, step=step.name).cards


def planned(name: str, *tools: str) -> Row:
    """A row for which tools are planned."""
    return row(name, CODE, access=Access(tools=tools))


def test_one_card_for_each_way_with_its_tools() -> None:
    """Two yokes are one way, the bar another, gun and bar first."""
    rows = (planned("A", "Y1"), planned("B", "Y2"), planned("C", "B1"))
    assert cards(Step("1", "set"), *rows) == (
        Card("bar", False, "", ("B1",)),
        Card("yoke", False, "", ("Y1", "Y2")),
    )


def test_step_that_needs_two_says_so_and_why() -> None:
    """As the plan notes it; no gun and bar where a yoke sets them."""
    step = Step("1", "set", (Need("helper", note="for A"),))
    assert cards(step, planned("A", "Y1")) == (Card("yoke", True, "for A", ("Y1",)),)
    assert cards(step, row("A", CODE)) == (Card("bar", True, "for A", ()),)


def test_tools_of_what_is_set_are_not_asked_for() -> None:
    """Row A is done: its yoke is off the tool."""
    rows = (planned("A", "Y1"), row("B", CODE, access=Access(tools=("B1",))))
    assert cards(Step("1", "set"), *rows, is_set=True) == (
        Card("bar", False, "", ("B1",)),
    )


def test_gun_and_bar_where_no_way_is_known() -> None:
    """No tool named, or one that the shop does not have."""
    bar = Card("bar", False, "", ())
    assert cards(Step("1", "set"), row("A", CODE)) == (bar,)
    assert cards(Step("1", "set"), planned("A", "Y9")) == (bar,)
