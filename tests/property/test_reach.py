"""Laws of reach: more in the way never helps, more tool never hurts.

A drawing that is turned or mirrored says the same. And one fault at a
time put into clean bays: exactly its finding stands, no other.
"""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.reach.fit import NO, TIGHT, fits
from rivetwright.engines.worked import Worked
from rivetwright.model.outline import CutOut, Face, Layer, Leg, Outline
from rivetwright.model.pattern import Point, Points
from rivetwright.model.plan import Access, Plan
from rivetwright.model.severity import Severity
from rivetwright.model.shop import Shop, Tool
from tests.property.faults.tools import TOOL_FAULTS, Bay, clean_bay

SEEDS = range(40)
SIDES = ("v0", "u1", "v1", "u0")
lengths = st.floats(1.0, 200.0)
maybe = st.one_of(st.none(), lengths)
tools = st.builds(
    Tool,
    st.just("T"),
    st.sampled_from(["yoke", "bar"]),
    reach_mm=lengths,
    gap_mm=lengths,
    nose_mm=lengths,
    half_width_mm=st.floats(1.0, 20.0),
)
accesses = st.builds(
    Access,
    entry_mm=maybe,
    throat_flange_mm=st.floats(0.0, 50.0),
    gap_behind_mm=maybe,
    wall_shop_mm=maybe,
    wall_head_mm=maybe,
)


def bay_with(access: Access, tool: Tool) -> Worked:
    """A bay whose planned row has these surroundings, with one tool."""
    bay = clean_bay(1)
    bay.rows[1] = replace(bay.rows[1], access=access)
    bay.tools = [tool]
    return Worked(bay.plan(), bay.shop())


def fit_of(access: Access, tool: Tool) -> int:
    """How the tool fits the row with these surroundings."""
    worked = bay_with(access, tool)
    return int(fits(worked).fit[0, worked.holes.index("Q:1")])


def shorter(length_mm: float | None, by_mm: float) -> float:
    """A length with more in the way; where it was open there is something now."""
    return max((250.0 if length_mm is None else length_mm) - by_mm, 0.0)


@given(accesses, tools, st.floats(0.0, 100.0), st.sampled_from(range(5)))
@settings(max_examples=60, deadline=None)
def test_more_in_the_way_never_adds_a_tool(
    access: Access, tool: Tool, by_mm: float, which: int
) -> None:
    """A further edge, higher flange, less depth or nearer wall: never a better fit."""
    worse = (
        replace(access, entry_mm=(access.entry_mm or 0.0) + by_mm),
        replace(access, throat_flange_mm=access.throat_flange_mm + by_mm),
        replace(access, gap_behind_mm=shorter(access.gap_behind_mm, by_mm)),
        replace(access, wall_shop_mm=shorter(access.wall_shop_mm, by_mm)),
        replace(access, wall_head_mm=shorter(access.wall_head_mm, by_mm)),
    )[which]
    assert fit_of(worse, tool) <= fit_of(access, tool)


@given(accesses, tools, st.floats(0.0, 100.0), st.sampled_from(range(4)))
@settings(max_examples=60, deadline=None)
def test_a_better_tool_never_loses_a_hole(
    access: Access, tool: Tool, by_mm: float, which: int
) -> None:
    """Longer reach, deeper throat, thinner nose, narrower: never a worse fit."""
    assert tool.reach_mm is not None
    assert tool.gap_mm is not None
    assert tool.nose_mm is not None
    assert tool.half_width_mm is not None
    better = (
        replace(tool, reach_mm=tool.reach_mm + by_mm),
        replace(tool, gap_mm=tool.gap_mm + by_mm),
        replace(tool, nose_mm=max(tool.nose_mm - by_mm, 0.0)),
        replace(tool, half_width_mm=max(tool.half_width_mm - by_mm, 0.0)),
    )[which]
    assert fit_of(access, better) >= fit_of(access, tool)


# --- drawn bays --------------------------------------------------------------------


