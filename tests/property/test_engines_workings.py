"""What is shown is what was worked out: formulas, witnesses, table rows.

Each displayed formula is evaluated a second time from its text, with plain numbers;
each witness is measured again on the plan.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from fractions import Fraction
from importlib.resources import files
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.engines.plan import work_out
from rivetwright.engines.rules import FORMULA, REGISTRY, TABLE, Rule, Witness
from rivetwright.engines.worked import Worked, working
from rivetwright.model.outline import BEND, FREE, Layer
from rivetwright.model.plan import Plan
from rivetwright.standards.codes import RivetCode
from tests.property.faults.mixed import any_plans, assemblies
from tests.property.oracle.crowded import crowded_plans
from tests.property.oracle.plain import (
    distance_to_side,
    edge_distances,
    sides_of,
)
from tests.property.oracle.scalar import Value, evaluate

MM = 25.4
drawn_plans = st.one_of(assemblies, crowded_plans())
FORMULAS = [rule for rule in REGISTRY if rule.kind == FORMULA]
TABLES = [rule for rule in REGISTRY if rule.kind == TABLE and rule.witness]


def some_holes(worked: Worked, draw: st.DataObject, count: int = 8) -> list[int]:
    """A few holes of a plan."""
    last = len(worked.holes) - 1
    return draw.draw(
        st.lists(st.integers(0, last), min_size=1, max_size=count, unique=True)
    )


def plain(value: Any) -> Value:
    """A column's value at one hole as plain numbers."""
    return [float(one) for one in value] if np.ndim(value) else float(value)


@given(any_plans, st.data())
@settings(max_examples=40)
def test_shown_formulas_give_the_columns(plan: Plan, draw: st.DataObject) -> None:
    """Every formula, walked part by part with scalars, equals its column."""
    worked = work_out(plan).worked
    for hole in some_holes(worked, draw):
        for rule in FORMULAS:
            inputs = {name: plain(worked.at(name, hole)) for name in rule.inputs}
            expected = evaluate(rule.formula, inputs)
            found = plain(worked.at(rule.output, hole))
            assert found == pytest.approx(expected, rel=1e-9, abs=1e-9, nan_ok=True), (
                rule.output
            )


@given(any_plans, st.data())
@settings(max_examples=30)
def test_every_working_opens(plan: Plan, draw: st.DataObject) -> None:
    """Each quantity of a hole has a working whose value is that of its column."""
    worked = work_out(plan).worked
    for hole in some_holes(worked, draw, count=2):
        for rule in REGISTRY:
            opened = working(worked, rule.output, hole)
            assert opened.formula
            assert opened.source.document
            assert [one.name for one in opened.inputs] == list(rule.inputs)
            column = worked.at(rule.output, hole)
            if isinstance(column, str):
                assert opened.value == column
            else:
                assert plain(opened.value) == pytest.approx(plain(column), nan_ok=True)


# --- geometry ----------------------------------------------------------------------


def seen(worked: Worked, rule: str, hole: int) -> Witness | None:
    """What a quantity rests on at a hole."""
    witness = REGISTRY[rule].witness
    assert witness is not None
    return witness(worked, hole)


def layers_of(worked: Worked, hole: int, part: str) -> list[Layer]:
    """Layers of a part on the face of a hole."""
    face = worked.plan.faces[int(worked.holes.face[hole])]
    return [layer for layer in face.layers if layer.part == part]


def place_of(worked: Worked, hole: int) -> tuple[float, float]:
    """Place of a hole [mm]."""
    return float(worked.holes.x_mm[hole]), float(worked.holes.y_mm[hole])


def is_given(worked: Worked, rule: str, hole: int, found: Witness | None) -> bool:
    """A value has its witness, and no value has none."""
    assert (found is None) == math.isnan(worked.at(rule, hole))
    return found is not None


