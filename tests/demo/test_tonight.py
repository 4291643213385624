"""What to set on the evening of 2026-11-25; if the nose can be shut on Saturday.

Worked by hand from the scenario: section 3 (rows), 7 (steps), 8 (holes left open),
10 (log), 11 (questions). Own rates are all minutes over all counts of the log:

    back-rivet       40 min / 24 rivets                = 1.6667 min
    squeezer         (45 + 55) / (20 + 28)             = 2.0833
    check heads      (16 + 14) / (44 + 35)             = 0.3797
    match-drill      (95 + 45 + 50) / (172 + 65 + 89)  = 0.5828

The evening, alone, two hours from 19:00, noise until 21:00:

    aileron-3  A1 A2 wait for the answer to Q-2; the rest is set
    aileron-4  A17 A18 are free: 12 rivets, plate and rivets are there
                   12 x 1.6667 = 20.0,  heads 12 x 0.3797 = 4.557
    rib-3      B3 B4 free: 6 x 2.0833 = 12.5, heads 2.278
               B8:2-5 free: 4 x 2.0833 = 8.333, heads 1.519; B8:1 waits for Q-3
    rib-4      gun and bar: a second person, and rib-3 first
    rib-6      B15 to B18 wait for Q-4, their countersinks too
    rib-7      part 621, due 2026-12-09 (B10 is on hold for it)
    flap-1     C13 17 + C15 to C18 28 + C19 42 = 87 holes: 87 x 0.5828 = 50.706
               C14 waits for 709B, due 2026-12-18
    together   22 rivets, 87 holes, 99.89 min; with hands slower by 1.6: 159.83

The nose (aileron-8) by Saturday 2026-11-28: no.

    aileron-5  hole 8 of A19 to A22 needs BB3, due Friday 2026-12-04, with gun and bar:
               the friend comes on Saturdays only, so 2026-12-05
               A23 to A26 wait for Q-1
    aileron-6  A11 wants an answer: its callout is too short (planted fault P1)
    aileron-7  the inspector, ten days after 2026-11-25: 2026-12-05
    of the 180 min of that Saturday  4 x 3.5714 + 4 x .3797 = 15.80 for hole 8,
               36 x 2.0833 + 36 x .3797 = 88.67 for A11, 60 for the inspection
               leave 15.53; A12 takes 33 x 1.0 (usual figure) + 33 x .3797 = 45.53,
               so it ends on the next evening, Tuesday 2026-12-08
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest

from rivetwright.bench.home import home
from rivetwright.bench.tonight import Asked, Tonight, chain_for, tonight
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.work.now import Held
from rivetwright.engines.work.rates import OWN

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
EVENING, SATURDAY = date(2026, 11, 25), date(2026, 11, 28)


@pytest.fixture(scope="module")
def workshop(
    root: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Workshop]:
    """A copy of the demo on that day, its record begun."""
    folder = tmp_path_factory.mktemp("tonight") / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    opened = Workshop(folder, clock=lambda: NOW)
    opened.begin()
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def evening(workshop: Workshop) -> Tonight:
    """The evening of 2026-11-25."""
    return tonight(workshop, Asked(EVENING))


def done(told: Tonight) -> list[tuple[str, str, int]]:
    """What is done in order: operation, holes, how many."""
    return [
        (
            turn.way or turn.first.operation,
            " ".join(name for piece in turn.pieces for name in piece.names),
            turn.count,
        )
        for turn in told.now.turns
    ]


def held(told: Tonight, step: str, name: str) -> Held:
    """What of a step waits for something of that name."""
    return next(
        one
        for one in told.now.held
        if one.pieces[0].step == step and one.wait.name == name
    )


def test_what_to_set_this_evening(evening: Tonight) -> None:
    """Noise first, heads after each, one assembly after the other, drilling last."""
    assert done(evening) == [
        ("back-riveting", "A17 A18", 12),
        ("check heads", "A17 A18", 12),
        ("squeezer", "B3 B4", 6),
        ("check heads", "B3 B4", 6),
        ("squeezer", "B8:2-5", 4),
        ("check heads", "B8:2-5", 4),
        ("match-drill", "C13 C15 C16 C17 C18 C19", 87),
    ]
    assert evening.now.rivets == 22
    assert evening.now.later == ()
    # Of B8 hole 1 stays open, for Q-3.
    assert [t.marks for t in evening.now.turns if t.marks] == [("B8:1",)]


def test_minutes_of_this_evening(evening: Tonight) -> None:
    """By own rates: 99.89 min, from 0.8 to 1.6 of it; no day of the calendar."""
    minutes = evening.now.minutes
    assert minutes is not None
    assert minutes.basis == OWN
    assert minutes.likely == pytest.approx(99.89, abs=0.01)
    assert minutes.low == pytest.approx(0.8 * 99.89, abs=0.01)
    assert minutes.high == pytest.approx(1.6 * 99.89, abs=0.02)
    likely = [round(turn.minutes.likely, 2) for turn in evening.now.turns]
    assert likely == [20.0, 4.56, 12.5, 2.28, 8.33, 1.52, 50.71]
    assert evening.session.minutes == 120
    assert not evening.is_in_calendar


@pytest.mark.parametrize(
    ("step", "kind", "name", "until"),
    [
        ("aileron-3", "answer", "Q-2", None),
        ("aileron-5", "tool", "BB3", date(2026, 12, 4)),
        ("aileron-5", "answer", "Q-1", None),
        ("aileron-6", "finding", "LENGTH-01", None),
        ("aileron-6", "part", "513", None),
        ("flap-1", "part", "709B", date(2026, 12, 18)),
        ("rib-3", "answer", "Q-3", None),
        ("rib-6", "answer", "Q-4", None),
        ("rib-7", "part", "621", date(2026, 12, 9)),
        ("wing-4", "delivery", "wing kit", None),
    ],
)
def test_the_one_thing_each_piece_waits_for(
    evening: Tonight, step: str, kind: str, name: str, until: date | None
) -> None:
    """As the tables of holes left open, steps and questions have it."""
    wait = held(evening, step, name).wait
    assert (wait.kind, wait.until) == (kind, until)


def test_a_countersink_that_was_asked_about_is_not_cut(evening: Tonight) -> None:
    """Q-4 asks whether the web may be countersunk at all: its 8 holes wait (P4)."""
    some = held(evening, "rib-6", "Q-4").pieces
    assert sum(p.count for p in some if p.operation == "countersink") == 16
    assert sum(p.count for p in some if p.operation == "set") == 8


def test_the_bulletin_counts(evening: Tonight) -> None:
    """Four rivets of B9 come out, B10 and B19 are set anew: 4 + 9 under rib-7 (P5)."""
    some = held(evening, "rib-7", "621").pieces
    counts = {"drill out and replace": 0, "set": 0}
    for piece in some:
        if piece.operation in counts:
            counts[piece.operation] += piece.count
    assert counts == {"drill out and replace": 4, "set": 9}


def test_saturday_brings_a_second_person(workshop: Workshop) -> None:
    """B5 waits for rib-3 then, which waits for Q-3; leaving B8:1 would free it."""
    told = tonight(workshop, Asked(SATURDAY))
    assert told.is_in_calendar
    assert told.session.has_second
    assert told.session.minutes == 180
    waiting = held(told, "rib-4", "rib-3")
    assert waiting.root is not None
    assert waiting.root.name == "Q-3"
    assert waiting.may_leave
    assert not held(told, "aileron-5", "aileron-3").may_leave


def test_after_nine_only_what_is_quiet(workshop: Workshop) -> None:
    """The hand squeezer takes the same yokes; back-riveting waits for another hour."""
    told = tonight(workshop, Asked(EVENING, hours=2, begins=time(21)))
    assert done(told)[:1] == [("hand squeezer", "B3 B4", 6)]
    assert held(told, "aileron-4", "").wait.kind == "quiet"
    assert not any(turn.is_noisy for turn in told.now.turns)


def test_the_nose_cannot_be_shut_on_saturday(
    workshop: Workshop, evening: Tonight
) -> None:
    """Not before Tuesday 2026-12-08, and three answers have no day at all."""
    chain = chain_for(evening.work, EVENING, "aileron/aileron-8", SATURDAY)
    assert not chain.is_possible
    assert chain.earliest == date(2026, 12, 8)
    assert {wait.name for wait in chain.unknown} == {"Q-1", "Q-2", "LENGTH-01"}
    links = {link.step.partition("/")[2]: link for link in chain.links}
    skin = links["aileron-5"]
    assert skin.decides is not None
    assert (skin.decides.name, skin.ready) == ("BB3", date(2026, 12, 4))
    assert [skin.ends, links["aileron-7"].ends] == [date(2026, 12, 5)] * 2
    on_chain = [name for name, link in links.items() if link.is_chain]
    assert on_chain == ["aileron-5", "aileron-6", "aileron-7", "aileron-8"]


def test_what_unlocks_most(evening: Tonight) -> None:
    """709B holds up the whole flap; Q-2 opens spar and skin: 14.78 + 68.97 min.

    A1, A2: 6 x 2.0833 + 6 x .3797 = 14.78. A19 to A22, holes 1 to 7: 28 x 2.0833 +
    28 x .3797 = 68.97.
    """
    first = evening.unlocks[0]
    assert first.wait.name == "709B"
    by_name = {one.wait.name: one for one in evening.unlocks if one.way == "comes"}
    assert by_name["Q-2"].freed_minutes == pytest.approx(14.78 + 68.97, abs=0.02)
    assert by_name["BB3"].freed_minutes == 0.0
    left = [one.wait.name for one in evening.unlocks if one.way == "is left"]
    assert left == ["709B"]


def test_good_places_to_stop(evening: Tonight) -> None:
    """The skin once on, nothing lies well until the nose is shut; so the flap's bottom.

    After aileron-5 the skin lies on the spar's flanges without a rivet there: A11 and
    A12, 37 holes each, a holder in every second one and at both ends, 19 each.
    """
    places = {one.assembly: one for one in evening.places}
    stretches = [s.steps for one in evening.places for s in one.stretches]
    assert stretches == [
        ("aileron-5", "aileron-6", "aileron-7", "aileron-8"),
        ("flap-6", "flap-7", "flap-8"),
    ]
    after_skin = next(p for p in places["aileron"].after if p.step == "aileron-5")
    assert [(one.row, one.holders) for one in after_skin.loose] == [
        ("A11", 19),
        ("A12", 19),
    ]
    assert all(one.now.is_good for one in evening.places)


def test_first_page_says_what_was_left_open(workshop: Workshop) -> None:
    """A1 and A2, B8:1, the nutplates, and what SB-07 asks for; 75 of 481 rivets stand.

    79 are set (section 13); four of them, B9, must come out. 476 holes and B19's five.
    """
    found = home(workshop, Asked(EVENING))
    left = {one.wait.name: set(one.names) for one in found.left_open}
    nutplates = {"B15", "B16", "B17", "B18"}
    assert {name: left[name] for name in ("Q-2", "Q-3", "Q-4")} == {
        "Q-2": {"A1", "A2"},
        "Q-3": {"B8:1"},
        "Q-4": nutplates,
    }
    assert {"B9", "B10", "B19:3"} <= left["621"]
    assert (found.set_count, found.hole_count) == (75, 481)
    # The log of section 10 comes to 1,100 minutes.
    assert found.booked_minutes == 1100
    assert next(iter(found.awaited)).wait.name == "BB3"
