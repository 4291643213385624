"""What service bulletin SB-07 changes, worked by hand from the scenario's tables.

Section 9: 621 (0.040) goes under the manufactured heads of B9 and B10, five new holes
B19 through 621 and 602, both at the new step rib-7, before wing-15 closes the web.

    B9, B10   602 + 611 = 0.032 + 0.063 = 0.095  ->  621 + 602 + 611 = 0.135
              -4.5 (0.095 + 0.1875 = 0.2825 = 4.52/16) -> -5 (0.3225 = 5.16/16)
              die gap: grip + 0.060 + 0.054: 0.209 -> 0.249 (section 5)
    set       B9 4 of 4 (section 3): four rivets -4.5 come out; B10 on hold, drilled
    rivets    -5: 8, of which 6 on hand and 20 in kit SB-07K, 2026-12-09; -4 for B19: 5
    tools     B19 entry 1.10 2.05 3.00 2.05 1.10: yokes need 0.10 more than that; Y1
              has 1.5, Y2 3.0, so 1 and 5 by Y1 or Y2, 2 and 4 by Y2; at 3 Y2 ends and
              Y3 takes 3/32 only: gun and bar, two people
    hours     by the log (section 10): match-drill 190 min / 326 holes, deburr
              255 / 237, prime 140 / 25 parts, squeezer 100 / 48, gun and bar 25 / 7,
              check 30 / 79, drill out and replace 40 / 3
              4 out and replaced 53.33, 13 holes in 621 and 5 in 602 drilled 10.49 and
              deburred 19.37, 621 primed 5.60, B19:3 by gun 3.57, B19's other four and
              B10's four squeezed 16.67, 13 heads checked 4.94: 113.97 min
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from rivetwright.bench.revision import (
    Revision,
    compare_files,
    offered,
    revision_of,
)
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.revise.compare import Aspect, Kind
from rivetwright.engines.revise.outlook import Doing

NOW = datetime(2026, 11, 25, 19, 0, tzinfo=UTC)
KEY = "root-rib-sb-07"


@pytest.fixture(scope="module", params=("file", "record"))
def workshop(
    root: Path, tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest
) -> Iterator[Workshop]:
    """The demo by its files alone, and by its record."""
    folder = tmp_path_factory.mktemp("revision") / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    opened = Workshop(folder, clock=lambda: NOW)
    if request.param == "record":
        assert opened.begin()
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def sb_07(workshop: Workshop) -> Revision:
    """The plan before and after the bulletin."""
    return revision_of(workshop, KEY)


def names(revision: Revision, holes: tuple[int, ...], *, old: bool) -> list[str]:
    """Holes by name."""
    side = revision.found.old if old else revision.found.new
    return [side.worked.holes.name(hole) for hole in holes]


def test_the_bulletin_is_offered(workshop: Workshop) -> None:
    """It came in on 2026-11-16; nobody has recorded that it was done."""
    (way,) = offered(workshop)
    assert (way.key, way.came, way.met) == (KEY, "2026-11-16", None)


def test_holes_that_change(sb_07: Revision) -> None:
    """Eight changed, five added, none gone or moved."""
    found = sb_07.found
    assert [found.count(kind) for kind in (Kind.CHANGED, Kind.ADDED, Kind.GONE)] == [
        8,
        5,
        0,
    ]
    by_row = {one.row: one for one in found.changes}
    assert set(by_row) == {"B9", "B10", "B19"}
    for row in ("B9", "B10"):
        differ = {
            one.aspect: (one.before, one.after) for one in by_row[row].differences
        }
        assert set(differ) == {
            Aspect.STACK,
            Aspect.GRIP,
            Aspect.CALLOUT,
            Aspect.LENGTH,
            Aspect.STEP,
            Aspect.SET_UP,
        }
        assert differ[Aspect.STACK] == ("602 + 611", "621 + 602 + 611")
        assert differ[Aspect.CALLOUT] == ("MS20470AD4-4.5", "MS20470AD4-5")
        assert differ[Aspect.LENGTH] == (4.5, 5.0)
        assert differ[Aspect.STEP] == ("rib-5", "rib-7")
        grips = [float(mm) / 25.4 for mm in differ[Aspect.GRIP]]
        assert grips == pytest.approx([0.095, 0.135])
        gaps = [float(str(s).split()[1]) / 25.4 for s in differ[Aspect.SET_UP]]
        assert gaps == pytest.approx([0.209, 0.249], abs=0.0005)


def test_what_is_done_already(sb_07: Revision) -> None:
    """B9 is set, B10 drilled; no hole is dimpled, nothing is shut in."""
    done = {one.change.row: one for one in sb_07.asks.done}
    assert (len(done["B9"].set_holes), len(done["B10"].set_holes)) == (4, 0)
    assert (len(done["B10"].drilled), len(done["B19"].drilled)) == (4, 0)
    assert not any(one.dimpled or one.closed_by for one in sb_07.asks.done)


def test_what_must_come_out(sb_07: Revision) -> None:
    """Four rivets -4.5 of B9, and nothing to get at them."""
    (out,) = [one for one in sb_07.asks.tasks if one.doing is Doing.TAKE_OUT]
    assert names(sb_07, out.holes, old=True) == ["B9:1", "B9:2", "B9:3", "B9:4"]
    assert out.code == "MS20470AD4-4.5"
    assert sb_07.asks.out_count == 4


def test_what_it_needs(sb_07: Revision) -> None:
    """Rivets, 621, and tools by hole; before wing-15."""
    assert sb_07.asks.codes == (("MS20470AD4-4", 5), ("MS20470AD4-5", 8))
    (part,) = sb_07.deliveries
    assert (part.part, part.due) == ("621", date(2026, 12, 9))
    need = sb_07.need("MS20470AD4-5")
    assert need is not None
    assert (need.drawer.on_hand, need.drawer.coming, need.short) == (6, 20, 0)
    tools = {
        tuple(names(sb_07, one.holes, old=False)): (one.tools, one.people)
        for one in sb_07.asks.tasks
        if one.doing is Doing.SET and one.code == "MS20470AD4-4"
    }
    assert tools == {
        ("B19:1", "B19:5"): (("Y1", "Y2"), 1),
        ("B19:2", "B19:4"): (("Y2",), 1),
        ("B19:3",): (("BB1", "BB2"), 2),
    }
    assert sb_07.asks.before == "wing-15"
    assert sb_07.asks.questions == ()


def test_how_long_it_takes(sb_07: Revision) -> None:
    """113.97 min by his own rates; the manual guesses 150, inside the range."""
    low, likely, high = sb_07.asks.minutes
    assert likely == pytest.approx(113.97, abs=0.02)
    assert low < 150 < high


def test_in_what_order(sb_07: Revision) -> None:
    """Out, measure, drill, deburr, prime, set, check, write down."""
    order = list(dict.fromkeys(one.doing for one in sb_07.asks.tasks))
    assert order == [
        Doing.TAKE_OUT,
        Doing.MEASURE,
        Doing.DRILL,
        Doing.DEBURR,
        Doing.PRIME,
        Doing.SET,
        Doing.CHECK,
        Doing.RECORD,
    ]


def test_two_files_say_the_same(workshop: Workshop, sb_07: Revision) -> None:
    """As the command compares them: the plan's file and the bulletin's."""
    folder = workshop.folder
    found = compare_files(workshop, folder / "root-rib.yaml", folder / "sb-07.yaml")
    assert found.asks.minutes == pytest.approx(sb_07.asks.minutes)
    assert [one.differences for one in found.found.changes] == [
        one.differences for one in sb_07.found.changes
    ]
