"""The stack of every hole, from the outlines and as written, and hole classes.

Holes with the same sheets, preparation and callout form a class; everything
that depends on these alone is worked out once per class.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.layers import (
    Pairs,
    PlacedLayer,
    find_pairs,
    placed_layers,
    split_by_presence,
)
from rivetwright.model.columns import Holes
from rivetwright.model.plan import (
    COUNTERSINK,
    FAR,
    PLAIN,
    Callout,
    Plan,
    Row,
    Sheet,
)

Ints = NDArray[np.int64]
NO = -1


@dataclass(frozen=True)
class StackClass:
    """Holes of one kind: sheets from the manufactured head on, callout, sealant."""

    sheets: tuple[Sheet, ...]
    callout: Callout
    sealant_mm: float = 0.0


@dataclass(frozen=True)
class Kind:
    """What the tables ask of a class: the callout, and whether a sheet is sunk."""

    callout: Callout
    is_countersunk: bool


@dataclass(frozen=True)
class Kinds:
    """The distinct kinds of a plan, and which one each class is."""

    kinds: tuple[Kind, ...]
    of_class: Ints


@dataclass(frozen=True)
class Stacks:
    """Sheets of every hole.

    `layer` and `drawn`, shape (holes, sheets): the layer behind each sheet of
    the stack used, and the layers found from the outlines, manufactured head
    side first, -1 where there is none. The stack used is the written one where
    there is one: the drawing is never overruled. `later`: a layer that comes
    over the hole after it is set, or -1.
    """

    layers: tuple[PlacedLayer, ...]
    classes: tuple[StackClass, ...]
    class_of: Ints
    layer: Ints
    drawn: Ints
    later: Ints
    has_written: NDArray[np.bool_]
    is_placed: NDArray[np.bool_]
    is_different: NDArray[np.bool_]

    @cached_property
    def kinds(self) -> Kinds:
        """The classes by what the tables ask of them."""
        seen: dict[Kind, int] = {}
        of_class = []
        for one in self.classes:
            sunk = any(sheet.preparation == COUNTERSINK for sheet in one.sheets)
            of_class.append(seen.setdefault(Kind(one.callout, sunk), len(seen)))
        return Kinds(tuple(seen), np.array(of_class, dtype=np.int64))

    def kind(self, hole: int) -> Kind:
        """What the tables ask of one hole."""
        return self.kinds.kinds[int(self.kinds.of_class[self.class_of[hole]])]

    def drawn_parts(self, hole: int) -> tuple[str, ...]:
        """Names of the parts found from the outlines at one hole, head side first."""
        found = self.drawn[hole]
        return tuple(self.layers[k].layer.part for k in found[found >= 0])


def _written(plan: Plan, row: Row, opened: int) -> tuple[tuple[Sheet, ...], Callout]:
    """Stack as written and callout of the holes of a row, left open or not."""
    if opened < 0:
        return row.stack, row.callout
    later = plan.open_holes[opened]
    return later.stack or row.stack, later.callout or row.callout


def _drawn_layers(plan: Plan, holes: Holes, present: Pairs, width: int) -> Ints:
    """Layers at each hole, manufactured-head side first, shape (holes, width)."""
    drawn = np.full((len(holes), width), NO, dtype=np.int64)
    if not len(present.hole):
        return drawn
    counts = np.bincount(present.hole, minlength=len(holes))
    starts = np.cumsum(counts) - counts
    position = np.arange(len(present.hole)) - starts[present.hole]
    far_rows = np.array([row.head_side == FAR for row in plan.rows], dtype=bool)
    is_far = far_rows[holes.row[present.hole]]
    turned = counts[present.hole] - 1 - position
    drawn[present.hole, np.where(is_far, turned, position)] = present.layer
    return drawn


def _sequence_ids(rows: Ints) -> Ints:
    """One number per distinct row of a 2-D array of small numbers, exactly."""
    ids = np.zeros(len(rows), dtype=np.int64)
    for column in rows.T:
        base = int(column.max(initial=0)) + 2
        ids = np.unique(ids * base + column + 1, return_inverse=True)[1]
    return ids


def _prepared(parts: tuple[str, ...], row: Row) -> tuple[Sheet, ...]:
    """Sheets from the outlines, prepared as the row says."""
    asked = dict(row.preparation)
    usual = asked.get("*", PLAIN)
    return tuple(Sheet(part, asked.get(part, usual)) for part in parts)


@dataclass(frozen=True)
class _Variants:
    """Holes of one row with one later use share what is written about them."""

    of_hole: Ints
    rows: Ints
    opened: Ints
    stacks: list[tuple[Sheet, ...]]
    callouts: list[Callout]
    signature: Ints


def _variants(plan: Plan, holes: Holes) -> _Variants:
    """Group holes by row and open-hole entry and read what is written there."""
    base = len(plan.open_holes) + 1
    key = holes.row.astype(np.int64) * base + holes.open_holes + 1
    distinct, of_hole = np.unique(key, return_inverse=True)
    rows, opened = distinct // base, distinct % base - 1
    stacks, callouts, signature = [], [], []
    seen: dict[Any, int] = {}
    for r, o in zip(rows.tolist(), opened.tolist(), strict=True):
        row = plan.rows[r]
        stack, callout = _written(plan, row, o)
        stacks.append(stack)
        callouts.append(callout)
        film_mm = row.sealant.thickness_mm if row.sealant else 0.0
        asked = (stack, () if stack else row.preparation, callout, film_mm)
        signature.append(seen.setdefault(asked, len(seen)))
    ids = np.array(signature, dtype=np.int64)
    return _Variants(of_hole, rows, opened, stacks, callouts, ids)


def _written_parts(plan: Plan, variants: _Variants, width: int) -> Ints:
    """Part index of each written sheet, shape (variants, width), -1 beyond."""
    index = {part.name: k for k, part in enumerate(plan.parts)}
    written = np.full((len(variants.stacks), width), NO, dtype=np.int64)
    for k, stack in enumerate(variants.stacks):
        written[k, : len(stack)] = [index[sheet.part] for sheet in stack]
    return written


def _layers_by_name(drawn: Ints, part_of: Ints, written: Ints) -> Ints:
    """For one hole: the layer found under each written part, -1 where none is."""
    at_part = {int(part_of[k]): int(k) for k in drawn[drawn >= 0]}
    return np.array([at_part.get(int(p), NO) for p in written], dtype=np.int64)


def find_stacks(plan: Plan, holes: Holes) -> Stacks:
    """Find the stack and the class of every hole of a plan."""
    layers = placed_layers(plan)
    present, later = split_by_presence(plan, holes, layers, find_pairs(plan, holes))
    variants = _variants(plan, holes)
    most = np.bincount(present.hole).max(initial=0) if len(present.hole) else 0
    width = int(max(1, most, *(len(stack) for stack in variants.stacks)))
    drawn = _drawn_layers(plan, holes, present, width)
    index = {part.name: k for k, part in enumerate(plan.parts)}
    # One entry more than there are layers, so that index -1 reads "no part".
    part_of = np.array([index[p.layer.part] for p in layers] + [NO], dtype=np.int64)
    written = _written_parts(plan, variants, width)[variants.of_hole]
    has_written = written[:, 0] >= 0
    with_layers = np.array([bool(face.layers) for face in plan.faces] + [False])
    is_placed = with_layers[holes.face] & ~np.isnan(holes.x_mm)
    drawn_parts = part_of[drawn]
    is_different = (drawn_parts != written).any(axis=1) & has_written & is_placed
    layer = drawn.copy()
    for hole in np.flatnonzero(is_different):
        layer[hole] = _layers_by_name(drawn[hole], part_of, written[hole])
    classes, class_of = _classes(plan, holes, variants, has_written, drawn_parts)
    covered = np.full(len(holes), NO, dtype=np.int64)
    covered[later.hole[::-1]] = later.layer[::-1]
    return Stacks(
        layers,
        classes,
        class_of,
        layer,
        drawn,
        covered,
        has_written,
        is_placed,
        is_different,
    )


def _classes(
    plan: Plan,
    holes: Holes,
    variants: _Variants,
    has_written: NDArray[np.bool_],
    drawn_parts: Ints,
) -> tuple[tuple[StackClass, ...], Ints]:
    """Group the holes into classes and build each class once."""
    found = np.where(has_written[:, None], NO, drawn_parts)
    sequence = _sequence_ids(found)
    signature = variants.signature[variants.of_hole]
    key = signature * (int(sequence.max(initial=0)) + 1) + sequence
    _, examples, class_of = np.unique(key, return_index=True, return_inverse=True)
    classes = []
    for hole in examples.tolist():
        variant = variants.of_hole[hole]
        sheets = variants.stacks[variant]
        if not sheets:
            at = drawn_parts[hole]
            parts = tuple(plan.parts[k].name for k in at[at >= 0])
            sheets = _prepared(parts, plan.rows[holes.row[hole]])
        sealant = plan.rows[holes.row[hole]].sealant
        film_mm = sealant.thickness_mm if sealant else 0.0
        classes.append(StackClass(sheets, variants.callouts[variant], film_mm))
    return tuple(classes), class_of
