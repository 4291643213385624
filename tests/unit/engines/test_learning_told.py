"""What the heads of a shop tell by name: offsets, alarms that stand, wear of dies.

Heads are made up in thousandths of an inch; the yoke is so stiff that offset is lift.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from rivetwright.engines.learning.told import NamedHead, heads_told
from rivetwright.engines.squeeze.taught import Basis
from tests.unit.engines.made_heads import EIGHTH, LARGER, MIL, STIFF, lifted

# Scatter by hand about nought: its own mean is 0, none further off than 2.
QUIET = (1.0, -2.0, 0.0, 2.0, -1.0)


def named(lifts_mil: Sequence[float], step: int = 10) -> list[NamedHead]:
    """Heads A:1, A:2 ... so much higher, each after so many more strokes."""
    return [
        NamedHead(f"A:{k}", one, step * k)
        for k, one in enumerate(lifted(lifts_mil), start=1)
    ]


def test_nothing_is_told_without_heads() -> None:
    """No dies, no springs, no alarm."""
    told = heads_told([], [STIFF])
    assert told.taught.dies == {}
    assert told.of(EIGHTH).standing is None
    assert told.of(EIGHTH).wear is None


def test_heads_teach_their_own_dies() -> None:
    """Ten about +4 teach those dies and no others."""
    told = heads_told(named([4 + mil for mil in QUIET * 2]), [STIFF])
    assert told.taught.of(EIGHTH).offset_mm == pytest.approx(4 * MIL, abs=0.3 * MIL)
    assert told.taught.of(LARGER).basis is Basis.PHYSICS
    assert told.of(EIGHTH).alarms == ()


def test_a_lasting_change_raises_an_alarm_by_name() -> None:
    """Twenty about nought, then heads 10 higher: each counts 2.5 less 0.5 of slack.

    The sum is over 5 at the third of them, so the alarm is at A:23, begun at A:21,
    by about ten. It stands, for it is the last head.
    """
    told = heads_told(named([*(QUIET * 4), 10.0, 11.0, 9.0]), [STIFF]).of(EIGHTH)
    (raised,) = told.alarms
    assert (raised.since, raised.at) == ("A:21", "A:23")
    assert raised.alarm.by_mm == pytest.approx(10 * MIL, abs=0.5 * MIL)
    assert told.standing is raised


@pytest.mark.parametrize(("after", "stands"), [(2, True), (3, False)])
def test_an_alarm_stands_until_three_heads_after_it(after: int, stands: bool) -> None:
    """As after any change: the first three of a set-up are measured, then no more."""
    lifts = [*(QUIET * 4), 10.0, 11.0, 9.0, *(10 + mil for mil in QUIET[:after])]
    told = heads_told(named(lifts), [STIFF]).of(EIGHTH)
    assert (told.standing is not None) == stands
    assert len(told.alarms) == 1


def test_after_an_alarm_the_offset_is_that_of_the_new_heads() -> None:
    """Twenty old heads about nought are forgotten: the newest ones stand at ten."""
    lifts = [*(QUIET * 4), 10.0, 11.0, 9.0, *(10 + mil for mil in QUIET)]
    taught = heads_told(named(lifts), [STIFF]).taught.of(EIGHTH)
    assert taught.heads_count == 8
    assert taught.offset_mm == pytest.approx(10 * MIL, abs=0.5 * MIL)


def test_heads_that_creep_wear_their_dies() -> None:
    """Half a thousandth higher every hundred strokes is 5 thousandths in a thousand."""
    lifts = [k * 0.5 + mil / 4 for k in range(20) for mil in (QUIET[k % 5],)]
    told = heads_told(named(lifts, step=100), [STIFF]).of(EIGHTH)
    assert told.wear is not None
    assert told.wear.per_1000_mm.central == pytest.approx(5 * MIL, rel=0.15)
    assert told.wear.is_wearing


def test_stalled_heads_and_other_yokes_tell_nothing() -> None:
    """They are passed over, and no name is mixed up by it."""
    stalled = NamedHead("A:0", replace(lifted([60.0])[0], is_stalled=True))
    dies = replace(EIGHTH, yoke="gone")
    other = NamedHead("B:0", replace(lifted([60.0])[0], dies=dies))
    told = heads_told([stalled, other, *named(QUIET)], [STIFF])
    assert list(told.by_dies) == [EIGHTH]
    assert told.taught.of(EIGHTH).heads_count == len(QUIET)
