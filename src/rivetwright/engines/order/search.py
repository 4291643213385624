"""Search over orders of visits, the whole plan built anew for each.

Orders that cost the same in changes and turns differ by several breaches of rule C or
dozens of holder moves; only the built plan tells. So visits are moved, swapped and
turned round, holes handed to other visits that can set them, and every promising order
is built and paid. A worse order is taken now and then, less often as the work goes on.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from rivetwright.engines.order.chance import Chance
from rivetwright.engines.order.construct import Builder, HoldersShort, Stop
from rivetwright.engines.order.runs import ranks_of
from rivetwright.engines.order.stage import BARE

_WARM_S = 30.0  # how much worse an order may be at first
_COOL_S = 1.0  # and at last
_SAVED_BY_BUILDING_S = 130.0  # an order dearer by more in visits alone is not built
_NEARLY = 1.02  # other orders worth polishing
_OTHERS_MOST = 7
Move = Callable[[list[Stop]], list[Stop] | None]


@dataclass
class Searched:
    """The best order of visits so far."""

    stops: list[Stop]
    cost_s: float
    is_stopped: bool = False
    others: list[list[Stop]] = field(default_factory=list)


@dataclass
class Visits:
    """What an order of visits must keep, and what it costs without its holes."""

    builder: Builder
    needs: list[tuple[int, int]] = field(init=False)  # per unit: units, milestones
    milestone_needs: list[tuple[int, int]] = field(init=False)
    places: list[list[tuple[int, int]]] = field(init=False)  # per unit: setup, face

    def __post_init__(self) -> None:
        """Work out what each unit and milestone waits for."""
        builder, classes = self.builder, self.builder.classes
        count = len(classes.batches)
        of_batch = [0] * count
        for number, unit in enumerate(builder.units):
            of_batch[classes.classes[unit.number].batch] |= 1 << number
        by_batch = [
            (
                sum(of_batch[k] for k in range(count) if classes.is_before[k, batch]),
                sum(1 << m for m in classes.milestones_before[batch]),
            )
            for batch in range(count)
        ]
        self.needs = [
            by_batch[classes.classes[unit.number].batch] for unit in builder.units
        ]
        self.milestone_needs = [(0, 0)] * len(classes.tables.stage.milestones)
        for milestone in classes.open_milestones:
            batches, others = classes.needs_of(milestone)
            self.milestone_needs[milestone] = (
                sum(of_batch[k] for k in batches),
                sum(1 << m for m in others),
            )
        self.places = [
            [
                (setup, classes.classes[unit.number].face)
                for setup in classes.classes[unit.number].options
            ]
            for unit in builder.units
        ]
        self._needs_of: dict[int, tuple[int, int]] = {}

    def needs_of(self, units: int) -> tuple[int, int]:
        """Units and milestones that some units wait for."""
        known = self._needs_of.get(units)
        if known is None:
            first, milestones = 0, 0
            for number in ranks_of(units):
                a, b = self.needs[number]
                first, milestones = first | a, milestones | b
            known = self._needs_of[units] = first, milestones
        return known

    def is_kept(self, stops: Iterable[Stop]) -> bool:
        """Whether everything comes after what it waits for."""
        units = milestones = 0
        for stop in stops:
            if stop.milestone == BARE:
                first, before = self.needs_of(stop.units)
                units |= stop.units
                if first & ~units or before & ~milestones:
                    return False
            else:
                first, before = self.milestone_needs[stop.milestone]
                if first & ~units or before & ~milestones:
                    return False
                milestones |= 1 << stop.milestone
        return True

    def cost_s(self, stops: Iterable[Stop]) -> float:
        """Changes, turns and rivets alone [s]."""
        builder = self.builder
        stage = builder.classes.tables.stage
        rigged, face, cost_s = stage.rigged, stage.start_face, 0.0
        for setup, on, units, milestone in stops:
            if milestone == BARE:
                if setup != rigged:
                    cost_s += builder.change_s[rigged][setup]
                    rigged = setup
                cost_s += builder.turn_s[face][on]
                face = on
                cost_s += builder.rivet_s[setup] * self._holes(units)
        return cost_s

    def _holes(self, units: int) -> int:
        return self.builder.holes_of(units)


def tidy(stops: Iterable[Stop]) -> list[Stop]:
    """Without empty visits; two of the same setup and face that meet are one."""
    kept: list[Stop] = []
    for stop in stops:
        if stop.milestone == BARE:
            if not stop.units:
                continue
            last = kept[-1] if kept else None
            if last and (last.setup, last.face) == (stop.setup, stop.face):
                kept[-1] = stop._replace(units=last.units | stop.units)
                continue
        kept.append(stop)
    return kept


class Search:
    """Looks for a better order of visits.

    Args:
        builder: builds what is tried.
        seed: of the chance.
    """

    def __init__(self, builder: Builder, seed: int = 1) -> None:
        self.builder = builder
        self.visits = Visits(builder)
        self.chance = Chance(seed)
        self._known: dict[tuple[Stop, ...], float] = {}
        self._admitted_by: dict[int, list[int]] = {}
        self.kind_of = [
            (one.tool, one.yoke) for one in builder.classes.tables.stage.setups
        ]
        self.moves: tuple[Move, ...] = (
            *(self._shift, self._shift, self._swap, self._turn_round),
            *(self._hand_over, self._hand_over, self._hand_unit, self._split),
            *(self._rig_otherwise, self._rig_otherwise),
        )

    def built_s(self, stops: Sequence[Stop]) -> float:
        """Cost of an order once built; infinite: it cannot be [s]."""
        key = tuple(stops)
        known = self._known.get(key)
        if known is None:
            try:
                known = self.builder.cost_s(stops)
            except HoldersShort:
                known = math.inf
            self._known[key] = known
        return known

    def run(
        self,
        starts: Sequence[Sequence[Stop]],
        ticks: int,
        *,
        told: Callable[[float, float], None] | None = None,
        stop: Callable[[], bool] | None = None,
    ) -> Searched:
        """The best order found with so much work.

        Args:
            starts: orders to begin from.
            ticks: rows to go along at the most.
            told: called now and then with the share done and the best cost [s].
            stop: asked now and then; True: hand over the best so far.

        Returns:
            The order and its cost.
        """
        costs_s = [self.built_s(one) for one in starts]
        best_s = min(costs_s)
        now, now_s = list(starts[costs_s.index(best_s)]), best_s
        best = Searched(list(now), best_s)
        first = self.builder.ticks
        while len(now) > 1 and (spent := self.builder.ticks - first) < ticks:
            if stop and stop():
                best.is_stopped = True
                break
            share = spent / ticks
            if told:
                told(share, best.cost_s)
            warm_s = _WARM_S * (_COOL_S / _WARM_S) ** share
            tried = self._next(now, now_s, warm_s)
            self.builder.ticks += 1
            if tried is None:
                continue
            now, now_s = tried
            self.builder.rest()
            if now_s < best.cost_s - 1e-9:
                best = Searched(list(now), now_s)
        best.others = self._runners_up(best)
        return best

    def _runners_up(self, best: Searched) -> list[list[Stop]]:
        """Other orders that came out nearly as cheap, the cheapest first."""
        ranked = sorted(
            (cost_s, number, stops)
            for number, (stops, cost_s) in enumerate(self._known.items())
            if cost_s <= best.cost_s * _NEARLY and list(stops) != best.stops
        )
        return [list(stops) for _, _, stops in ranked[:_OTHERS_MOST]]

    def _next(
        self, now: list[Stop], now_s: float, warm_s: float
    ) -> tuple[list[Stop], float] | None:
        """One move that is taken; None: it was not."""
        move = self.moves[self.chance.below(len(self.moves))]
        tried = move(now)
        if tried is None:
            return None
        tried = tidy(tried)
        if tried == now or not self.visits.is_kept(tried):
            return None
        allowed_s = now_s - warm_s * math.log(max(self.chance.share(), 1e-12))
        dearer_s = self.visits.cost_s(tried) - self.visits.cost_s(now)
        if dearer_s > allowed_s - now_s + _SAVED_BY_BUILDING_S:
            return None
        cost_s = self.built_s(tried)
        return (tried, cost_s) if cost_s < allowed_s else None

    # --- moves --------------------------------------------------------------------

    def _shift(self, now: list[Stop]) -> list[Stop]:
        """One to three visits in a row to another place."""
        first = self.chance.below(len(now))
        count = 1 + self.chance.below(3) if self.chance.share() < 0.4 else 1
        moved, rest = now[first : first + count], now[:first] + now[first + count :]
        to = self.chance.below(len(rest) + 1)
        return rest[:to] + moved + rest[to:]

    def _swap(self, now: list[Stop]) -> list[Stop]:
        """Two visits change places."""
        a, b = self.chance.below(len(now)), self.chance.below(len(now))
        tried = list(now)
        tried[a], tried[b] = tried[b], tried[a]
        return tried

    def _turn_round(self, now: list[Stop]) -> list[Stop]:
        """A stretch of visits backward."""
        a, b = self.chance.below(len(now)), self.chance.below(len(now))
        a, b = min(a, b), max(a, b)
        return now[:a] + now[a : b + 1][::-1] + now[b + 1 :]

    def _hand_over(self, now: list[Stop]) -> list[Stop] | None:
        """All of one class in a visit to another visit that can set it."""
        return self._hand(now, is_class=True)

    def _hand_unit(self, now: list[Stop]) -> list[Stop] | None:
        """One row's part of a class to another visit that can set it."""
        return self._hand(now, is_class=False)

    def _hand(self, now: list[Stop], *, is_class: bool) -> list[Stop] | None:
        picked = self._pick(now, is_class=is_class)
        if picked is None:
            return None
        at, units, unit = picked
        places = self.visits.places[unit]
        takers = [
            k
            for k, stop in enumerate(now)
            if k != at and stop.milestone == BARE and (stop.setup, stop.face) in places
        ]
        if not takers:
            return None
        to = takers[self.chance.below(len(takers))]
        return self._handed(now, at, to, units)

    def _split(self, now: list[Stop]) -> list[Stop] | None:
        """One class to a visit of its own, anywhere."""
        picked = self._pick(now, is_class=True)
        if picked is None:
            return None
        at, units, unit = picked
        places = self.visits.places[unit]
        setup, face = places[self.chance.below(len(places))]
        tried = list(now)
        tried[at] = now[at]._replace(units=now[at].units & ~units)
        tried.insert(self.chance.below(len(now) + 1), Stop(setup, face, units))
        return tried

    def _rig_otherwise(self, now: list[Stop]) -> list[Stop] | None:
        """A stretch of visits with another tool and yoke, wherever that may be."""
        kind_of, chance = self.kind_of, self.chance
        kind = kind_of[chance.below(len(kind_of))]
        first = chance.below(len(now))
        last = first + chance.below(len(now) - first)
        tried = list(now)
        for at in range(first, last + 1):
            stop = now[at]
            if stop.milestone == BARE and kind_of[stop.setup] != kind:
                setups = [z for z in self._admitted(stop.units) if kind_of[z] == kind]
                if setups:
                    setup = setups[chance.below(len(setups))]
                    tried[at] = stop._replace(setup=setup)
        return tried

    def _admitted(self, units: int) -> list[int]:
        """Setups that can set all of some units."""
        known = self._admitted_by.get(units)
        if known is None:
            places = self.visits.places
            of = [{setup for setup, _ in places[unit]} for unit in ranks_of(units)]
            known = self._admitted_by[units] = sorted(set.intersection(*of))
        return known

    def _pick(self, now: list[Stop], *, is_class: bool) -> tuple[int, int, int] | None:
        """A visit, units of one class in it, and one of these units."""
        at = self.chance.below(len(now))
        if now[at].milestone != BARE:
            return None
        inside = ranks_of(now[at].units)
        unit = inside[self.chance.below(len(inside))]
        units = 1 << unit
        if is_class:
            units = now[at].units & self.builder.siblings[unit]
        return at, units, unit

    def _handed(self, now: list[Stop], at: int, to: int, units: int) -> list[Stop]:
        tried = list(now)
        tried[at] = now[at]._replace(units=now[at].units & ~units)
        tried[to] = now[to]._replace(units=now[to].units | units)
        return tried