@st.composite
def drawn_plans(draw: st.DrawFn) -> Plan:
    """A few sheets with legs and a cut-out over each other, and holes in them."""
    spans = st.tuples(st.integers(0, 60), st.integers(70, 140))
    layers = []
    for number in range(draw(st.integers(1, 3))):
        bends = draw(st.sets(st.sampled_from(SIDES), max_size=2))
        legs = tuple(
            Leg(
                SIDES.index(side),
                float(draw(st.integers(5, 30))),
                draw(st.sampled_from(["away", "toward"])),
            )
            for side in sorted(bends)
            if draw(st.booleans())
        )
        outline = Outline.rectangle(draw(spans), draw(spans), tuple(bends))
        cuts = (CutOut((65.0, 65.0), 33.0),) if draw(st.booleans()) else ()
        part = ("web", "doubler", "post")[number]
        layers.append(Layer(part, outline, cuts, legs=legs))
    places = draw(
        st.lists(
            st.tuples(st.integers(1, 139), st.integers(1, 139)),
            min_size=1,
            max_size=6,
            unique=True,
        )
    )
    plan = clean_bay(0).plan()
    points = Points(tuple((float(u) + 0.25, float(v) + 0.75) for u, v in places))
    row = replace(plan.rows[0], pattern=points)
    return replace(plan, rows=(row,), faces=(Face("F", "", tuple(layers)),))


def moved(plan: Plan, turn: int, is_mirrored: bool, by: Point) -> Plan:
    """The plan turned by quarters, mirrored, and shifted; corners stay in order."""

    def place(point: Point) -> Point:
        u, v = point
        for _ in range(turn):
            u, v = -v, u
        return (-u if is_mirrored else u) + by[0], v + by[1]

    def layer(one: Layer) -> Layer:
        corners = tuple(place(corner) for corner in one.outline.corners_mm)
        cuts = tuple(
            replace(cut, centre_mm=place(cut.centre_mm))
            for cut in one.cut_outs
            if cut.centre_mm
        )
        outline = Outline(corners, one.outline.sides)
        return replace(one, outline=outline, cut_outs=cuts)

    (row,), (face,) = plan.rows, plan.faces
    assert isinstance(row.pattern, Points)
    points = Points(tuple(place(one) for one in row.pattern.points_mm))
    face = replace(face, layers=tuple(layer(one) for one in face.layers))
    return replace(plan, rows=(replace(row, pattern=points),), faces=(face,))


SHOP = Shop("s", "s", "mm", tools=tuple(clean_bay(0).tools))
COLUMNS = ("entry_mm", "throat_flange_mm", "wall_shop_mm", "wall_head_mm")


def reach_columns(plan: Plan) -> list[NDArray[np.float64]]:
    """What stands round the holes of a plan, and how far each tool is from fitting."""
    worked = Worked(plan, SHOP)
    found = [np.nan_to_num(worked[name], nan=-1.0) for name in COLUMNS]
    slack = np.nan_to_num(fits(worked).slack_mm, nan=-2.0, posinf=1e6, neginf=-1e6)
    return [*found, slack]


@given(drawn_plans(), st.integers(0, 3), st.booleans(), st.integers(-300, 300))
@settings(max_examples=60, deadline=None)
def test_turning_and_mirroring_a_drawing_changes_nothing(
    plan: Plan, turn: int, is_mirrored: bool, shift: int
) -> None:
    """A quarter turn, a mirror image and a shift leave every distance as it was."""
    other = moved(plan, turn, is_mirrored, (float(shift), float(-2 * shift)))
    for one, two in zip(reach_columns(plan), reach_columns(other), strict=True):
        assert two == pytest.approx(one, abs=1e-5)


@given(drawn_plans(), st.integers(0, 2), st.integers(0, 3), st.integers(1, 30))
@settings(max_examples=60, deadline=None)
def test_a_higher_leg_never_adds_a_tool(
    plan: Plan, which: int, side: int, more: int
) -> None:
    """A leg made higher leaves no tool more than it did."""
    (face,) = plan.faces
    layers = list(face.layers)
    at = which % len(layers)
    legs = tuple(
        replace(leg, height_mm=leg.height_mm + more) if leg.side == side else leg
        for leg in layers[at].legs
    )
    layers[at] = replace(layers[at], legs=legs)
    higher = replace(plan, faces=(replace(face, layers=tuple(layers)),))
    before, after = (fits(Worked(one, SHOP)).fit for one in (plan, higher))
    assert (after <= before).all()


