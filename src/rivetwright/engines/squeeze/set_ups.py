"""The set-ups of a plan: every class, in every yoke of every squeezer that may take it.

What goes in is found for all of them at once; the rest of an answer is worked out
when a person opens it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import overload

import numpy as np

from rivetwright.engines.squeeze.batch import (
    Asking,
    Batch,
    owned_of,
    takes,
    work_batch,
    yokes_of,
)
from rivetwright.engines.squeeze.making import set_up_at
from rivetwright.engines.squeeze.needs import needs_of, solid_classes
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.shared import at_gap
from rivetwright.engines.squeeze.stacking import Ints, OnTool
from rivetwright.engines.squeeze.taught import UNTAUGHT, ShopTaught
from rivetwright.engines.worked import Worked
from rivetwright.errors import NotFound, nearest_hint
from rivetwright.model.shop import Shop, Squeezer, Tool
from rivetwright.standards.codes import RivetCode


def flange_mm(worked: Worked, holes: Sequence[int]) -> float:
    """The highest flange that stands in the throat at some holes, 0 for none [mm]."""
    found = worked.of_holes("throat_flange_mm")[list(holes)]
    return float(np.nan_to_num(found, nan=0.0).max(initial=0.0))


class SetUps(Sequence[SetUp]):
    """Set-ups by class, then squeezer and yoke; each is made when it is asked for."""

    def __init__(self, worked: Worked, batches: Sequence[Batch]) -> None:
        self.worked = worked
        self.batches = tuple(batches)
        sizes = [len(batch) for batch in self.batches]
        of_batch = np.repeat(np.arange(len(sizes)), sizes)
        rows = np.concatenate([np.arange(n) for n in sizes] or [np.zeros(0, int)])
        classes = [batch.needs.classes for batch in self.batches]
        self._class = np.concatenate(classes or [np.zeros(0, dtype=np.int64)])
        order = np.argsort(self._class, kind="stable")
        self._class = self._class[order]
        self._batch, self._row = of_batch[order], rows[order].astype(np.int64)
        self._made: dict[int, SetUp] = {}

    def __len__(self) -> int:
        """How many set-ups."""
        return len(self._class)

    @overload
    def __getitem__(self, index: int) -> SetUp: ...

    @overload
    def __getitem__(self, index: slice) -> list[SetUp]: ...

    def __getitem__(self, index: int | slice) -> SetUp | list[SetUp]:
        """One set-up, or some."""
        if isinstance(index, slice):
            return [self[k] for k in range(*index.indices(len(self)))]
        at = range(len(self))[index]
        if at not in self._made:
            self._made[at] = self._make(at)
        return self._made[at]

    def __iter__(self) -> Iterator[SetUp]:
        """Every set-up in order."""
        return (self[k] for k in range(len(self)))

    def of_class(self, hole_class: int) -> list[SetUp]:
        """The set-ups of one class, one for each squeezer and yoke."""
        first, end = np.searchsorted(self._class, [hole_class, hole_class + 1])
        return self[int(first) : int(end)]

    def of_hole(self, hole: int) -> list[SetUp]:
        """The set-ups of one hole's class."""
        return self.of_class(int(self.worked.stacks.class_of[hole]))

    def _make(self, at: int) -> SetUp:
        batch = self.batches[int(self._batch[at])]
        holes = np.flatnonzero(self.worked.stacks.class_of == self._class[at])
        flange = flange_mm(self.worked, holes.tolist())
        return set_up_at(
            self.worked,
            batch,
            int(self._row[at]),
            hole=int(holes[0]),
            flange_mm=flange,
        )


def _rated(worked: Worked, classes: Ints, squeezer: Squeezer, yoke: Tool) -> Ints:
    """The classes whose rivet squeezer and yoke are both rated for."""
    rated = []
    for k in classes.tolist():
        code = worked.stacks.classes[k].callout
        assert isinstance(code, RivetCode)
        both = (squeezer, yoke)
        rated.append(all(takes(tool, code.diameter_32nds) for tool in both))
    return np.asarray(classes[np.array(rated, dtype=bool)])


