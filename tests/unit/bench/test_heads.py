"""Heads as the record has them: by the rivet really set, decided, due again."""

from __future__ import annotations

import pytest

from rivetwright.bench.head_removal import empty_hole, removal_of, row_of
from rivetwright.bench.heads import Heads
from rivetwright.bench.heads_due import due_heads
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.heads.decide import Action
from rivetwright.engines.heads.next_gates import Gate
from rivetwright.record.kinds import HeadChecked
from tests.unit.bench.conftest import Clock, Phone

IN = 25.4


def heads_of(workshop: Workshop) -> Heads:
    """The aileron's heads now."""
    return Heads(workshop.now().assembly("aileron").worked_plan, workshop.state())


def check(
    phone: Phone, name: str, width_in: float, height_in: float, **said: object
) -> str:
    """Record a measured head [in]; gives the fact's id."""
    sizes = {"width_mm": width_in * IN, "height_mm": height_in * IN}
    answer = phone.record("head-checked", name, **sizes, **said)
    assert answer.refused == ()
    return answer.taken[0].id


def test_decision_to_leave_a_head_clears_it(workshop: Workshop, phone: Phone) -> None:
    """A6:2 is .003 high; left by the supplier's word it is wanting no longer."""
    heads = heads_of(workshop)
    hole = heads.ids.holes.index("A6:2")
    assert heads.wanting(hole) == ("too high",)
    (head,) = heads.of_hole(hole)
    said = {"decision": "leave", "reason": "supplier's yes", "check": head.seen.fact}
    assert phone.record("head-decided", "A6:2", **said).refused == ()
    heads = heads_of(workshop)
    assert heads.wanting(hole) == ()
    settled = heads.of_hole(hole)[0].settled
    assert settled is not None
    assert settled.body.reason == "supplier's yes"


def test_look_by_eye_does_not_clear_a_size_that_failed(
    workshop: Workshop, phone: Phone
) -> None:
    """A6:2 at .073, then only looked at: still high; measured again at .062: right."""
    hole = heads_of(workshop).ids.holes.index("A6:2")
    phone.record("head-checked", "A6:2")
    assert heads_of(workshop).wanting(hole) == ("too high",)
    check(phone, "A6:2", 0.213, 0.062)
    assert heads_of(workshop).wanting(hole) == ()
    assert heads_of(workshop).is_right(hole)


def test_second_squeeze_says_so(workshop: Workshop, phone: Phone, clock: Clock) -> None:
    """Squeezed again once and high again: the advice names the first time."""
    (head,) = heads_of(workshop).of_hole(heads_of(workshop).ids.holes.index("A6:2"))
    said = {"decision": "squeeze again", "reason": "high", "check": head.seen.fact}
    phone.record("head-decided", "A6:2", **said)
    clock.go_on(minutes=5)
    check(phone, "A6:2", 0.198, 0.0715)
    again = heads_of(workshop).of_hole(head.hole)[-1].decision
    assert again is not None
    assert again.action is Action.SQUEEZE_AGAIN
    assert "squeezed again before" in [one.key for one in again.reasons]


def test_second_removal_goes_to_the_inspector(workshop: Workshop, phone: Phone) -> None:
    """One rivet came out of A5:2 before; a bent one there is shown to somebody."""
    check(phone, "A5:2", 0.205, 0.058, looks=["tail bent over"])
    hole = heads_of(workshop).ids.holes.index("A5:2")
    first, second = heads_of(workshop).of_hole(hole)
    assert first.decision is not None
    assert second.decision is not None
    assert first.decision.action is Action.REPLACE
    assert second.decision.action is Action.ASK_INSPECTOR


