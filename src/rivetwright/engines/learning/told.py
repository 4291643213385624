"""What the measured heads of a shop tell: offsets, springs, alarms, wear of dies.

Heads of one yoke are learnt together and found again for as long as none is added.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from rivetwright.engines.learning.drift import Alarm, WatchedShop, learn_watched
from rivetwright.engines.learning.measured import Measured
from rivetwright.engines.learning.wear import Wear, wear_of
from rivetwright.engines.squeeze.taught import UNTAUGHT, DieSet, ShopTaught
from rivetwright.model.shop import Tool
from rivetwright.standards.squeeze import squeeze_figure

# An alarm stands until so many heads were measured after it: the first of a set-up.
FIRST_HEADS = int(squeeze_figure("first heads"))
KEPT_YOKES = 64


@dataclass(frozen=True)
class NamedHead:
    """A head to learn from, its name, and rivets the dies had squeezed before it."""

    name: str
    measured: Measured
    strokes: int = 0


@dataclass(frozen=True)
class Raised:
    """An alarm by the names of its heads; `stands` until the first heads after it."""

    alarm: Alarm
    at: str
    since: str
    stands: bool


@dataclass(frozen=True)
class DiesTold:
    """Alarms that one set of dies raised, the last one last, and how they wear."""

    alarms: tuple[Raised, ...] = ()
    wear: Wear | None = None

    @property
    def standing(self) -> Raised | None:
        """The alarm that stands now; None where none does."""
        last = self.alarms[-1] if self.alarms else None
        return last if last and last.stands else None


NO_DIES_TOLD = DiesTold()


@dataclass(frozen=True)
class HeadsTold:
    """What heads taught the set-ups, and what they tell of each set of dies."""

    taught: ShopTaught = UNTAUGHT
    by_dies: Mapping[DieSet, DiesTold] = field(default_factory=dict)

    def of(self, dies: DieSet) -> DiesTold:
        """What is told of a set of dies; nothing where none was measured."""
        return self.by_dies.get(dies, NO_DIES_TOLD)


NOTHING_TOLD = HeadsTold()


def heads_told(heads: Iterable[NamedHead], yokes: Sequence[Tool]) -> HeadsTold:
    """Learn from heads, watch them for a change, and see whether dies wear.

    Args:
        heads: heads in the order they were set; of stalled ones nothing is learnt.
        yokes: the yokes of the shop; heads of others are passed over.

    Returns:
        What they tell; nothing where none was measured.
    """
    by_yoke: dict[str, list[NamedHead]] = {}
    for one in heads:
        if not one.measured.is_stalled:
            by_yoke.setdefault(one.measured.dies.yoke, []).append(one)
    parts = [
        _of_yoke(tuple(by_yoke[yoke.id]), yoke) for yoke in yokes if yoke.id in by_yoke
    ]
    return HeadsTold(
        ShopTaught(
            {key: one for part in parts for key, one in part.taught.dies.items()},
            {key: one for part in parts for key, one in part.taught.springs.items()},
        ),
        {key: one for part in parts for key, one in part.by_dies.items()},
    )


@lru_cache(maxsize=KEPT_YOKES)
def _of_yoke(heads: tuple[NamedHead, ...], yoke: Tool) -> HeadsTold:
    """What the heads of one yoke tell."""
    found = learn_watched([one.measured for one in heads], [yoke])
    by_dies = {
        dies: _of_dies(found, [one for one in heads if one.measured.dies == dies])
        for dies in dict.fromkeys(one.measured.dies for one in heads)
    }
    return HeadsTold(found.learnt.taught(), by_dies)


def _of_dies(found: WatchedShop, mine: Sequence[NamedHead]) -> DiesTold:
    """Alarms and wear of one set of dies."""
    dies = mine[0].measured.dies
    learnt = found.learnt.yokes[dies.yoke]
    alarms = found.watched[dies, mine[0].measured.period].alarms
    last = len(mine) - 1
    periods: list[int] = []
    lifts: list[float] = []
    for stretch in sorted(
        (one for one in learnt.stretches if one[0] == dies), key=lambda one: one[1]
    ):
        offsets = learnt.offsets_mm(stretch)
        lifts += offsets
        periods += [stretch[1]] * len(offsets)
    wear = wear_of(
        [one.strokes for one in mine],
        lifts,
        periods,
        scatter_mm=float(learnt.fit.scatter),
    )
    return DiesTold(
        tuple(
            Raised(
                alarm,
                mine[alarm.at].name,
                mine[alarm.since].name,
                last - alarm.at < FIRST_HEADS,
            )
            for alarm in alarms
        ),
        wear,
    )