@given(drawn_plans)
@settings(max_examples=40)
def test_edge_witness_lies_on_the_named_edge(plan: Plan) -> None:
    """The place lies on an edge of the named part, as far off as the column says."""
    worked = work_out(plan).worked
    for hole in range(len(worked.holes)):
        found = seen(worked, "edge_distance_mm", hole)
        if not is_given(worked, "edge_distance_mm", hole, found):
            continue
        assert found is not None
        fields = found.fields
        spot = float(fields["place_u_mm"]), float(fields["place_v_mm"])
        away = worked.at("edge_distance_mm", hole)
        assert math.dist(spot, place_of(worked, hole)) == pytest.approx(away, abs=1e-6)
        on_edge = [
            min(edge_distances(layer, spot, FREE))
            for layer in layers_of(worked, hole, str(fields["part"]))
        ]
        assert min(on_edge) == pytest.approx(0.0, abs=1e-6)


@given(drawn_plans)
@settings(max_examples=40)
def test_bend_witness_is_the_nearest_bend_of_the_part(plan: Plan) -> None:
    """Bend line less thickness and radius is the column; the part has that bend."""
    worked = work_out(plan).worked
    for hole in range(len(worked.holes)):
        found = seen(worked, "flat_distance_mm", hole)
        if not is_given(worked, "flat_distance_mm", hole, found):
            continue
        assert found is not None
        fields = found.fields
        line = float(fields["bend_line_mm"])
        flat = line - float(fields["thickness_mm"]) - float(fields["bend_radius_mm"])
        assert flat == pytest.approx(worked.at("flat_distance_mm", hole), abs=1e-6)
        lines = [
            distance_to_side(place_of(worked, hole), side)
            for layer in layers_of(worked, hole, str(fields["part"]))
            for kind, side in zip(
                layer.outline.sides, sides_of(layer.outline.corners_mm), strict=True
            )
            if kind == BEND
        ]
        assert any(one == pytest.approx(line, abs=1e-6) for one in lines)


@given(drawn_plans)
@settings(max_examples=40)
def test_neighbour_witness_is_as_far_as_the_pitch(plan: Plan) -> None:
    """The named hole lies on the same face, the stated distance away."""
    worked = work_out(plan).worked
    for hole in range(len(worked.holes)):
        found = seen(worked, "pitch_mm", hole)
        if not is_given(worked, "pitch_mm", hole, found):
            continue
        assert found is not None
        other = worked.holes.index(str(found.fields["hole"]))
        assert other != hole
        assert worked.holes.face[other] == worked.holes.face[hole]
        far = math.dist(place_of(worked, hole), place_of(worked, other))
        assert far == pytest.approx(worked.at("pitch_mm", hole), abs=1e-6)
        diameters = [worked.at("shank_diameter_mm", k) for k in (hole, other)]
        known = [d for d in diameters if not math.isnan(d)]
        assert worked.at("pitch_diameter_mm", hole) == pytest.approx(max(known))


def row_spots(worked: Worked, row: int) -> list[tuple[float, float]]:
    """Places of the holes of a row in order."""
    start, stop = worked.holes.row_start[row : row + 2]
    return [place_of(worked, hole) for hole in range(start, stop)]


def across(
    one: list[tuple[float, float]], two: list[tuple[float, float]]
) -> Iterator[float]:
    """Distances from every hole of one row to every stretch of the other."""
    for spot in one:
        for stretch in pairwise(two):
            yield distance_to_side(spot, stretch)


@given(drawn_plans)
@settings(max_examples=40)
def test_row_witness_is_as_far_as_the_row_distance(plan: Plan) -> None:
    """The named row lies on the same face, the stated distance across."""
    worked = work_out(plan).worked
    for hole in range(len(worked.holes)):
        found = seen(worked, "row_distance_mm", hole)
        if not is_given(worked, "row_distance_mm", hole, found):
            continue
        assert found is not None
        row = int(worked.holes.row[hole])
        other = worked.holes.row_index[str(found.fields["row"])]
        assert plan.rows[other].face == plan.rows[row].face
        mine, beside = row_spots(worked, row), row_spots(worked, other)
        least = min(*across(mine, beside), *across(beside, mine))
        assert least == pytest.approx(worked.at("row_distance_mm", hole), abs=1e-6)


