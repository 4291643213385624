"""Seconds a rivet by way of setting, from runs that were timed at the bench."""

from __future__ import annotations

from rivetwright.bench.own_times import own_times
from rivetwright.engines.order.figures import OwnTime
from rivetwright.model.shop import Shop, Squeezer, Tool
from rivetwright.record.fold import fold
from rivetwright.record.kinds import RivetsSet
from rivetwright.record.state import State
from tests.unit.record.made import told

CODE = "MS20470AD4-4"
SHOP = Shop(
    "s",
    "s",
    "mm",
    tools=(Tool("Y1", "yoke"), Tool("BB1", "bar")),
    squeezers=(Squeezer("air"), Squeezer("by hand", kind="hand")),
)


def timed(tools: str, *runs_s: int) -> list[RivetsSet]:
    """Runs of two rivets that took so long [s], by the tools of a set-up."""
    return [
        RivetsSet(
            (f"id-A:{2 * k}-{2 * k + 1}",), CODE, f"{CODE}|1 + 2|{tools}", run_s=s
        )
        for k, s in enumerate(runs_s, 1)
    ]


def state(*bodies: RivetsSet) -> State:
    """What the record says after these runs."""
    return fold(told(*bodies))


def test_the_middle_of_three_runs_is_taken() -> None:
    """20, 30 and 100 s for two rivets each: 15 s a rivet, of three runs."""
    own = own_times(state(*timed("Y1", 20, 100, 30)), SHOP)
    assert own == {"squeezer": OwnTime(15.0, 3)}


def test_two_runs_say_nothing_yet() -> None:
    """Of three one may be odd and the middle holds; of two none does."""
    assert own_times(state(*timed("BB1", 40, 40)), SHOP) == {}


def test_hand_squeezer_is_told_from_the_other_by_its_name() -> None:
    """The same yoke, in the squeezer by hand: 40 s for two are 20 s a rivet."""
    own = own_times(state(*timed("Y1,by hand", 40, 40, 40)), SHOP)
    assert own == {"hand squeezer": OwnTime(20.0, 3)}
