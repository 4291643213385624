"""Totals, holds and open holes of the demo, as its tables have them."""

from __future__ import annotations

import pytest

from rivetwright.engines.plan import WorkedPlan

TOTALS = (("aileron", 172, 44), ("root-rib", 110, 35), ("flap", 194, 0))

# Deferred table of the scenario: entry -> file, holes, of which already set.
DEFERRED = {
    "D1": ("aileron", 3, 0),
    "D2": ("aileron", 2, 0),
    "D3": ("root-rib", 20, 0),
    "D4": ("root-rib", 20, 0),
    "D5": ("root-rib", 5, 0),
    "D6": ("root-rib", 2, 0),
    "D7": ("flap", 18, 0),
    "D8": ("root-rib", 8, 4),
    "D9": ("aileron", 4, 0),
    "D10": ("aileron", 4, 0),
}


@pytest.mark.parametrize(("file", "holes", "set_count"), TOTALS)
def test_holes_and_set_rivets(
    demo: dict[str, WorkedPlan], file: str, holes: int, set_count: int
) -> None:
    """476 holes in all, 79 of them set."""
    found = demo[file].worked.holes
    assert (len(found), int(found.is_set.sum())) == (holes, set_count)


def _entries(demo: dict[str, WorkedPlan]) -> dict[str, tuple[str, int, int]]:
    """Open-hole and hold entries with their holes, counted from the columns.

    D2 is written as D2A and D2B, since its two holes get different rivets.
    """
    found: dict[str, tuple[str, int, int]] = {}
    for file, worked in demo.items():
        holes = worked.worked.holes
        plan = worked.worked.plan
        for column, entries in (
            (holes.open_holes, plan.open_holes),
            (holes.hold, plan.opening.holds),
        ):
            for k, entry in enumerate(entries):
                here = column == k
                count, done = int(here.sum()), int((here & holes.is_set).sum())
                name = entry.id.rstrip("AB")
                _, count_before, done_before = found.get(name, (file, 0, 0))
                found[name] = (file, count_before + count, done_before + done)
    return found


def test_deferred_holes_are_as_the_table_lists_them(
    demo: dict[str, WorkedPlan],
) -> None:
    """D1 to D10 stand at their holes: 86 in all, 4 of them already set."""
    found = _entries(demo)
    assert found == DEFERRED
    assert sum(count for _, count, _ in found.values()) == 86
    assert sum(done for _, _, done in found.values()) == 4


@pytest.mark.parametrize(
    ("file", "hole", "stack", "callout"),
    [
        ("aileron", "A12:19", "512 + 503 + 502 + 501", "BD4-2"),
        ("aileron", "A12:37", "513 + 503 + 502 + 501", "BD4-2"),
        ("root-rib", "B5:6", "602 + 609 + 605 + 903", "MS20470AD5-8"),
        ("root-rib", "B5:5", "602 + 609 + 605", "MS20470AD5-7"),
        ("root-rib", "B14:1", "604 + 602", "MS20470AD4-4"),
    ],
)
def test_later_stack_and_callout(
    demo: dict[str, WorkedPlan], file: str, hole: str, stack: str, callout: str
) -> None:
    """What is set later has its own stack and callout, from outlines and as written."""
    worked = demo[file].worked
    at = worked.holes.index(hole)
    assert worked.at("used_stack", at) == stack
    assert worked.at("drawn_stack", at) == stack
    assert str(worked.holes.callout(at)) == callout
