"""From a worked-out plan and the state at the bench to a stage, and back.

A stage holds every hole of the rows that the steps work on, so that a row is held
together by all that is in it. Holes that must wait, that belong to another step or
that no tool sets tonight stay open in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.order.construct import Way
from rivetwright.engines.order.figures import Figures
from rivetwright.engines.order.firsts import Event, Firsts, firsts
from rivetwright.engines.order.holders import size_of
from rivetwright.engines.order.placing import (
    free_holders,
    place_holders,
    reminder_holes,
)
from rivetwright.engines.order.setting import Limits, SetBy, Setting, rig_key, setups_of
from rivetwright.engines.squeeze.taught import UNTAUGHT, ShopTaught
from rivetwright.engines.worked import Worked
from rivetwright.model.columns import read_only
from rivetwright.model.shop import Shop
from rivetwright.model.stage import BARE, Stage

Flags = NDArray[np.bool_]
MIDDLE, ENDS, SKIP = "middle", "ends", "skip"
_LINE_APART_MM = 100.0


@dataclass(frozen=True)
class AtBench:
    """How a plan's holes stand now, shape (holes,) each.

    Args:
        is_set: a rivet is in it.
        must_wait: it stays open whatever is done tonight.
        has_holder: the record says that a sheet holder is in it.
        holders_elsewhere: holders in other assemblies [1/32 in: count].
        last_hole: index of the hole set last; BARE: none.
        last_setup: key of the setup used last, by `SetBy`; None: nothing is rigged.
    """

    is_set: Flags
    must_wait: Flags
    has_holder: Flags
    holders_elsewhere: Mapping[int, int] = field(default_factory=dict)
    last_hole: int = BARE
    last_setup: tuple[str, str] | None = None


def nothing_done(worked: Worked) -> AtBench:
    """A plan of which nothing is set and nothing waits but what is left open.

    Args:
        worked: the worked-out plan.
    """
    holes = worked.holes
    count = len(holes)
    return AtBench(
        np.zeros(count, dtype=bool), holes.open_holes >= 0, np.zeros(count, dtype=bool)
    )


@dataclass(frozen=True)
class Choices:
    """How the person wants to work tonight.

    Args:
        begin: "middle", "ends" or "skip"; empty: as the stacks ask.
        limits: alone, quiet hours, tools left out.
        as_reminders: holders stay in holes that get another rivet than their row.
        taught: what measured heads taught of dies and yokes.
    """

    begin: str = ""
    limits: Limits = field(default_factory=Limits)
    as_reminders: bool = False
    taught: ShopTaught = UNTAUGHT


@dataclass(frozen=True)
class Staged:
    """A stage of a plan and the way back.

    Args:
        stage: the stage.
        holes: the plan's hole of each hole of the stage.
        rows: the plan's row of each row.
        faces: the plan's face of each face; BARE: none is drawn.
        ways: how each setup is rigged.
        events: what each milestone is.
        steps: names of the steps.
        to_put_in: plan holes that get a holder before the first rivet.
        without: plan holes that no tool sets tonight.
        reminders: plan holes in which a holder is left as a reminder.
        way: how rows are worked.
        figures: what the work takes.
        wet_s: per row how long its sealant can be worked; nought: it is set dry.
        widest_mm: the pitch that rule B was widened to; nought: none.
        sizes: size of the sheet holder of each hole [1/32 in].
        free: holders in the box now [1/32 in: count]; empty: not known.
    """

    stage: Stage
    holes: tuple[int, ...]
    rows: tuple[int, ...]
    faces: tuple[int, ...]
    ways: tuple[SetBy, ...]
    events: tuple[Event, ...]
    steps: tuple[str, ...]
    to_put_in: tuple[int, ...]
    without: tuple[int, ...]
    reminders: tuple[int, ...]
    way: Way
    figures: Figures
    wet_s: tuple[float, ...]
    widest_mm: float = 0.0
    sizes: tuple[int, ...] = ()
    free: Mapping[int, int] = field(default_factory=dict)

    @property
    def wanted_count(self) -> int:
        """Rivets to set in this stage."""
        return int((~self.stage.is_deferred & ~self.stage.is_set).sum())


def stage_of(
    worked: Worked,
    shop: Shop | None,
    at_bench: AtBench,
    steps: Sequence[str],
    figures: Figures,
    choices: Choices | None = None,
) -> Staged:
    """The stage of some steps of a plan, begun in the state at the bench.

    Args:
        worked: the worked-out plan.
        shop: what is owned; None: as the plan names tools.
        at_bench: how the holes stand.
        steps: names of the steps.
        figures: what the work takes.
        choices: how the person wants to work.

    Returns:
        The stage, and what each part of it is in the plan.

    Source: the plan, reach and squeeze; order_costs.csv.
    """
    return _Staging(worked, shop, at_bench, steps, figures, choices or Choices()).make()


class _Staging:
    """A stage in the making."""

    def __init__(
        self,
        worked: Worked,
        shop: Shop | None,
        at_bench: AtBench,
        steps: Sequence[str],
        figures: Figures,
        choices: Choices,
    ) -> None:
        self.worked, self.shop, self.at_bench = worked, shop, at_bench
        self.figures, self.choices, self.names = figures, choices, tuple(steps)
        index = {one.name: k for k, one in enumerate(worked.plan.steps)}
        self.steps = [index[name] for name in steps]
        self.holes = self._holes()
        self.at = {hole: k for k, hole in enumerate(self.holes)}
        columns = worked.holes
        self.rows = list(dict.fromkeys(int(columns.row[h]) for h in self.holes))
        self.faces = list(dict.fromkeys(int(columns.face[h]) for h in self.holes))
        self.sizes = [size_of(worked, hole) for hole in self.holes]
        recorded = at_bench.has_holder[self.holes]
        elsewhere = at_bench.holders_elsewhere
        self.free = free_holders(shop, self.sizes, recorded, elsewhere)

    def _holes(self) -> list[int]:
        """Every hole of the rows that the steps have something to set in."""
        columns = self.worked.holes
        own = np.isin(columns.step, self.steps)
        rows = np.isin(columns.row, np.unique(columns.row[own]))
        found: list[int] = np.flatnonzero(rows).tolist()
        return found

    def make(self) -> Staged:
        """The stage and the way back."""
        is_set = self.at_bench.is_set[self.holes]
        ways_of, without = self._ways(is_set)
        rigs = setups_of(way for ways in ways_of for way in ways)
        stays_open = self._stays_open(is_set, without)
        there = is_set.tolist()
        first = firsts(self.worked, self.holes, self.steps, there, self.figures)
        bare = self._bare(rigs, ways_of, first, is_set, stays_open)
        stage, to_put_in, reminders = self._held(bare)
        reach_mm = stage.clamp.reach_mm
        return Staged(
            stage=stage,
            holes=tuple(self.holes),
            rows=tuple(self.rows),
            faces=tuple(self.faces),
            ways=tuple(rigs.values()),
            events=first.events,
            steps=self.names,
            to_put_in=to_put_in,
            without=tuple(without),
            reminders=reminders,
            way=self._way(stays_open, is_set),
            figures=self.figures,
            wet_s=self._wet_s(),
            widest_mm=reach_mm if reach_mm > self.figures["held within"] else 0.0,
            sizes=tuple(self.sizes),
            free=self.free,
        )

    def _bare(
        self,
        rigs: Mapping[tuple[object, ...], SetBy],
        ways_of: Sequence[tuple[SetBy, ...]],
        first: Firsts,
        is_set: Flags,
        stays_open: Flags,
    ) -> Stage:
        """The stage without its holders."""
        columns, here = self.worked.holes, np.array(self.holes, dtype=np.int64)
        number = {key: k for k, key in enumerate(rigs)}
        s_mm, x_mm, y_mm = self._places()
        row_of = np.array([self.rows.index(int(r)) for r in columns.row[here]])
        return Stage(
            name=" ".join(self.names),
            costs=self.figures.costs,
            clamp=self.figures.clamp(*self._pitches(s_mm, row_of, stays_open)),
            creep=self.figures.creep,
            turn_s=self._turns(len(columns)),
            setups=tuple(way.setup(self.figures) for way in rigs.values()),
            groups=first.groups,
            milestones=tuple(one.milestone for one in first.events),
            precedence=first.precedence,
            row_after=self._row_after(row_of, first.after_of),
            face=_ints([self.faces.index(int(f)) for f in columns.face[here]]),
            row=_ints(row_of),
            s_mm=read_only(s_mm),
            x_mm=read_only(x_mm),
            y_mm=read_only(y_mm),
            options=tuple(
                tuple(sorted({number[rig_key(way)] for way in ways}))
                for ways in ways_of
            ),
            group=_ints(first.group_of),
            holder=read_only(np.zeros(len(here), dtype=bool)),
            is_deferred=read_only(stays_open),
            is_set=read_only(is_set.copy()),
            done=read_only(np.array(first.done, dtype=bool)),
            rigged=self._rigged(tuple(rigs.values())),
            start_face=self._start_face(stays_open, is_set),
        )

    # --- holes ----------------------------------------------------------------------

    def _ways(self, is_set: Flags) -> tuple[list[tuple[SetBy, ...]], list[int]]:
        """Setups of each hole, and the holes that no setup sets tonight.

        Holes that are set have theirs too, so that setups keep their numbers.
        """
        free = [hole for hole in self.holes if not self._waits(hole)]
        setting = Setting(
            self.worked, self.shop, self.choices.limits, self.choices.taught, free
        )
        ways: list[tuple[SetBy, ...]] = []
        without = []
        for k, hole in enumerate(self.holes):
            ways.append(() if self._waits(hole) else setting.at(hole))
            if not ways[-1] and not is_set[k] and not self._waits(hole):
                without.append(hole)
        return ways, without

    def _waits(self, hole: int) -> bool:
        """Whether a hole stays open whatever tools there are."""
        is_of_steps = int(self.worked.holes.step[hole]) in self.steps
        return bool(self.at_bench.must_wait[hole]) or not is_of_steps

    def _stays_open(self, is_set: Flags, without: Sequence[int]) -> Flags:
        lacking = set(without)
        stays = [self._waits(hole) or hole in lacking for hole in self.holes]
        return np.array(stays, dtype=bool) & ~is_set

    def _places(self) -> tuple[NDArray[np.float64], ...]:
        """Places along the rows and on the faces; a usual pitch where none is drawn."""
        columns = self.worked.holes
        s_mm, x_mm, y_mm = np.zeros((3, len(self.holes)))
        for line, row in enumerate(self.rows):
            start, stop = (int(k) for k in columns.row_start[row : row + 2])
            inside = [self.at[h] for h in range(start, stop) if h in self.at]
            x, y = columns.x_mm[start:stop], columns.y_mm[start:stop]
            if not (np.isfinite(x).all() and np.isfinite(y).all()):
                number = columns.number[start:stop].astype(float)
                x = number * self.figures["pitch"]
                y = np.full(stop - start, line * _LINE_APART_MM)
            way = np.concatenate(([0.0], np.hypot(np.diff(x), np.diff(y))))
            s_mm[inside], x_mm[inside], y_mm[inside] = np.cumsum(way), x, y
        return s_mm, x_mm, y_mm

    def _pitches(
        self, s_mm: NDArray[np.float64], row_of: NDArray[np.int64], stays_open: Flags
    ) -> tuple[float, float]:
        """The widest pitch of the rows, and the widest at an end [mm]."""
        widest = at_end = 0.0
        for line in range(len(self.rows)):
            inside = np.flatnonzero((row_of == line) & ~stays_open)
            if len(inside) > 2:
                ways = np.diff(s_mm[np.flatnonzero(row_of == line)])
                widest = max(widest, float(ways.max()))
                at_end = max(at_end, float(ways[0]), float(ways[-1]))
        return widest, at_end

    def _wet_s(self) -> tuple[float, ...]:
        rows = [self.worked.plan.rows[row] for row in self.rows]
        return tuple(row.sealant.work_s if row.sealant else 0.0 for row in rows)

    # --- the stage round them -------------------------------------------------------

    def _turns(self, hole_count: int) -> NDArray[np.float64]:
        turns = np.full((len(self.faces),) * 2, self.figures.turn_s(hole_count))
        np.fill_diagonal(turns, 0.0)
        return read_only(turns)

    def _row_after(
        self, row_of: NDArray[np.int64], after_of: Sequence[tuple[int, ...]]
    ) -> NDArray[np.int32]:
        """The part that a whole row waits for, where every hole of it does."""
        found = []
        for line in range(len(self.rows)):
            inside = np.flatnonzero(row_of == line).tolist()
            waits = [set(after_of[k]) for k in inside]
            common = set.intersection(*waits) if waits else set()
            found.append(max(common, default=BARE))
        return _ints(found)

    def _rigged(self, ways: Sequence[SetBy]) -> int:
        """What is on the tool: the setup of the rivet set last, where it is known."""
        for number, way in enumerate(ways):
            if self.at_bench.last_setup == (way.callout, ",".join(way.recorded)):
                return number
        return BARE

    def _start_face(self, stays_open: Flags, is_set: Flags) -> int:
        columns, last = self.worked.holes, self.at_bench.last_hole
        if last != BARE and int(columns.face[last]) in self.faces:
            return self.faces.index(int(columns.face[last]))
        wanted = np.flatnonzero(~stays_open & ~is_set)
        hole = self.holes[int(wanted[0])] if len(wanted) else -1
        return self.faces.index(int(columns.face[hole])) if len(wanted) else 0

    def _way(self, stays_open: Flags, is_set: Flags) -> Way:
        """Middle outward, unless every stack is stiff or the person says otherwise."""
        begin = self.choices.begin
        if not begin:
            begin = ENDS if self._is_stiff(stays_open, is_set) else MIDDLE
        return Way(from_middle=begin == MIDDLE, ends_first=begin == ENDS)

    def _is_stiff(self, stays_open: Flags, is_set: Flags) -> bool:
        thickness = {part.name: part.thickness_mm for part in self.worked.plan.parts}
        wanted = np.flatnonzero(~stays_open & ~is_set)
        classes = {int(self.worked.stacks.class_of[self.holes[k]]) for k in wanted}
        thinnest = [
            min((thickness.get(s.part, 0.0) for s in one.sheets), default=0.0)
            for one in (self.worked.stacks.classes[k] for k in classes)
        ]
        return bool(thinnest) and min(thinnest) >= self.figures["stiff"]

    # --- sheet holders --------------------------------------------------------------

    def _held(self, stage: Stage) -> tuple[Stage, tuple[int, ...], tuple[int, ...]]:
        """The stage with its holders; those to put in, and those left as reminders."""
        recorded = self.at_bench.has_holder[self.holes]
        codes = [str(self.worked.holes.callout(hole)) for hole in self.holes]
        reminders = reminder_holes(stage, codes) if self.choices.as_reminders else []
        placed = place_holders(stage, recorded, self.sizes, self.free, reminders)
        held = replace(
            stage, holder=read_only(placed.holder), holders_spare=placed.spare
        )
        return (
            held,
            tuple(self.holes[k] for k in placed.added),
            tuple(self.holes[k] for k in reminders),
        )


def _ints(values: Sequence[int] | NDArray[np.int64]) -> NDArray[np.int32]:
    return read_only(np.array(values, dtype=np.int32))
