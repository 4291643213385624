"""What goes between the jaws: every combination of dies, pin and shims, exactly.

All sums of the pieces owned are formed; of combinations of one length only the
cheapest is kept (fewest changes against what is on the tool, then fewest shims). A
threaded holder besides reaches every gap between its ends.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.rules import Column
from rivetwright.model.shop import Die, Tool
from rivetwright.units.tolerance import TOLERANCE_MM

FLAT, CUP, MALE, FEMALE = "flat", "cup", "male", "female"
Ints = NDArray[np.int64]
# Lengths that differ by less than the tolerance have one key.
KEYS_PER_MM = round(1 / TOLERANCE_MM)


@dataclass(frozen=True)
class Pieces:
    """What is put in: die of the fixed jaw (None where the jaw is the die), of the ram.

    Shims lie under the ram die. `turned_mm` is how far a threaded holder is out.
    """

    fixed: Die | None
    ram: Die
    pin_mm: float = 0.0
    shims_mm: tuple[float, ...] = ()
    turned_mm: float = 0.0

    @property
    def length_mm(self) -> float:
        """How much of the closed height they take together [mm]."""
        fixed = self.fixed.length_mm if self.fixed else 0.0
        shims = sum(self.shims_mm)
        return fixed + self.ram.length_mm + self.pin_mm + shims + self.turned_mm


@dataclass(frozen=True)
class OnTool:
    """What is on a squeezer now: which yoke, and the pieces in it."""

    squeezer: str
    yoke: str
    pieces: Pieces


@dataclass(frozen=True)
class Wanted:
    """Which kinds of die a rivet wants: in the fixed jaw, on the ram, of which size.

    A flat die fits every rivet; a cup and dimple dies have a size [1/32 in].
    """

    fixed: str
    ram: str
    diameter_32nds: int


def for_rivet(diameter_32nds: int, is_flush: bool) -> Wanted:
    """Flat on the shop head, in the fixed jaw; on the ram flat or a cup [1/32 in]."""
    return Wanted(FLAT, FLAT if is_flush else CUP, diameter_32nds)


def dimple(diameter_32nds: int) -> Wanted:
    """The pair of dimple dies, the male one on the ram."""
    return Wanted(FEMALE, MALE, diameter_32nds)


def _fits(die: Die, kind: str, diameter_32nds: int) -> bool:
    """Whether a die is of this kind and size; a flat one without a size fits all."""
    sized = {diameter_32nds, None} if kind == FLAT else {diameter_32nds}
    return die.kind == kind and die.diameter_32nds in sized


def die_pairs(
    dies: Sequence[Die], wanted: Wanted, *, jaw_is_die: bool = False
) -> list[tuple[Die | None, Die]]:
    """Every pair of dies owned that fits; a die owned once is not used twice.

    A jaw that is the die is flat, so it takes no dimple dies.
    """
    size = wanted.diameter_32nds
    rams = [die for die in dies if _fits(die, wanted.ram, size)]
    if jaw_is_die:
        return [(None, ram) for ram in rams] if wanted.fixed == FLAT else []
    fixed = [die for die in dies if _fits(die, wanted.fixed, size)]
    return [
        (one, ram)
        for one, ram in product(fixed, rams)
        if one is not ram or one.count > 1
    ]


def turns_mm(die: Die | None) -> float:
    """How far a threaded holder may be turned out, keeping least engagement [mm]."""
    if die is None or die.length_max_mm is None:
        return 0.0
    out_mm = die.length_max_mm - die.length_mm
    if die.engaged_mm is not None and die.engaged_min_mm is not None:
        out_mm = min(out_mm, die.engaged_mm - die.engaged_min_mm)
    return max(out_mm, 0.0)


def keeps_engagement(ram: Die, shims_mm: float) -> bool:
    """Whether a ram die still sits deep enough over its shims, as far as is known.

    `shims_mm`: thickness of all shims under it [mm].
    """
    if ram.engaged_mm is None or ram.engaged_min_mm is None:
        return True
    return ram.engaged_mm - shims_mm >= ram.engaged_min_mm - TOLERANCE_MM


Cost = tuple[int, int]
ShimSum = tuple[Cost, tuple[float, ...]]


def shim_sums(
    shims_mm: Sequence[float], in_place: Sequence[float] = ()
) -> dict[int, ShimSum]:
    """Every thickness the shims [mm] can give, by key, each in its cheapest way.

    The cost is shims put in or taken out against those in place, then their number.
    """
    owned, placed = Counter(shims_mm), Counter(in_place)
    sums: dict[int, ShimSum] = {0: ((0, 0), ())}
    for thickness in sorted(owned | placed, reverse=True):
        most, now = owned[thickness], placed[thickness]
        grown: dict[int, ShimSum] = {}
        for key, ((changes, count), used) in sums.items():
            for n in range(most + 1):
                cost = (changes + abs(n - now), count + n)
                at = key + round(n * thickness * KEYS_PER_MM)
                known = grown.get(at)
                if known is None or cost < known[0]:
                    grown[at] = (cost, used + (thickness,) * n)
        sums = grown
    return sums


def _swaps(now: OnTool | None, squeezer: str, yoke: str, new: Pieces) -> int:
    """Yoke, dies, pin and turn of a holder that differ from what is on now."""
    if now is None or now.squeezer != squeezer:
        bare = (True, new.fixed is not None, True, new.pin_mm, new.turned_mm)
        return sum(map(bool, bare))
    old, has_yoke = now.pieces, now.yoke == yoke
    differs = (
        not has_yoke,
        new.fixed is not None and not (has_yoke and old.fixed == new.fixed),
        old.ram != new.ram,
        old.pin_mm != new.pin_mm,
        old.turned_mm != new.turned_mm,
    )
    return sum(differs)


def changes_between(now: OnTool | None, squeezer: str, yoke: str, new: Pieces) -> int:
    """Pieces to take out, put in or swap to come from what is on the tool now.

    The ram keeps its die, pin and shims when the yoke is changed; another squeezer,
    or none set up yet, starts bare.
    """
    is_same = now is not None and now.squeezer == squeezer
    before = Counter(now.pieces.shims_mm) if now and is_same else Counter[float]()
    shims = Counter(new.shims_mm)
    moved = sum(((shims - before) + (before - shims)).values())
    return moved + _swaps(now, squeezer, yoke, new)


@dataclass(frozen=True)
class Combinations:
    """Combinations by the gap they leave, narrowest first, shape (combinations,).

    `turn_mm` is how much further each can be closed by turning its holder out.
    `turning` are those with such a holder, cheapest first.
    """

    gap_mm: Column
    changes: Ints
    shims: Ints
    turn_mm: Column
    pieces: tuple[Pieces, ...]
    turning: tuple[int, ...] = ()

    def __len__(self) -> int:
        """How many there are."""
        return len(self.pieces)

    def at(self, index: int, turned_mm: float = 0.0) -> Pieces:
        """The pieces of one combination, its holder turned out so far [mm]."""
        found = self.pieces[index]
        return replace(found, turned_mm=turned_mm) if turned_mm else found


@dataclass(frozen=True)
class Owned:
    """The pieces of a shop that can go on a squeezer."""

    dies: tuple[Die, ...]
    pins_mm: tuple[float, ...] = ()
    shims_mm: tuple[float, ...] = ()


def _every(
    owned: Owned, wanted: Wanted, jaw_is_die: bool, in_place: Sequence[float]
) -> Iterator[tuple[Cost, Pieces]]:
    """Every combination that keeps the least engagement, with the cost of its shims."""
    pins = sorted({0.0, *owned.pins_mm})
    sums = shim_sums(owned.shims_mm, in_place)
    for fixed, ram in die_pairs(owned.dies, wanted, jaw_is_die=jaw_is_die):
        for key, (cost, shims) in sums.items():
            if keeps_engagement(ram, key / KEYS_PER_MM):
                for pin in pins:
                    yield cost, Pieces(fixed, ram, pin, shims)


def combinations(
    owned: Owned,
    wanted: Wanted,
    yoke: Tool,
    *,
    squeezer: str = "",
    on_tool: OnTool | None = None,
) -> Combinations:
    """All gaps that the pieces owned leave in a yoke, each in its cheapest way."""
    height = yoke.closed_height_mm
    assert height is not None, f"the closed height of {yoke.id} was not measured"
    same = on_tool is not None and on_tool.squeezer == squeezer
    in_place = on_tool.pieces.shims_mm if on_tool and same else ()
    kept: dict[tuple[int, int], tuple[Cost, Pieces, float]] = {}
    every = _every(owned, wanted, yoke.has_fixed_die, in_place)
    for (moved, count), pieces in every:
        gap_mm = height - pieces.length_mm
        turn_mm = turns_mm(pieces.fixed) + turns_mm(pieces.ram)
        cost = (moved + _swaps(on_tool, squeezer, yoke.id, pieces), count)
        at = (round(gap_mm * KEYS_PER_MM), round(turn_mm * KEYS_PER_MM))
        if at not in kept or cost < kept[at][0]:
            kept[at] = (cost, pieces, gap_mm)
    ordered = [kept[at] for at in sorted(kept)]
    turn = np.array([turns_mm(p.fixed) + turns_mm(p.ram) for _, p, _ in ordered])
    with_turn = sorted(np.flatnonzero(turn).tolist(), key=lambda k: ordered[k][0])
    return Combinations(
        np.array([gap for _, _, gap in ordered], dtype=float),
        np.array([cost[0] for cost, _, _ in ordered], dtype=np.int64),
        np.array([cost[1] for cost, _, _ in ordered], dtype=np.int64),
        turn,
        tuple(pieces for _, pieces, _ in ordered),
        tuple(with_turn),
    )
