"""How long the demo's flap takes at the builder's own rates, and until when."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from rivetwright.bench.forecast import Outlook, outlook
from rivetwright.bench.forecast_result import forecast_result
from rivetwright.bench.step_network import AssemblySteps, step_network
from rivetwright.bench.workshop import Workshop

EVENING = datetime(2026, 11, 25, 18, tzinfo=UTC)


@pytest.fixture(scope="module")
def found(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Outlook]:
    """The demo's outlook on the scenario's evening, its record begun."""
    folder = tmp_path_factory.mktemp("outlook") / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    workshop = Workshop(folder, clock=lambda: EVENING)
    workshop.begin()
    yield outlook(workshop)
    workshop.close()


@pytest.fixture(scope="module")
def network(found: Outlook) -> dict[str, AssemblySteps]:
    """Its steps by assembly, the root rib under its plain name."""
    return {one.key.removesuffix("-sb-07"): one for one in step_network(found)}


def test_hours_of_the_log(found: Outlook) -> None:
    """Section 10 adds up to 1,100 minutes: 18.3 hours, so rates count as one's own.

    By assembly: aileron 596 (60 95 150 85 80 45 40 16 25), root rib 369 (50 45 105 60
    55 25 14 15), flap 95 (45 50), and 40 that belong to none.
    """
    assert found.spent_hours == pytest.approx(1100 / 60)
    assert found.is_own
    spent = {one.name: one.spent_hours * 60 for one in found.assemblies}
    assert spent == pytest.approx({"Aileron": 596, "Flap": 95, "Root rib": 369})


def test_share_of_riveting(found: Outlook) -> None:
    """Set: 45 + 40 + 55 + 25 = 165 of 1,100 minutes, 15 %."""
    assert found.riveting_share == pytest.approx(165 / 1100)


def test_own_rates_lie_by_the_log(found: Outlook) -> None:
    """Minutes over counts by hand; the told ones are pulled to the table, under 20 %.

    Match-drill (95 + 45 + 50) / 326 = .583, deburr 255 / 237 = 1.076, prime 140 / 25 =
    5.6, squeezer 100 / 48 = 2.08, check 30 / 79 = .380, back-rivet 40 / 24 = 1.667.
    """
    rates = {one.operation: one.rate.minutes for one in found.operations}
    by_hand = {
        "match-drill": 190 / 326,
        "deburr": 255 / 237,
        "prime": 140 / 25,
        "squeezer": 100 / 48,
        "check heads": 30 / 79,
        "back-riveting": 40 / 24,
    }
    for name, minutes in by_hand.items():
        assert rates[name] == pytest.approx(minutes, rel=0.2)


def test_the_flap_at_own_rates(found: Outlook) -> None:
    """About 18 hours, worked out by hand from sections 1, 3, 4 and 10.

    Drill 105 holes (C13 to C19) at .583: 61. Deburr 194 at 1.076: 209. Dimple 266
    (C8-C12 70 x 2, C13 C14 35 x 2, C15-C18 28 x 2) at .333: 89. Countersink 35 at the
    usual .65: 23. Prime 12 parts at 5.6: 67. Squeezer 149 (C1-C4 C6 C7 16, C8 C11 C12
    56, C19 42, C13 C14 35) at 2.08: 310. Gun and bar 17 (C5 3, C9 C10 14) at 25 / 7:
    61. Blind 28 at the usual 1: 28. Heads 194 at .380: 74. Inspection 60. In all 982
    minutes; rework of some 3 % of 194 at 13.3: 86; 4 % tidying: 1,110 minutes, 18.5 h.
    """
    flap = next(one for one in found.assemblies if one.key == "flap")
    hours = flap.left_hours
    assert hours.likely == pytest.approx(18.5, rel=0.1)
    assert hours.low < 982 / 60 < 18.5 < hours.high
    assert (flap.set_count, flap.hole_count) == (0, 194)


def test_the_day(found: Outlook) -> None:
    """Some 28 hours at 2.6 a week are 11 weeks: the middle of February.

    2.6 hours: 5 of 8 Tuesdays, none of 7 Thursdays and all 8 Saturdays were kept.
    """
    low, likely, high = found.days
    assert low is not None
    assert likely is not None
    assert high is not None
    assert low < likely < high
    assert date(2027, 1, 25) < likely < date(2027, 3, 15)
    week = found.told.known.pace.week_minutes / 60
    assert found.told.hours.likely / week * 7 == pytest.approx(
        (likely - found.today).days, rel=0.2
    )


def test_nothing_waits_for_hands_alone(found: Outlook) -> None:
    """Every part due may be a fortnight late: eleven weeks of hours lie before it."""
    assert found.course.idle <= 2
    names = {one.wait.name: one.days for one in found.course.spares}
    assert {"BB3", "709B", "621", "Q-1", "Q-2", "Q-3", "Q-4"} <= names.keys()
    assert all(days is None or days >= 14 for days in names.values())


def test_what_has_no_date(found: Outlook) -> None:
    """The wing kit is not ordered: wing-4, -7, -15 and -22 have no date."""
    steps = {one.step for one in found.told.ahead.left_out}
    assert steps == {"wing-4", "wing-7", "wing-15", "wing-22"}


def test_chain_of_the_aileron(network: dict[str, AssemblySteps]) -> None:
    """Section 7: 3 and 4 before 5, then 6, 7, 8; the answer to Q-2 holds up 3."""
    aileron = network["aileron"]
    assert aileron.chain == tuple(f"aileron-{k}" for k in (3, 5, 6, 7, 8))
    assert aileron.done_count == 2
    steps = {one.name: one for one in aileron.steps}
    assert steps["aileron-5"].needs == ("aileron-3", "aileron-4")
    assert steps["aileron-7"].is_inspection
    assert [wait.name for wait in steps["aileron-5"].waits] == ["BB3", "Q-1"]
    assert steps["wing-22"].no_date is not None


def test_chain_of_the_flap(network: dict[str, AssemblySteps]) -> None:
    """One step after the other; the hinge leaf 709B keeps drilling of no other part."""
    flap = network["flap"]
    assert flap.chain == tuple(f"flap-{k}" for k in range(1, 9))
    assert [flap.depth[f"flap-{k}"] for k in range(1, 9)] == list(range(8))
    steps = {one.name: one for one in flap.steps}
    third, first = steps["flap-3"].ends, steps["flap-1"].ends
    assert third is not None
    assert first is not None
    assert third[1] is not None
    assert first[1] is not None
    assert third[1] < first[1]


def test_the_log_foretells_itself(found: Outlook) -> None:
    """Of 15 lines that could be foretold at least 10 and at most 15 lay within."""
    assert len(found.replay.lines) == 15
    assert 10 <= found.replay.held_count <= 15
    assert all(one.held for one in found.replay.sums)


def test_the_simple_rule(found: Outlook) -> None:
    """18.3 hours over 75 of 481 rivets, less what was spent: 99 hours.

    79 were set; SB-07 takes four of them out, and brings five holes more.
    """
    assert found.naive_hours == pytest.approx(18.333 * (481 - 75) / 75, rel=1e-3)


def test_as_json(found: Outlook) -> None:
    """Ranges in order, every step of the three plans."""
    told = forecast_result(found)
    low, likely, high = told["left_h"]
    assert low < likely < high
    assert len(told["steps"]) == 9 + 10 + 8
    assert told["replay"]["line_count"] == 15
