"""Laws of any evening: nothing lost, nothing late, nothing too early."""

from __future__ import annotations

from datetime import datetime, time

from hypothesis import given
from hypothesis import strategies as st

from rivetwright.engines.work.gates import Gates
from rivetwright.engines.work.now import what_now
from rivetwright.engines.work.pieces import CHECK, Piece
from rivetwright.engines.work.session import Session
from rivetwright.engines.work.waits import Wait
from tests.unit.engines.work.made_work import heads_of, piece

THINGS = (Wait("answer", "Q-1"), Wait("part", "9"), Wait("tool", "BB"))


@st.composite
def works(draw: st.DrawFn) -> list[Piece]:
    """Up to six steps of up to three rows; a step needs some of those before it."""
    made: list[Piece] = []
    for k in range(draw(st.integers(1, 6))):
        needs = draw(st.sets(st.integers(0, k - 1))) if k else set()
        after = [f"step:{one}" for one in sorted(needs)]
        for n in range(draw(st.integers(1, 3))):
            waits = draw(st.sets(st.sampled_from(THINGS), max_size=2))
            is_loud = draw(st.booleans())
            row = piece(
                f"{k}.{n}",
                str(k),
                draw(st.integers(1, 60)),
                after=after,
                waits=sorted(waits, key=lambda one: one.key),
                is_noisy=is_loud,
                quiet_way="hand squeezer" if draw(st.booleans()) else "",
                tools=(draw(st.sampled_from(("Y1", "Y2"))),),
                assembly="a",
            )
            made.append(row)
            if draw(st.booleans()):
                waits_too = list(row.waits)
                made.append(heads_of(row.key, 3, step=str(k), waits=waits_too))
    return made


def without(pieces: list[Piece], key: tuple[str, str]) -> list[Piece]:
    """The same, one thing having come."""
    return [
        Piece(**{**vars(p), "waits": tuple(w for w in p.waits if w.key != key)})
        for p in pieces
    ]


@given(works(), st.sampled_from(THINGS))
def test_what_a_thing_frees_is_what_can_be_done_more(
    pieces: list[Piece], thing: Wait
) -> None:
    """As if the thing were not asked for at all: counted anew from the beginning."""
    before, after = Gates(pieces), Gates(without(pieces, thing.key))
    more = set(after.reached.pieces) - set(before.reached.pieces)
    assert set(before.freed_by(thing.key)) == more


@given(works(), st.integers(5, 240), st.integers(18, 22))
def test_every_piece_is_told_once(
    pieces: list[Piece], minutes: int, begins: int
) -> None:
    """Done tonight, for later, or held: each in one list; part of one may be in two."""
    session = Session(datetime(2026, 11, 25, begins), minutes, time(21))
    now = what_now(pieces, session)
    done = [p.key for turn in now.turns for p in turn.pieces]
    later = [p.key for p in now.later]
    held = [p.key for one in now.held for p in one.pieces]
    assert len(set(done)) == len(done)
    assert sorted([*done, *later, *held]) == sorted(p.key for p in pieces)


@given(works(), st.integers(5, 240), st.integers(18, 22))
def test_the_evening_is_long_enough_for_what_it_holds(
    pieces: list[Piece], minutes: int, begins: int
) -> None:
    """Turns follow on one another, end in time, and make no noise after nine."""
    session = Session(datetime(2026, 11, 25, begins), minutes, time(21))
    clock = 0.0
    for turn in what_now(pieces, session).turns:
        assert abs(turn.begins - clock) < 1e-6
        clock = turn.ends
        assert clock <= minutes + 1e-3
        if turn.is_noisy:
            assert clock <= session.noisy_minutes + 1e-3


@given(works(), st.integers(30, 240))
def test_nothing_is_done_before_what_it_needs(
    pieces: list[Piece], minutes: int
) -> None:
    """Every piece of the steps before is done, and the rivets before their heads."""
    now = what_now(pieces, Session(datetime(2026, 11, 25, 19), minutes, time(23)))
    done: set[str] = set()
    in_step: dict[str, set[str]] = {}
    for one in pieces:
        in_step.setdefault(one.in_step, set()).add(one.key)
    for turn in now.turns:
        for one in turn.pieces:
            for key in one.after:
                assert in_step.get(key, {key}) <= done
            assert not one.waits
        whole = turn.count == turn.whole_count
        done |= {p.key for p in (turn.pieces if whole else turn.pieces[:-1])}
        assert whole or turn.first.operation != CHECK
