"""All classes in one yoke of one squeezer at once: what is put in, which head it makes.

Combinations are formed once for each size and kind of head; every class then finds
its own among them, and only what a person opens is worked out further.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rivetwright.engines.rules import Column
from rivetwright.engines.squeeze.choosing import NO, Rule, choose
from rivetwright.engines.squeeze.heads import head_of_gap_mm
from rivetwright.engines.squeeze.needs import CENTRAL, HIGH, LOW, Needs
from rivetwright.engines.squeeze.spring import Spring
from rivetwright.engines.squeeze.stacking import (
    Combinations,
    Ints,
    OnTool,
    Owned,
    Pieces,
    combinations,
    for_rivet,
)
from rivetwright.engines.squeeze.stall import AirPress, end_force_n, press_of
from rivetwright.engines.squeeze.taught import UNTAUGHT, DieSet, ShopTaught, Taught
from rivetwright.model.shop import Shop, Squeezer, Tool

YOKE = "yoke"
Group = tuple[int, bool]


@dataclass(frozen=True)
class Asking:
    """What the set-ups are asked for: pieces owned, set-up now, pressure, heads.

    `pressure_kpa` at the tool; None as the squeezer is rated. `taught` is what
    measured heads taught of dies and yokes.
    """

    owned: Owned
    on_tool: OnTool | None = None
    pressure_kpa: float | None = None
    taught: ShopTaught = UNTAUGHT


def owned_of(shop: Shop) -> Owned:
    """The pieces of a shop that go on a squeezer."""
    return Owned(shop.dies, shop.pins_mm, shop.shims_mm)


def takes(tool: Tool | Squeezer, diameter_32nds: int) -> bool:
    """Whether a yoke or squeezer is rated for a rivet of this diameter [1/32 in]."""
    most = tool.diameter_32nds_max
    return most is None or diameter_32nds <= most


def yokes_of(shop: Shop) -> tuple[Tool, ...]:
    """The yokes of a shop, owned or on order."""
    return tuple(tool for tool in shop.tools if tool.kind == YOKE)


@dataclass(frozen=True)
class Batch:
    """The set-ups of classes in one yoke of one squeezer; columns of shape (n,).

    `head_mm` is (3, n), low to high, were the ram to reach its end. `found` are the
    combinations by group (diameter, flush); `index` counts within those.
    """

    squeezer: Squeezer
    yoke: Tool
    spring: Spring
    needs: Needs
    asking: Asking
    found: Mapping[Group, Combinations]
    index: Ints
    turned_mm: Column
    gap_mm: Column
    rule: Ints
    offset_mm: Column
    head_mm: Column
    force_n: Column

    def __len__(self) -> int:
        """How many set-ups."""
        return len(self.needs)

    def group(self, row: int) -> Group:
        """Diameter and kind of head of a row."""
        return int(self.needs.diameter_32nds[row]), bool(self.needs.is_flush[row])

    def dies(self, row: int) -> DieSet:
        """The set of dies of a row."""
        is_dimpled = bool(self.needs.is_dimpled[row])
        return DieSet(self.squeezer.title, self.yoke.id, *self.group(row), is_dimpled)

    def taught(self, row: int) -> Taught:
        """What measured heads taught of the dies of a row."""
        return self.asking.taught.of(self.dies(row))

    def pieces(self, row: int) -> Pieces | None:
        """What is put in for a row; None where no die fits."""
        k = int(self.index[row])
        if k == NO:
            return None
        return self.found[self.group(row)].at(k, float(self.turned_mm[row]))

    @property
    def least_pressure_kpa(self) -> Column:
        """Least air pressure that takes each to its end, (3, n); NaN unknown [kPa]."""
        press = press_of(self.squeezer)
        if not isinstance(press, AirPress):
            return np.full_like(self.force_n, np.nan)
        return press.pressure_kpa * self.force_n / press.force_n

    @property
    def holds(self) -> Column:
        """Whether each makes its head inside the band and ends its stroke."""
        fits = self.rule <= Rule.THICKER
        gives = end_force_n(press_of(self.squeezer), self.asking.pressure_kpa)
        if gives is None:
            return fits
        return np.asarray(fits & ~(self.force_n[CENTRAL] > gives))


def _groups(needs: Needs) -> dict[Group, Ints]:
    """Rows of each diameter and kind of head."""
    keys = needs.diameter_32nds * 2 + needs.is_flush
    return {
        (int(key) // 2, bool(key % 2)): np.flatnonzero(keys == key)
        for key in np.unique(keys)
    }


def _heads_mm(
    needs: Needs, spring: Spring, gap_mm: Column, offset_mm: Column
) -> Column:
    """Head made at the end of the stroke, (3, n): least, central, most by physics."""
    opens = (spring.low_mm_n, spring.mm_n, spring.high_mm_n)
    # The most that lies under the head leaves least for it.
    unders = (needs.under_mm[HIGH], needs.under_mm[CENTRAL], needs.under_mm[LOW])
    heads = [
        head_of_gap_mm(gap_mm, under - offset_mm, needs.metal(end), mm_per_n)
        for end, under, mm_per_n in zip(
            (LOW, CENTRAL, HIGH), unders, opens, strict=True
        )
    ]
    return np.stack(heads)


def heads_of(
    needs: Needs, spring: Spring, gap_mm: Column, offset_mm: Column
) -> tuple[Column, Column]:
    """Head made at the end of the stroke and the force it needs, (3, n) each.

    Args:
        needs: the classes.
        spring: of the yoke.
        gap_mm: closed gap of each class, shape (n,) [mm].
        offset_mm: what was learned of each, shape (n,) [mm].

    Returns:
        Heads, least to most [mm]; forces, low to high, NaN where no head is [N].

    Source: forming model.
    """
    heads = _heads_mm(needs, spring, gap_mm, offset_mm)
    forces = np.stack([needs.metal(e).force_n(heads[CENTRAL]) for e in (0, 1, 2)])
    return heads, np.where(heads[CENTRAL] > 0, forces, np.nan)


def _offsets_mm(
    needs: Needs, squeezer: Squeezer, yoke: Tool, taught: ShopTaught
) -> Column:
    """The offset that heads taught for each row; nought where none did [mm]."""
    offset = np.zeros(len(needs))
    for group, rows in _groups(needs).items() if taught.dies else ():
        for is_dimpled in (False, True):
            dies = DieSet(squeezer.title, yoke.id, *group, is_dimpled)
            mine = rows[needs.is_dimpled[rows] == is_dimpled]
            offset[mine] = taught.of(dies).offset_mm
    return offset


def work_batch(needs: Needs, squeezer: Squeezer, yoke: Tool, asking: Asking) -> Batch:
    """Work out every class of `needs` in one yoke of one squeezer."""
    spring, count = asking.taught.spring(yoke), len(needs)
    index = np.full(count, NO, dtype=np.int64)
    rule = np.full(count, int(Rule.NOTHING), dtype=np.int64)
    turned, gap = np.zeros(count), np.full(count, np.nan)
    offset = _offsets_mm(needs, squeezer, yoke, asking.taught)
    found: dict[Group, Combinations] = {}
    is_measured = yoke.closed_height_mm is not None
    for group, rows in _groups(needs).items() if is_measured else ():
        wanted = for_rivet(*group)
        found[group] = combinations(
            asking.owned, wanted, yoke, squeezer=squeezer.title, on_tool=asking.on_tool
        )
        asked = needs.part(rows).asked(spring.mm_n, offset[rows])
        chosen = choose(found[group], asked)
        index[rows], turned[rows] = chosen.index, chosen.turned_mm
        gap[rows], rule[rows] = chosen.gap_mm, chosen.rule
    heads, forces = heads_of(needs, spring, gap, offset)
    return Batch(
        squeezer,
        yoke,
        spring,
        needs,
        asking,
        found,
        index,
        turned,
        gap,
        rule,
        offset,
        heads,
        forces,
    )
