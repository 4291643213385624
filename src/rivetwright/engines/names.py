"""Columns of words: stacks as names, twins, texts; what the checks speak of."""

from __future__ import annotations

from collections import defaultdict
from functools import cache, partial

import numpy as np

from rivetwright.engines.given import DRAWING, OWN_GEOMETRY
from rivetwright.engines.length import supplied_16ths
from rivetwright.engines.rules import (
    CLASS,
    GIVEN,
    HOLE,
    SEARCH,
    Column,
    Witness,
    formula,
    rule,
)
from rivetwright.engines.stacks import StackClass
from rivetwright.engines.worked import Worked
from rivetwright.model.columns import parse_hole_range
from rivetwright.model.plan import PLAIN, PREPARATIONS, Part
from rivetwright.standards.codes import RivetCode


def _words(values: list[str]) -> Column:
    """A column of text."""
    return np.array(values, dtype=object)


def sheet_words(one: StackClass) -> str:
    """A stack as people write it: `503 dimple + 502 dimple + 501 dimple`.

    Source: own form.
    """
    return " + ".join(
        sheet.part + ("" if sheet.preparation == PLAIN else f" {sheet.preparation}")
        for sheet in one.sheets
    )


@rule(
    "used_stack",
    formula="sheets from the manufactured head on, as written or from the outlines",
    unit="text",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def used_stack(worked: Worked) -> Column:
    """Stack.

    Source: the drawing.
    """
    return _words([sheet_words(one) for one in worked.stacks.classes])


@rule(
    "drawn_stack",
    inputs=("place_u_mm", "place_v_mm"),
    formula="parts whose outlines hold the hole at its step, manufactured head first",
    unit="text",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=SEARCH,
)
def drawn_stack(worked: Worked, *_: Column) -> Column:
    """Stack from the outlines.

    Source: own geometry on the outlines; empty where nothing is drawn.
    """
    stacks = worked.stacks
    keys, example, of_hole = np.unique(
        stacks.drawn, axis=0, return_index=True, return_inverse=True
    )
    names = [" + ".join(stacks.drawn_parts(int(hole))) for hole in example]
    return _words(names)[of_hole.reshape(-1)] if len(keys) else _words([])


@rule(
    "sheet_count",
    inputs=("sheet_thickness_mm",),
    formula="number of sheets in the stack",
    unit="count",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def sheet_count(_: Worked, thickness_mm: Column) -> Column:
    """Number of sheets.

    Source: the drawing.
    """
    return np.asarray((~np.isnan(thickness_mm)).sum(axis=-1), dtype=float)


@rule(
    "preparation_words",
    inputs=("sheet_preparation",),
    formula="preparation of each sheet, manufactured head side first",
    unit="text",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def preparation_words(_: Worked, preparation: Column) -> Column:
    """Preparation of the sheets.

    Source: the drawing.
    """
    kinds = [[PREPARATIONS[int(k)] for k in row[~np.isnan(row)]] for row in preparation]
    return _words([", ".join(row) for row in kinds])


@rule(
    "later_part",
    inputs=("place_u_mm", "place_v_mm"),
    formula="a part that comes later and whose outline holds the hole",
    unit="text",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=SEARCH,
)
def later_part(worked: Worked, *_: Column) -> Column:
    """Part that later lies over the hole.

    Source: own geometry on the outlines; empty where none does.
    """
    parts = [placed.layer.part for placed in worked.stacks.layers]
    return _words([*parts, ""])[worked.stacks.later]


@rule(
    "is_sketched",
    formula="1 where the row's places are marked as sketched",
    unit="yes/no",
    source=DRAWING,
    level=HOLE,
    kind=GIVEN,
)
def is_sketched(worked: Worked) -> Column:
    """Place only sketched.

    Source: the plan file's row.
    """
    return worked.holes.is_sketched.astype(float)


@rule(
    "drawn_drill_mm",
    formula="drill written for the row",
    unit="mm",
    source=DRAWING,
    level=HOLE,
    kind=GIVEN,
)
def drawn_drill_mm(worked: Worked) -> Column:
    """Drill on the drawing.

    Source: the drawing; NaN where it names none.
    """
    rows = [np.nan if r.drill_mm is None else r.drill_mm for r in worked.plan.rows]
    return np.array(rows, dtype=float)[worked.holes.row]


formula(
    "first_thickness_mm",
    "Sheet under the manufactured head",
    "first_sheet(sheet_thickness_mm)",
    unit="mm",
    source=DRAWING,
)
formula(
    "last_thickness_mm",
    "Sheet under the shop head",
    "last_sheet(sheet_thickness_mm)",
    unit="mm",
    source=DRAWING,
)
formula(
    "head_circle_mm",
    "Radius of flat that the larger of the two heads needs",
    "max(head_radius_mm, shop_circle_radius_mm)",
    unit="mm",
    source=OWN_GEOMETRY,
)


@rule(
    "heads_apart_mm",
    inputs=("head_circle_mm", "pitch_mm"),
    formula="head circle of the hole + head circle of its governing neighbour",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=SEARCH,
)
def heads_apart_mm(worked: Worked, circle_mm: Column, _: Column) -> Column:
    """Distance at which two heads touch.

    Source: own geometry; head sizes FROM MEMORY. NaN without a neighbour.
    """
    other = worked["pitch_neighbour"]
    return np.where(other >= 0, circle_mm + circle_mm[other], np.nan)


@rule(
    "is_length_supplied",
    inputs=("callout_length_16ths",),
    formula="1 where the callout's length is one the kit supplies",
    unit="yes/no",
    source=DRAWING,
    level=CLASS,
    kind=SEARCH,
)
def is_length_supplied(worked: Worked, length_16ths: Column) -> Column:
    """Length supplied by the kit.

    Source: the plan's supplied lengths; 1 for blind rivets, which have no length.
    """
    supplied = cache(partial(supplied_16ths, worked))
    found = []
    for one, length in zip(worked.stacks.classes, length_16ths.tolist(), strict=True):
        callout = one.callout
        if isinstance(callout, RivetCode):
            # Half sixteenths are exact; the column was divided back from mm.
            found.append(round(length, 6) in supplied(callout.diameter_32nds))
        else:
            found.append(True)
    return np.array(found, dtype=float)


def _twin_key(parts: dict[str, Part], one: StackClass) -> tuple[object, ...] | None:
    """What two rows must share to be twins; None for blind rivets."""
    callout = one.callout
    if not isinstance(callout, RivetCode) or not one.sheets:
        return None
    sheets = tuple(
        (parts[s.part].thickness_mm, parts[s.part].material, s.preparation)
        for s in one.sheets
    )
    return (callout.kind, sheets)


def _rows_of_classes(worked: Worked) -> dict[int, list[str]]:
    """Names of the rows that hold each class, sorted."""
    count = len(worked.plan.rows)
    pairs = np.unique(worked.stacks.class_of * count + worked.holes.row)
    rows: dict[int, list[str]] = defaultdict(list)
    for pair in pairs.tolist():
        rows[pair // count].append(worked.plan.rows[pair % count].name)
    return {k: sorted(names) for k, names in rows.items()}


def _twins(worked: Worked, hole: int) -> Witness | None:
    """The rows a hole's callout is compared with."""
    named = worked.at("twin_callouts", hole)
    return Witness("twins", {"twins": named}) if named else None


@rule(
    "twin_callouts",
    inputs=("used_stack", "wanted_length_16ths", "callout_length_16ths"),
    formula="rows with equal sheets and head whose length is nearer to the wanted one",
    unit="text",
    source=OWN_GEOMETRY,
    level=CLASS,
    kind=SEARCH,
    witness=_twins,
)
def twin_callouts(worked: Worked, _: Column, wanted: Column, called: Column) -> Column:
    """Twin rows with another length.

    Source: own comparison of rows; thickness, material, preparation, head, diameter.
    """
    groups: dict[tuple[object, ...], list[int]] = defaultdict(list)
    parts = {part.name: part for part in worked.plan.parts}
    for k, one in enumerate(worked.stacks.classes):
        key = _twin_key(parts, one)
        if key is not None:
            groups[key].append(k)
    rows = _rows_of_classes(worked)
    words = [""] * len(worked.stacks.classes)
    off = np.abs(called - wanted)
    for group in groups.values():
        for k in group:
            better = [o for o in group if called[o] != called[k] and off[o] <= off[k]]
            named = [f"{', '.join(rows[o])} -{called[o]:g}" for o in better]
            words[k] = "; ".join(sorted(named))
    return _words(words)


@rule(
    "waits_for",
    formula="step or part that a hole left open waits for",
    unit="text",
    source=DRAWING,
    level=HOLE,
    kind=GIVEN,
)
def waits_for(worked: Worked) -> Column:
    """What a hole left open waits for.

    Source: the drawing; empty where the hole is set at its row's own step.
    """
    opened = worked.plan.open_holes
    named = [" at step ".join(n for n in (o.part, o.step) if n) for o in opened]
    return _words([*named, ""])[worked.holes.open_holes]


@rule(
    "changed_by",
    formula="bulletin that gave the row its present form",
    unit="text",
    source=DRAWING,
    level=HOLE,
    kind=GIVEN,
)
def changed_by(worked: Worked) -> Column:
    """Bulletin behind the row.

    Source: the bulletin; empty where the row stands as first drawn.
    """
    return _words([row.changed_by for row in worked.plan.rows])[worked.holes.row]


@rule(
    "text_against_drawing",
    formula="step whose words set a hole that the drawing leaves open",
    unit="text",
    source=DRAWING,
    level=HOLE,
    kind=GIVEN,
)
def text_against_drawing(worked: Worked) -> Column:
    """Step whose words set an open hole.

    Source: the kit's manual and drawing, as the plan file gives them.
    """
    holes = worked.holes
    set_at = [opened.step for opened in worked.plan.open_holes]
    words = _words([""] * len(holes))
    for step in worked.plan.steps:
        for written in step.text_sets:
            for hole in holes.indices(parse_hole_range(written)):
                opened = int(holes.open_holes[hole])
                if opened >= 0 and set_at[opened] != step.name:
                    words[hole] = step.name
    return words