@pytest.mark.parametrize("side", ["head", "shop"])
@given(plan=drawn_plans)
@settings(max_examples=40)
def test_step_witness_is_the_part_beside(side: str, plan: Plan) -> None:
    """The named part has an edge the stated distance away."""
    worked = work_out(plan).worked
    rule = f"step_distance_{side}_mm"
    for hole in range(len(worked.holes)):
        found = seen(worked, rule, hole)
        if not is_given(worked, rule, hole, found):
            continue
        assert found is not None
        gaps = [
            min(edge_distances(layer, place_of(worked, hole), ""))
            for layer in layers_of(worked, hole, str(found.fields["part"]))
        ]
        value = worked.at(rule, hole)
        assert any(gap == pytest.approx(value, abs=1e-6) for gap in gaps)


# --- tables and candidates ---------------------------------------------------------


def printed_row(row: str) -> dict[str, str]:
    """A row of the project's tables by file and line, as an editor counts lines."""
    name, _, line = row.partition(":")
    text = files("rivetwright.standards").joinpath("tables", name).read_text("utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    return rows[int(line) - 2]


def readings(cell: str, diameter_mm: float, unit: str) -> Iterator[float]:
    """What a printed number may stand for in a column of this unit."""
    try:
        number = float(Fraction(cell))
    except ValueError:
        return
    yield number
    if unit == "mm":
        yield number * MM
        yield number * diameter_mm
    if unit == "1/32 in":
        yield round(diameter_mm / MM * 32) + 32 * number


def table_value_stands(rule: Rule, worked: Worked, hole: int, row: str) -> bool:
    """Whether the named row holds the value of the column."""
    value, printed = worked.at(rule.output, hole), printed_row(row)
    if rule.unit == "text":
        return value in printed.values()
    callout = worked.holes.callout(hole)
    solid = isinstance(callout, RivetCode)
    diameter = callout.nominal_diameter_mm if solid else callout.diameter_mm  # type: ignore[union-attr]
    found = [
        number
        for cell in printed.values()
        for number in readings(cell, float(diameter), rule.unit)
    ]
    if printed.get("hole_min_in"):
        # Where only limits are printed, their middle is reckoned with.
        ends = (Fraction(printed[f"hole_{end}_in"]) for end in ("min", "max"))
        found.append(float(sum(ends)) / 2 * MM)
    if rule.output == "long_grip_mm":
        # A printed length for every full 2 in; none for a short grip.
        steps = math.floor(worked.at("grip_mm", hole) / MM / 2 + 1e-9)
        found = [steps * number for number in found] or [0.0]
    return any(number == pytest.approx(value, abs=1e-9) for number in found)


@given(any_plans, st.data())
@settings(max_examples=40)
def test_table_rows_hold_the_values(plan: Plan, draw: st.DataObject) -> None:
    """The named row stands in its file and holds the figure of the column."""
    worked = work_out(plan).worked
    for hole in some_holes(worked, draw):
        for rule in TABLES:
            found = seen(worked, rule.output, hole)
            value = worked.at(rule.output, hole)
            if found is None:
                assert value == "" if rule.unit == "text" else math.isnan(value)
                continue
            row = str(found.fields["row"])
            if ".csv:" not in row:
                codes = {code.code for code in plan.blind_codes}
                assert row in codes
            elif value == value and value != "":
                assert table_value_stands(rule, worked, hole, row), rule.output


@given(any_plans, st.data())
@settings(max_examples=40)
def test_chosen_lengths_are_among_the_candidates(
    plan: Plan, draw: st.DataObject
) -> None:
    """The wanted length is one of the two nearest; legal ones lie in the window."""
    worked = work_out(plan).worked
    for hole in some_holes(worked, draw):
        wanted = worked.at("wanted_length_16ths", hole)
        near = seen(worked, "wanted_length_16ths", hole)
        if near is not None and not math.isnan(wanted):
            assert f"-{wanted:g}" in str(near.fields["nearest"]).split(", ")
        low, high = (worked.at(f"window_{end}_mm", hole) for end in ("low", "high"))
        for code in worked.at("legal_length_codes", hole).split():
            assert low - 1e-6 <= float(code) * MM / 16 <= high + 1e-6