def set_ups(
    worked: Worked,
    shop: Shop,
    *,
    on_tool: OnTool | None = None,
    pressure_kpa: float | None = None,
    taught: ShopTaught = UNTAUGHT,
) -> SetUps:
    """The set-ups of all solid rivets of a plan.

    Args:
        worked: the worked-out plan.
        shop: what the builder owns.
        on_tool: what is on the squeezer now.
        pressure_kpa: pressure at the tool; None as each squeezer is rated [kPa].
        taught: what measured heads taught of dies and yokes.

    Returns:
        One for each class, squeezer and yoke rated for its rivet.

    Source: own search, exact; forming model.
    """
    asking = Asking(owned_of(shop), on_tool, pressure_kpa, taught)
    classes = solid_classes(worked)
    batches = []
    for squeezer in shop.squeezers:
        for yoke in yokes_of(shop):
            rated = _rated(worked, classes, squeezer, yoke)
            if len(rated):
                needs = needs_of(worked, rated)
                batches.append(work_batch(needs, squeezer, yoke, asking))
    return SetUps(worked, batches)


def _named(shop: Shop, yoke_id: str, title: str) -> tuple[Squeezer, Tool]:
    """The squeezer and the yoke of a shop by their names."""
    yokes = {yoke.id: yoke for yoke in yokes_of(shop)}
    squeezers = {one.title: one for one in shop.squeezers}
    for name, known, what in (
        (yoke_id, yokes, "a yoke"),
        (title, squeezers, "a squeezer"),
    ):
        if name not in known:
            raise NotFound(
                asked=f"set up {what}",
                found=f"{name}, which the shop does not have",
                allowed=", ".join(known) + nearest_hint(name, known),
                do="name one of the shop's own",
            )
    return squeezers[title], yokes[yoke_id]


def set_up_of(
    worked: Worked,
    shop: Shop,
    hole: int,
    yoke_id: str,
    squeezer_title: str,
    *,
    on_tool: OnTool | None = None,
    pressure_kpa: float | None = None,
    taught: ShopTaught = UNTAUGHT,
    gap_mm: float | None = None,
) -> SetUp:
    """The set-up of one hole in one yoke of one squeezer.

    Args:
        worked: the worked-out plan.
        shop: what the builder owns.
        hole: index of the hole.
        yoke_id: the yoke.
        squeezer_title: the squeezer.
        on_tool: what is on the squeezer now.
        pressure_kpa: pressure at the tool; None as the squeezer is rated [kPa].
        taught: as for `set_ups`.
        gap_mm: a gap that it shares with other stacks; None: its own [mm].

    Returns:
        The set-up, with the flange of this hole.

    Raises:
        NotFound: no such yoke or squeezer, or neither squeezes that rivet.

    Source: own search, exact; forming model.
    """
    squeezer, yoke = _named(shop, yoke_id, squeezer_title)
    mine = np.array([int(worked.stacks.class_of[hole])], dtype=np.int64)
    solid = mine[np.isin(mine, solid_classes(worked))]
    rated = _rated(worked, solid, squeezer, yoke)
    if not len(rated):
        raise NotFound(
            asked=f"set {squeezer_title} with {yoke_id} up for "
            f"{worked.holes.name(hole)}",
            found=str(worked.stacks.classes[int(mine[0])].callout),
            allowed="solid rivets of the sizes that squeezer and yoke are rated for",
            do="choose another way to set it",
        )
    asking = Asking(owned_of(shop), on_tool, pressure_kpa, taught)
    batch = work_batch(needs_of(worked, rated), squeezer, yoke, asking)
    if gap_mm is not None:
        batch = at_gap(batch, gap_mm)
    return set_up_at(worked, batch, 0, hole=hole, flange_mm=flange_mm(worked, [hole]))
