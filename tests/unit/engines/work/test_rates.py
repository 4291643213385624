"""Own rates out of a log in words; the table's for what it lacks."""

from __future__ import annotations

import pytest

from rivetwright.engines.work.rates import (
    DEFAULT,
    OWN,
    Logged,
    operation_named,
    operations_named,
    own_rates,
)
from rivetwright.standards.source import Status


def test_rates_are_all_minutes_over_all_counts() -> None:
    """(45 + 55) min for (20 + 28) rivets; a line without a count says nothing."""
    log = [
        Logged("set, squeezer", 45, 20, "rivets"),
        Logged("set, squeezer", 55, None, "28 rivets"),
        Logged("set, squeezer", 500),
    ]
    rate = own_rates(log)["squeezer"]
    assert rate.minutes == pytest.approx(100 / 48)
    assert (rate.basis, rate.entries, rate.count) == (OWN, 2, 48)
    assert rate.status is Status.OWN_TEST


def test_a_line_counts_what_its_operation_counts() -> None:
    """172 holes and 15 parts: deburring goes by holes, priming by parts."""
    log = [
        Logged("deburr", 150, 172, "holes, 15 parts"),
        Logged("prime", 80, None, "15 parts"),
    ]
    rates = own_rates(log)
    assert rates["deburr"].minutes == pytest.approx(150 / 172)
    assert rates["prime"].minutes == pytest.approx(80 / 15)


def test_without_a_log_the_table_speaks() -> None:
    """51 rivets an hour are 1.17 min each; weak, and said so."""
    rate = own_rates([])["squeezer"]
    assert (rate.basis, rate.entries) == (DEFAULT, 0)
    assert rate.minutes == pytest.approx(60 / 51, abs=0.01)
    assert rate.status is Status.SECOND_HAND


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("match-drill", "match-drill"),
        ("set, back-rivet", "back-riveting"),
        ("Set, gun and bar", "gun and bar"),
        ("drill out and replace", "drill out and replace"),
        ("read drawings, mark do-not-rivet holes", "read drawings"),
        ("clean, put away, move assemblies", ""),
        ("drank tea", ""),
    ],
)
def test_operations_of_a_log(text: str, name: str) -> None:
    """As the scenario's log writes them; tidying is none of the table's operations."""
    assert operation_named(text) == name


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("assemble with sheet holders, match-drill all", ("match-drill",)),
        ("take apart, deburr, dimple, clean, prime", ("deburr", "dimple", "prime")),
        (
            "deburr, dimple, countersink hinge, prime",
            ("deburr", "dimple", "countersink", "prime"),
        ),
        ("spar: brackets, doublers, end ribs to web", ()),
    ],
)
def test_operations_of_a_step(text: str, names: tuple[str, ...]) -> None:
    """Titles of the scenario's steps."""
    assert operations_named(text) == names
