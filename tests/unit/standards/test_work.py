"""What operations take before the log speaks: shares of the work at a diary's pace.

A diary has 170 rivets in 3 h 19 min, handling and all: 199 / 170 = 1.171 min, 51 an
hour.  Shares judged for planning: read 8, fit and drill 18, deburr 20, dimple or
countersink 10, clean and prime 14, set 18, check 3.
"""

from __future__ import annotations

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.source import Status
from rivetwright.standards.work import usual_rate, usual_rates, work_constant

RIVET_MIN = 199 / 170


@pytest.mark.parametrize(
    ("name", "minutes"),
    [
        ("squeezer", RIVET_MIN),
        ("match-drill", RIVET_MIN * 18 / 18),
        ("deburr", RIVET_MIN * 20 / 18),
        # Two sheets of a flush rivet are dimpled, one is countersunk.
        ("dimple", RIVET_MIN * 10 / 18 / 2),
        ("countersink", RIVET_MIN * 10 / 18),
        # Seven holes a part.
        ("prime", RIVET_MIN * 14 / 18 * 7),
        ("check heads", RIVET_MIN * 3 / 18),
        # An assembly of a hundred rivets.
        ("read drawings", RIVET_MIN * 8 / 18 * 100),
        # About 25 an hour, alone and by feel.
        ("gun and bar", 60 / 25),
    ],
)
def test_usual_rates_follow_from_shares(name: str, minutes: float) -> None:
    """As the place of each row says, rounded."""
    assert usual_rate(name).value.minutes == pytest.approx(minutes, rel=0.03)


def test_ranges_and_statuses() -> None:
    """0.8 to 1.6 of it, wider where less is known; none stronger than second-hand."""
    for one in usual_rates():
        assert one.value.low_ratio <= 0.8
        assert one.value.high_ratio >= 1.6
        assert one.status in (Status.SECOND_HAND, Status.JUDGEMENT)


def test_constants() -> None:
    """About ten days for the inspector, an evening of two hours, primer overnight."""
    assert work_constant("inspector's notice").value == 10
    assert work_constant("evening").value == 2
    assert work_constant("primer dries").value == 12
    assert work_constant("primer dries").status is Status.JUDGEMENT


def test_names_outside_the_tables_are_refused() -> None:
    """What the tables do not have is said, with what they have."""
    with pytest.raises(OutsideTable, match="deburr"):
        usual_rate("knitting")
    with pytest.raises(OutsideTable, match="primer dries"):
        work_constant("moon")
