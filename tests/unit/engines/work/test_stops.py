"""Good places to stop on a box of two skins: after which steps it lies well.

Step 1 rivets the rib to the spar, step 2 the top skin to the rib, step 3 the top skin
to the spar, step 4 a strip to the spar.  After step 2 the skin lies on the spar's
flange without a rivet there: it gapes until step 3.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.work.pieces import pieces_of
from rivetwright.engines.work.rates import default_rates
from rivetwright.engines.work.stand import stand_as_written
from rivetwright.engines.work.stops import Places, places_to_stop
from rivetwright.model.opening import Hold, Opening, StepState
from rivetwright.model.outline import Face
from rivetwright.model.plan import Row, Sheet
from rivetwright.model.step import Need, Step
from tests.unit.engines.small import box, plan_of, row

STEPS = (
    Step("1", "rib to spar"),
    Step("2", "skin to rib", needs=(Need("step", "1"),)),
    Step("3", "skin to spar", needs=(Need("step", "2"),)),
    Step("4", "strip to spar", needs=(Need("step", "3"),)),
)
SEAMS = (
    ("R1", "WEB", "1", ("rib", "spar"), 4),
    ("R2", "TOP", "2", ("skin", "rib"), 6),
    ("R3", "FLANGE", "3", ("skin", "spar"), 9),
    ("R4", "WEB", "4", ("strip", "spar"), 3),
)


def seam(name: str, face: str, step: str, parts: tuple[str, str], count: int) -> Row:
    """A row of some holes on a face through two parts."""
    places = [(5.0 + 10.0 * k, 10.0) for k in range(count)]
    made = row(name, "MS20470AD4-4", *places, step=step)
    sheets = tuple(Sheet(part) for part in parts)
    return Row(**{**vars(made), "face": face, "stack": sheets})


def worked_box(opening: Opening) -> WorkedPlan:
    """The box, worked out."""
    rows = [seam(*one) for one in SEAMS]
    plan = plan_of(*rows, steps=STEPS, opening=opening)
    parts: dict[str, dict[str, None]] = {}
    for _, face, _, seamed, _ in SEAMS:
        parts.setdefault(face, {}).update(dict.fromkeys(seamed))
    faces = tuple(
        Face(name, name, tuple(box(part) for part in some))
        for name, some in parts.items()
    )
    return work_out(replace(plan, faces=faces))


def places(opening: Opening) -> Places:
    """Where the box may be put away."""
    stand = stand_as_written(worked_box(opening))
    return places_to_stop(stand, pieces_of([stand], None, default_rates()))


def test_a_skin_half_on_is_no_place_to_stop() -> None:
    """Steps 2 and 3 belong together; in between, 9 holes of R3 take 5 holders."""
    found = places(Opening())
    assert [(p.step, p.is_good) for p in found.after] == [
        ("1", True),
        ("2", False),
        ("3", True),
        ("4", True),
    ]
    assert [(one.row, one.holes, one.holders) for one in found.after[1].loose] == [
        ("R3", 9, 5)
    ]
    assert [one.steps for one in found.stretches] == [("2", "3")]
    assert found.stretches[0].holders == 5
    assert found.now.is_good


def test_as_it_lies_in_the_middle_of_it() -> None:
    """Steps 1 and 2 set: it lies badly now, and well after step 3."""
    done = Opening(
        set_holes=("R1:1-4", "R2:1-6"),
        steps=(StepState("1", "done"), StepState("2", "done")),
    )
    found = places(done)
    assert [one.row for one in found.now.loose] == ["R3"]
    assert found.now.holders == 5
    assert [(p.step, p.is_good) for p in found.after] == [("3", True), ("4", True)]


def test_a_seam_that_was_begun_holds() -> None:
    """Two rivets of R3 keep the skin down."""
    done = Opening(
        set_holes=("R1:1-4", "R2:1-6", "R3:4-5"),
        steps=(StepState("1", "done"), StepState("2", "done")),
    )
    assert places(done).now.is_good


def test_what_waits_in_a_stretch_is_told() -> None:
    """R3 waits for part 9: steps 2 and 3 are not begun before it is here."""
    hold = Hold("H", ("R3:1-9",), "late", "part", "9", date(2026, 12, 9))
    (stretch,) = places(Opening(holds=(hold,))).stretches
    assert [wait.name for wait in stretch.waits] == ["9"]
