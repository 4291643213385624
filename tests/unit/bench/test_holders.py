"""Sheet holders of the shop: in use in another assembly, enough, left in the box."""

from __future__ import annotations

from rivetwright.bench.holders import HolderUse, holder_plans, holders_in_use
from rivetwright.bench.order import StepOrder, Wanted, order_of_step
from rivetwright.engines.order.holders import MATCH_DRILLING
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.pattern import Straight
from rivetwright.model.shop import Holders, Shop
from rivetwright.record.fold import fold
from rivetwright.record.kinds import HolderMoved, RivetsSet
from rivetwright.record.state import State
from tests.unit.bench.plans import face, row, worked
from tests.unit.record.made import chained, fact

EIGHTH, SMALL = "MS20470AD4-4", "MS20470AD3-3"
SHOP = Shop("s", "s", "mm", holders=(Holders(3, 4), Holders(4, 12)))


def plan(name: str, code: str = EIGHTH, count: int = 9) -> WorkedPlan:
    """A plan of one row of holes, 30 mm apart."""
    pattern = Straight((5.0, 25.0), (30.0, 0.0), count)
    return worked(row("A", code, pattern=pattern), faces=(face(),), id=name, name=name)


FLAP, RIB = plan("flap"), plan("rib")


def in_the_rib(*numbers: int, is_in: bool = True) -> HolderMoved:
    """Holders put into holes of the rib's row, or taken out."""
    return HolderMoved(tuple(f"id-A:{k}" for k in numbers), is_in)


def told(*bodies: HolderMoved | RivetsSet) -> State:
    """What the record says after these facts about the rib."""
    made = [fact(k, body, assembly="rib") for k, body in enumerate(bodies, 1)]
    return fold(chained(made))


def order(state: State, shop: Shop = SHOP) -> StepOrder:
    """The flap's order beside the rib."""
    uses = holders_in_use([FLAP, RIB], state, "flap")
    return order_of_step(FLAP, shop, state, "1", Wanted(work=0.0), uses)


def test_holders_in_another_assembly_are_told_by_size() -> None:
    """Five put in, one taken out again: four of 1/8 in the rib, none in the flap."""
    state = told(in_the_rib(1, 3, 5, 7, 9), in_the_rib(5, is_in=False))
    assert holders_in_use([FLAP, RIB], state) == (HolderUse("rib", 4, 4),)
    assert holders_in_use([FLAP, RIB], state, "rib") == ()


def test_a_rivet_frees_its_holder() -> None:
    """A holder comes out where a rivet is set: four are left of five."""
    done = RivetsSet(("id-A:1",), EIGHTH)
    state = told(in_the_rib(1, 3, 5, 7, 9), in_the_rib(1, is_in=False), done)
    assert holders_in_use([RIB], state) == (HolderUse("rib", 4, 4),)


def test_what_is_elsewhere_is_not_in_the_box() -> None:
    """12 owned, 4 in the rib: 8 free; 5 go into the flap's nine holes, 3 stay."""
    one = order(told(in_the_rib(1, 3, 7, 9)))
    (count,) = one.holders.counts
    assert (count.wanted, count.elsewhere, count.free) == (5, 4, 8)
    (box,) = one.boxes
    assert (box.diameter_32nds, box.free, box.first, box.least) == (4, 8, 5, 3)


def test_own_holders_count_as_in_use_once() -> None:
    """Five in the flap's own row: 12 less 5 in the box, none to put in, none short."""
    held = HolderMoved(tuple(f"id-A:{k}" for k in (1, 3, 5, 7, 9)), True)
    state = fold(chained([fact(1, held, assembly="flap")]))
    one = order(state)
    (count,), (box,) = one.holders.counts, one.boxes
    assert (count.elsewhere, count.free) == (0, 12)
    assert (box.free, box.first, box.most, box.least) == (7, 0, 5, 7)


def test_each_size_has_its_own_box() -> None:
    """Nine holes of 1/8 and five of 3/32: five of 12 and three of 4 go in."""
    pattern = Straight((5.0, 40.0), (30.0, 0.0), 5)
    small = row("B", SMALL, pattern=pattern)
    large = row("A", EIGHTH, pattern=Straight((5.0, 25.0), (30.0, 0.0), 9))
    both = worked(large, small, faces=(face(),), id="both")
    one = order_of_step(both, SHOP, State(), "1", Wanted(work=0.0))
    assert [(box.diameter_32nds, box.first, box.least) for box in one.boxes] == [
        (3, 3, 1),
        (4, 5, 7),
    ]


def test_plans_are_for_match_drilling_and_from_each_step() -> None:
    """One step: two plans, the first for all holes."""
    plans = holder_plans(FLAP, SHOP, State())
    assert list(plans) == ["", "1"]
    assert plans[""].purpose == MATCH_DRILLING
    assert plans["1"].steps == ("1",)


def test_shop_that_says_nothing_leaves_the_box_unknown() -> None:
    """No holders in the shop file: neither free nor left over is told."""
    one = order(State(), Shop("s", "s", "mm"))
    (box,) = one.boxes
    assert (box.free, box.least, box.short) == (None, None, 0)
