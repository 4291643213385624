"""Every way to stack a yoke from single pieces, as sets that can be compared.

A set of pieces is a whole number whose bits are pieces, so that unions are quick.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from rivetwright.engines.rules import Column
from rivetwright.engines.squeeze.batch import yokes_of
from rivetwright.engines.squeeze.stacking import (
    Pieces,
    Wanted,
    die_pairs,
    keeps_engagement,
)
from rivetwright.model.shop import Die, Shop, Tool


@dataclass(frozen=True)
class SinglePieces:
    """All pieces of a shop in one order; a set of them is a whole number's bits."""

    all: tuple[tuple[str, int], ...]
    yokes: tuple[Tool, ...]
    dies: tuple[Die, ...]

    def bit(self, kind: str, which: int) -> int:
        """The bit of one piece."""
        return 1 << self.all.index((kind, which))

    def of(self, chosen: int, kind: str) -> list[int]:
        """Which pieces of a kind are in a set."""
        bits = enumerate(self.all)
        return [n for k, (of, n) in bits if of == kind and chosen >> k & 1]


def single_pieces(shop: Shop) -> SinglePieces:
    """Every single yoke, die, pin and shim; a die owned twice stands twice."""
    yokes = yokes_of(shop)
    dies = tuple(replace(d, count=1) for d in shop.dies for _ in range(d.count))
    counts = {
        "yoke": len(yokes),
        "die": len(dies),
        "pin": len(shop.pins_mm),
        "shim": len(shop.shims_mm),
    }
    every = [(kind, n) for kind, count in counts.items() for n in range(count)]
    return SinglePieces(tuple(every), yokes, dies)


def _shim_sets(shims_mm: Sequence[float]) -> Iterator[tuple[float, list[int]]]:
    """Every set of shims by thickness and places; of equal ones the first are taken."""
    places: dict[float, list[int]] = {}
    for k, thickness in enumerate(shims_mm):
        places.setdefault(thickness, []).append(k)
    runs = [[at[:n] for n in range(len(at) + 1)] for at in places.values()]
    for picked in product(*runs):
        used = [k for run in picked for k in run]
        yield sum(shims_mm[k] for k in used), used


@dataclass(frozen=True)
class Ways:
    """All ways to stack a yoke for one kind of rivet: the gaps, and their pieces."""

    gap_mm: Column
    sets: tuple[int, ...]


def ways_of(shop: Shop, pieces: SinglePieces, yoke_at: int, wanted: Wanted) -> Ways:
    """Every combination of single pieces in one yoke."""
    yoke = pieces.yokes[yoke_at]
    gaps, sets = [], []
    pins = [
        (0.0, 0),
        *((mm, pieces.bit("pin", k)) for k, mm in enumerate(shop.pins_mm)),
    ]
    shims = [
        (mm, sum(pieces.bit("shim", k) for k in used))
        for mm, used in _shim_sets(shop.shims_mm)
    ]
    own = {id(die): pieces.bit("die", k) for k, die in enumerate(pieces.dies)}
    for fixed, ram in die_pairs(pieces.dies, wanted, jaw_is_die=yoke.has_fixed_die):
        base = pieces.bit("yoke", yoke_at) | own[id(ram)]
        base |= own[id(fixed)] if fixed else 0
        length = Pieces(fixed, ram).length_mm
        for (pin_mm, pin), (shim_mm, used) in product(pins, shims):
            if keeps_engagement(ram, shim_mm):
                gaps.append((yoke.closed_height_mm or 0.0) - length - pin_mm - shim_mm)
                sets.append(base | pin | used)
    return Ways(np.array(gaps, dtype=float), tuple(sets))
