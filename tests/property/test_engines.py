"""Laws of working a plan out: what may and what may not change an answer."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.rules import GEOMETRY, REGISTRY
from rivetwright.engines.worked import Worked
from rivetwright.model.pattern import Counted
from rivetwright.model.plan import Part, Plan, Project, Row, RuleSets, Sheet
from rivetwright.model.step import Step
from rivetwright.standards.codes import rivet_code
from rivetwright.standards.lengths import rounding_rules
from tests.property.faults.mixed import any_plans, assemblies
from tests.property.oracle.crowded import crowded_plans
from tests.property.oracle.moved import (
    Move,
    mirror,
    moved_plan,
    quarter_turn,
    reordered_plan,
    shift,
)

IN = 25.4
PLACES = {"place_u_mm", "place_v_mm"}
thicknesses_in = st.integers(16, 125).map(lambda k: k / 1000)
preparations = st.sampled_from(["plain", "dimple", "countersink"])
sheets = st.tuples(thicknesses_in, preparations)


def one_row(
    stack: list[tuple[float, str]], diameter: int, rounding: str, *, flush: bool
) -> Plan:
    """A plan of one row through sheets of these thicknesses [in]."""
    parts = [Part(f"P{k}", "sheet", t * IN) for k, (t, _) in enumerate(stack)]
    written = [Sheet(f"P{k}", how) for k, (_, how) in enumerate(stack)]
    standard = "MS20426" if flush else "MS20470"
    code = rivet_code(standard, "AD", diameter, Fraction(4))
    row = Row("id", "R1", code, Counted(1), "1", stack=tuple(written))
    return Plan(
        "one",
        "one row",
        Project("id", "INVENTED"),
        "in",
        tuple(parts),
        (),
        (row,),
        (Step("1", "set it"),),
        rule_sets=RuleSets(length_rounding=rounding),
    )


@given(
    st.lists(sheets, min_size=1, max_size=4),
    sheets,
    st.data(),
    st.integers(3, 6),
    st.sampled_from(rounding_rules()),
    st.booleans(),
)
def test_one_more_sheet_never_shortens_grip_or_rivet(
    stack: list[tuple[float, str]],
    more: tuple[float, str],
    data: st.DataObject,
    diameter: int,
    rounding: str,
    flush: bool,
) -> None:
    """A sheet more, wherever in the stack: grip grows by it, the rivet never shrinks.

    By handbook rule, by the named rounding, and at the short end of the window.
    """
    at = data.draw(st.integers(0, len(stack)))
    grown = [*stack[:at], more, *stack[at:]]
    before = work_out(one_row(stack, diameter, rounding, flush=flush)).worked
    after = work_out(one_row(grown, diameter, rounding, flush=flush)).worked
    added = after.at("grip_mm", 0) - before.at("grip_mm", 0)
    assert added == pytest.approx(more[0] * IN)
    assert after.at("handbook_length_mm", 0) > before.at("handbook_length_mm", 0)
    assert after.at("wanted_length_16ths", 0) >= before.at("wanted_length_16ths", 0)
    assert after.at("head_volume_ratio", 0) < before.at("head_volume_ratio", 0) or (
        # A plain sheet under the shop head takes the dimple's stand-off away.
        after.at("stand_off_mm", 0) < before.at("stand_off_mm", 0)
    )


@given(any_plans)
@settings(max_examples=80)
def test_any_plan_is_worked_out(plan: Plan) -> None:
    """Every plan a file can hold gives columns of its length and readable findings."""
    worked_plan = work_out(plan)
    worked = worked_plan.worked
    for rule in REGISTRY:
        assert len(worked.of_holes(rule.output)) == len(worked.holes)
    for finding in worked_plan.findings:
        assert finding.fields
        assert finding.source.document
        assert list(finding.holes) == sorted(set(finding.holes))


def by_name(worked: Worked) -> dict[str, int]:
    """Hole index by name."""
    return {worked.holes.name(k): k for k in range(len(worked.holes))}


def differing_columns(one: Worked, two: Worked) -> set[str]:
    """Quantities that are not the same at every hole of the same name."""
    order = by_name(two)
    holes = np.array([order[name] for name in by_name(one)], dtype=np.int64)
    found = set()
    for rule in REGISTRY:
        first, second = one.of_holes(rule.output), two.of_holes(rule.output)[holes]
        if first.dtype == object:
            is_same = bool((first == second).all())
        else:
            wide = _sheets_wide(first, second)
            is_same = np.allclose(*wide, rtol=0, atol=1e-6, equal_nan=True)
        if not is_same:
            found.add(rule.output)
    return found


def _sheets_wide(
    one: np.ndarray, two: np.ndarray
) -> tuple[np.ndarray[tuple[int, ...]], np.ndarray[tuple[int, ...]]]:
    """Two columns as numbers, cut to the sheets that either has."""
    if one.ndim == 1:
        return one.astype(float), two.astype(float)
    width = min(one.shape[1], two.shape[1])
    return one[:, :width].astype(float), two[:, :width].astype(float)


def named_witnesses(worked: Worked) -> dict[tuple[str, str], dict[str, str]]:
    """What the geometry of every hole rests on, by name: edge, neighbour, row, part."""
    found = {}
    for rule in REGISTRY:
        if rule.kind == GEOMETRY and rule.witness is not None:
            for name, hole in by_name(worked).items():
                seen = rule.witness(worked, hole)
                fields = seen.fields.items() if seen else ()
                words = {key: v for key, v in fields if isinstance(v, str)}
                found[rule.output, name] = words
    return found


def said(worked_plan: WorkedPlan, *, with_places: bool = True) -> Counter[object]:
    """What is found, by the names of the holes and in rounded figures."""
    holes = worked_plan.worked.holes

    def figures(finding: Finding) -> frozenset[tuple[str, object]]:
        return frozenset(
            (name, value if isinstance(value, str) else _rounded(value))
            for name, value in finding.fields.items()
            if with_places or not name.startswith("witness_place")
        )

    return Counter(
        (
            finding.code,
            finding.severity,
            frozenset(holes.name(hole) for hole in finding.holes),
            figures(finding),
        )
        for finding in worked_plan.findings
    )


def _rounded(value: float) -> float | str:
    """A figure to a ten-thousandth of a millimetre; nan equal to itself."""
    return "nan" if math.isnan(value) else round(value, 4) + 0.0


MOVES = st.one_of(
    st.sampled_from([quarter_turn, mirror]),
    st.builds(shift, st.tuples(st.floats(-2e3, 2e3), st.floats(-2e3, 2e3))),
)


@given(st.one_of(assemblies, crowded_plans()), st.data(), MOVES)
@settings(max_examples=60)
def test_moving_a_face_changes_nothing_but_places(
    plan: Plan, data: st.DataObject, move: Move
) -> None:
    """Moved, turned by a quarter or mirrored, every other column stays, every finding.

    Sides are numbered, not named, so that a turned rectangle keeps its names.
    """
    face = data.draw(st.sampled_from([one.name for one in plan.faces]))
    still = moved_plan(plan, face, lambda at: at)
    before, after = work_out(still), work_out(moved_plan(plan, face, move))
    assert differing_columns(before.worked, after.worked) <= PLACES
    assert named_witnesses(before.worked) == named_witnesses(after.worked)
    assert said(before, with_places=False) == said(after, with_places=False)


@given(st.one_of(any_plans, crowded_plans()), st.integers(0, 2**32))
@settings(max_examples=80)
def test_order_of_listing_changes_nothing(plan: Plan, seed: int) -> None:
    """Parts, faces, rows and layers side by side may be listed in any order."""
    before = work_out(plan)
    after = work_out(reordered_plan(plan, Random(seed)))
    assert differing_columns(before.worked, after.worked) == set()
    assert named_witnesses(before.worked) == named_witnesses(after.worked)
    assert said(before) == said(after)


@given(assemblies)
@settings(max_examples=30)
def test_findings_come_stops_first(plan: Plan) -> None:
    """Stops, then checks, then notes; each code and each hole in order."""
    order = ["stop", "check", "note"]
    findings = work_out(plan).findings
    keys = [(order.index(f.severity), f.code, f.holes) for f in findings]
    assert keys == sorted(keys)


@given(assemblies, st.data())
@settings(max_examples=30)
def test_taking_a_row_out_leaves_the_rest(plan: Plan, data: st.DataObject) -> None:
    """Grip, length and edge distance of a row do not hang on other rows."""
    spoken = {span.row for one in plan.open_holes for span in one.holes}
    spoken |= {named.partition(":")[0] for named in plan.opening.set_holes}
    free = [row for row in plan.rows if row.name not in spoken]
    gone = data.draw(st.sampled_from(free))
    rows = tuple(row for row in plan.rows if row is not gone)
    before, after = work_out(plan).worked, work_out(replace(plan, rows=rows)).worked
    kept = by_name(after)
    for name, hole in by_name(before).items():
        if name in kept:
            for quantity in ("grip_mm", "wanted_length_16ths", "edge_distance_mm"):
                assert after.at(quantity, kept[name]) == pytest.approx(
                    before.at(quantity, hole), nan_ok=True
                )