@given(drawn_plans())
@settings(max_examples=40, deadline=None)
def test_ways_in_and_walls_equal_those_reckoned_hole_by_hole(plan: Plan) -> None:
    """The least entry, by the distance to everything that is not sheet.

    Only where no bend is without a leg: over such a one nobody comes in.
    """
    (face,) = plan.faces
    for layer in face.layers:
        if layer.cut_outs or len(layer.legs) < layer.outline.sides.count("bend"):
            return
    worked = Worked(plan, SHOP)
    found = fits(worked).asked
    holes = worked.holes
    for hole in np.flatnonzero(found.is_known).tolist():
        u, v = float(holes.x_mm[hole]), float(holes.y_mm[hole])
        assert found.least_entry_mm[hole] == pytest.approx(
            outside_mm(face.layers, u, v), abs=0.3
        )


def outside_mm(layers: tuple[Layer, ...], u: float, v: float) -> float:
    """Distance to the nearest place outside all rectangles, on a quarter-mm grid.

    Rays of every direction are walked until they leave the last sheet, which is what
    a person does with a ruler.
    """
    angles = np.linspace(0.0, 2 * np.pi, 720, endpoint=False)
    far = np.arange(0.0, 200.0, 0.25)
    x = u + far[:, None] * np.cos(angles)
    y = v + far[:, None] * np.sin(angles)
    inside = np.zeros(x.shape, dtype=bool)
    for layer in layers:
        (u0, v0), (u1, v1) = layer.outline.corners_mm[0], layer.outline.corners_mm[2]
        inside |= (x > u0) & (x < u1) & (y > v0) & (y < v1)
    return float(far[(~inside).argmax(axis=0)].min())


# --- one fault at a time -----------------------------------------------------------


def spoken(bay: Bay) -> set[tuple[str, str]]:
    """Code and hole of everything said of tools that stops or asks to check."""
    worked_plan: WorkedPlan = work_out(bay.plan(), shop=bay.shop())
    return {
        (finding.code, worked_plan.worked.holes.name(hole))
        for finding in worked_plan.findings
        if finding.code.startswith(("REACH", "TOOL"))
        and finding.severity is not Severity.NOTE
        for hole in finding.holes
    }


@pytest.mark.parametrize("seed", SEEDS)
def test_a_clean_bay_says_nothing_of_tools(seed: int) -> None:
    """Room to spare everywhere: nothing stops and nothing is to be checked."""
    assert spoken(clean_bay(seed)) == set()


@pytest.mark.parametrize("code", TOOL_FAULTS)
@pytest.mark.parametrize("seed", SEEDS)
def test_one_fault_makes_exactly_its_finding(code: str, seed: int) -> None:
    """The finding stands at the holes of the fault; no other stops or is to check."""
    bay = clean_bay(seed)
    holes = TOOL_FAULTS[code](bay, Random(f"{seed} {code}"))
    assert spoken(bay) == {(code, hole) for hole in holes}


@given(drawn_plans())
@settings(max_examples=20, deadline=None)
def test_without_a_shop_nothing_is_said_of_tools(plan: Plan) -> None:
    """No tool, no verdict, no finding; with one there is a verdict at every hole."""
    codes = {finding.code for finding in work_out(plan).findings}
    assert not any(code.startswith(("REACH", "TOOL")) for code in codes)
    assert set(Worked(plan)["tool_verdict"]) == {""}
    assert "" not in set(Worked(plan, SHOP)["tool_verdict"])


@given(accesses)
@settings(max_examples=40, deadline=None)
def test_a_tool_without_limits_always_gets_there(access: Access) -> None:
    """A yoke and a bar with no size given are in nobody's way."""
    for kind in ("yoke", "bar"):
        open_ended = replace(access, wall_head_mm=None)
        fit = fit_of(open_ended, Tool("T", kind))
        gap = access.gap_behind_mm
        if gap is None or gap > 6.35:
            assert fit >= TIGHT, kind
        else:
            assert fit == NO, kind