def test_head_is_judged_by_the_rivet_that_was_set(
    workshop: Workshop, phone: Phone
) -> None:
    """A17:1 takes a -3; a -3.5 set for a reason is 1/32 longer: 1/3 D^3 more metal."""
    hole = heads_of(workshop).ids.holes.index("A17:1")
    said = {"callout": "MS20426AD3-3.5", "reason": "no -3 left"}
    assert phone.record("rivets-set", "A17:1", **said).refused == ()
    check(phone, "A17:1", 0.150, 0.044)
    (head,) = heads_of(workshop).of_hole(hole)
    drawn = heads_of(workshop).worked.at("head_volume_ratio", hole)
    assert head.called is not None
    assert head.called.volume.central == pytest.approx(float(drawn) + 1 / 3, abs=1e-4)
    assert str(head.called.code) == "MS20426AD3-3.5"


def test_change_of_shims_asks_for_first_heads_again(
    workshop: Workshop, phone: Phone
) -> None:
    """Six of A17 in one run: three first ones; after a new shim three again.

    A17:1 to 3 are measured with one shim: none is due. A17:4 is measured with two:
    the count begins again, so A17:5 and 6 are due.
    """
    phone.record("rivets-set", "A17:1-6", callout="MS20426AD3-3", setup="S")
    for k in range(1, 5):
        shims = [0.5] if k < 4 else [0.5, 0.25]
        check(phone, f"A17:{k}", 0.148, 0.044, shims_mm=shims, yoke="Y1")
    heads = heads_of(workshop)
    row = [heads.ids.holes.index(f"A17:{k}") for k in range(1, 7)]
    due = due_heads(heads, row)
    assert [(one.name, one.why) for one in due] == [
        ("A17:5", "first of a set-up"),
        ("A17:6", "first of a set-up"),
    ]
    assert due[0].changed == ("shims",)


def test_looks_of_a_blind_rivet_are_judged_as_such(
    workshop: Workshop, phone: Phone
) -> None:
    """A blind rivet of the flap whose stem moves: it is wanting, and it is said why."""
    shown = workshop.now().assembly("flap").worked_plan
    heads = Heads(shown, workshop.state())
    blind = next(
        at
        for at in range(len(heads.ids.holes))
        if heads.entered(at, HeadChecked((heads.ids.holes.id(at),))).is_blind
    )
    name = heads.ids.holes.name(blind)
    phone.record("head-checked", name, key="flap", looks=["stem moves"])
    heads = Heads(shown, workshop.state())
    (head,) = heads.of_hole(blind)
    assert "stem moves" in [one.look for one in head.blind]
    assert head.wanting
    assert head.decision is not None
    assert head.decision.action is Action.REPLACE


def test_hole_too_large_asks_what_the_next_size_needs(workshop: Workshop) -> None:
    """A6:2's hole at .140: over .1315, the next size needs what its row can give.

    At .130 it is in size: the same rivet again.
    """
    heads = heads_of(workshop)
    hole = heads.ids.holes.index("A6:2")
    same = empty_hole(heads, hole, 0.130 * IN)
    assert same is not None
    assert same.action is Action.REPLACE
    large = empty_hole(heads, hole, 0.140 * IN)
    assert large is not None
    assert large.action in (Action.NEXT_SIZE, Action.ASK_SUPPLIER)
    named = {one.gate for one in (*large.blocks, *large.unknown)}
    assert named <= set(Gate)


def test_oversize_rivets_of_a_row_are_counted(workshop: Workshop, phone: Phone) -> None:
    """A6:1 and A6:3 opened up: two of the row, both beside A6:2."""
    for name in ("A6:1", "A6:3"):
        said = {"drill": "No. 20", "reason": "oval"}
        assert phone.record("hole-opened-up", name, **said).refused == ()
    heads = heads_of(workshop)
    row = row_of(heads, heads.ids.holes.index("A6:2"))
    assert (row.oversize_count, row.adjacent_count) == (2, 2)


def test_removal_card_of_a_hole_knows_its_history(workshop: Workshop) -> None:
    """One rivet came out of A5:2 before: the card begins with that caution."""
    heads = heads_of(workshop)
    card = removal_of(heads, heads.ids.holes.index("A5:2"))
    assert card is not None
    assert [one.key for one in card.steps[:2]] == [
        "eyes and ears",
        "second in this hole",
    ]
