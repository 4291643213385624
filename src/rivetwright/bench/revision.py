"""Compare revisions: a bulletin that came in, a file that was changed, or two files.

What is done to the earlier plan's holes is the record's; without one, what its file
says had happened.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from rivetwright.bench.bulletins import bulletin_for, revised
from rivetwright.bench.hours import zone_of
from rivetwright.bench.issue import issued_plan, pending
from rivetwright.bench.now import HoleIds, opening_now
from rivetwright.bench.open import Assembly, Project, form_of
from rivetwright.bench.stock import sits, stock_of_project
from rivetwright.bench.tools import reached_by
from rivetwright.bench.work import stand_by_record, work_left
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.revise.compare import Comparison, compare
from rivetwright.engines.revise.outlook import Outlook, outlook
from rivetwright.engines.squeeze.set_ups import set_ups
from rivetwright.engines.stock.need import CodeNeed
from rivetwright.engines.work.rates import WorkRate
from rivetwright.engines.work.stand import Stand, stand_as_written
from rivetwright.errors import NotFound, Refusal, nearest_hint
from rivetwright.intake.plan_file import read_plan
from rivetwright.model.bulletin import Bulletin
from rivetwright.model.columns import expand
from rivetwright.model.opening import Delivery
from rivetwright.model.plan import Plan
from rivetwright.model.shop import Shop
from rivetwright.record.state import Met, State


@dataclass(frozen=True)
class Offered:
    """A comparison that can be opened: a bulletin, or a file changed since it counts.

    `key` opens it; `came` is the day on which a bulletin came in, `met` its entry.
    """

    key: str
    assembly: str
    bulletin: Bulletin | None
    came: str = ""
    met: Met | None = None


@dataclass(frozen=True)
class Revision:
    """Two revisions of an assembly, and what the later one asks for.

    `needs` are the stocks of the codes that the changed holes take, `deliveries` where
    the new parts stand. `position` is how far the record went that was looked at.
    """

    offered: Offered
    found: Comparison
    asks: Outlook
    needs: tuple[CodeNeed, ...]
    deliveries: tuple[Delivery, ...]
    shop: Shop | None
    has_record: bool
    position: int = 0

    @property
    def old(self) -> Plan:
        """The earlier revision."""
        return self.found.old.worked.plan

    @property
    def new(self) -> Plan:
        """The later revision."""
        return self.found.new.worked.plan

    def need(self, code: str) -> CodeNeed | None:
        """The stock of a code; None where nothing is known of it."""
        return next((one for one in self.needs if one.code == code), None)


def offered(workshop: Workshop) -> tuple[Offered, ...]:
    """Every comparison that can be opened: bulletins, then changed files.

    Raises:
        Refusal: the folder, or a file in it, cannot be read.
    """
    with workshop.lock:
        state = workshop.state()
        return tuple(_offered(workshop, workshop.now().project, state))


def _offered(workshop: Workshop, project: Project, state: State) -> Iterator[Offered]:
    for one in project.assemblies:
        plan = one.worked_plan.worked.plan
        if one.bulletin is not None:
            now = state.assembly(plan.id)
            days = {b.id: b.day for b in plan.opening.bulletins}
            day = days.get(one.bulletin.id)
            came = day.isoformat() if day else ""
            met = now.met.get(one.bulletin.id)
            yield Offered(one.key, plan.name, one.bulletin, came, met)
    for one in project.assemblies:
        if one.bulletin is None and workshop.has_record and pending(workshop, one.key):
            yield Offered(one.key, one.worked_plan.worked.plan.name, None)


def revision_of(workshop: Workshop, key: str) -> Revision:
    """A comparison by its key.

    Raises:
        NotFound: nothing of that key can be compared.
        Refusal: the folder, or a file in it, cannot be read.
    """
    with workshop.lock:
        ways = offered(workshop)
        way = next((one for one in ways if one.key == key), None)
        if way is None:
            keys = [one.key for one in ways]
            raise NotFound(
                asked=f"compare {key[:60]}",
                found="no bulletin, and no file changed since it counts",
                allowed=f"one of: {', '.join(keys) or 'none there'}"
                + nearest_hint(key, keys),
                do="choose one on the page Revisions",
            )
        opened = workshop.now()
        after = opened.assembly(key)
        if way.bulletin is not None:
            plan_id = after.worked_plan.worked.plan.id
            before = opened.assembly(plan_id)
        else:
            before = _as_issued(workshop, after, opened.project.shop)
        state = workshop.state() if workshop.has_record else None
        return _revision(workshop, opened.project, way, (before, after), state)


def _as_issued(workshop: Workshop, after: Assembly, shop: Shop | None) -> Assembly:
    """An assembly by the plan that was issued last, with what the record says."""
    state = workshop.state()
    plan = issued_plan(workshop, state.assembly(after.key).revision_digest)
    if plan is None:
        raise NotFound(
            asked=f"compare {after.key}",
            found="no plan of it that was issued",
            allowed="a plan that the record has",
            do="begin the record first",
        )
    return replace(after, worked_plan=work_out(_now(plan, state), shop=shop))


def _now(plan: Plan, state: State | None) -> Plan:
    """A plan with what the record says had happened, where it says anything."""
    if state is None or plan.id not in state.openings:
        return plan
    others = [one.part for one in plan.opening.deliveries]
    return replace(plan, opening=opening_now(HoleIds(expand(plan)), state, others))


def compare_files(workshop: Workshop, old: Path, new: Path) -> Revision:
    """Two files: a plan, and a later plan of it or a bulletin.

    Args:
        workshop: the folder of the earlier file, with its record and shop.
        old: the earlier plan file.
        new: the later plan file, or the file of a bulletin.

    Raises:
        PlanRefused: a file was not read, or the bulletin is for another plan.
        Refusal: the later plan is of another assembly.
    """
    with workshop.lock:
        state = workshop.state() if workshop.has_record else None
        project = workshop.now().project
        before = _now(read_plan(old), state)
        bulletin: Bulletin | None = None
        if form_of(new) == "bulletin":
            _, bulletin = bulletin_for(new, [before])
            after = revised(before, bulletin, new)
        else:
            after = read_plan(new)
        if after.id != before.id:
            raise Refusal(
                asked=f"compare {old.name} with {new.name}",
                found=f"assemblies {before.id} and {after.id}",
                allowed="two revisions of one assembly, which keeps its id",
                do="choose two files of the same assembly",
            )
        pair = tuple(
            Assembly(plan.id, path, work_out(plan, shop=project.shop), come)
            for plan, path, come in ((before, old, None), (after, new, bulletin))
        )
        way = Offered(after.id, after.name, bulletin)
        return _revision(workshop, project, way, pair, state)  # type: ignore[arg-type]


def _revision(
    workshop: Workshop,
    project: Project,
    way: Offered,
    pair: tuple[Assembly, Assembly],
    state: State | None,
) -> Revision:
    """Two assemblies compared, with what the later one asks for."""
    before, after = pair
    shop = project.shop
    plan = before.worked_plan.worked.plan
    found = compare(
        before.worked_plan,
        after.worked_plan,
        _lineage(state, plan),
        (_SetUpsTold(before.worked_plan), _SetUpsTold(after.worked_plan)),
    )
    asks = outlook(
        found,
        _stand(before, state, workshop.time_zone),
        shop,
        _rates(project, state, workshop.time_zone),
        sits(before.worked_plan, state),
    )
    today = workshop.clock().astimezone(zone_of(workshop.time_zone)).date()
    stands = {one.part: one for one in after.worked_plan.worked.plan.opening.deliveries}
    return Revision(
        way,
        found,
        asks,
        _needs(project, state, today, asks),
        tuple(stands.get(part) or Delivery(part, "") for part in asks.parts),
        shop,
        state is not None,
        workshop.position(),
    )


def _lineage(state: State | None, plan: Plan) -> Mapping[str, str]:
    """Row ids that became others after a revision."""
    found: dict[str, str] = {}
    for revision, names in state.assembly(plan.id).lineage if state else ():
        if revision > plan.revision:
            found |= names
    return found


def _stand(before: Assembly, state: State | None, zone: str) -> Stand:
    """How the assembly stands by the earlier plan."""
    plan = before.worked_plan.worked.plan
    if state is not None and plan.id in state.openings:
        return stand_by_record(before, state, zone)
    return stand_as_written(before.worked_plan)


def _rates(project: Project, state: State | None, zone: str) -> Mapping[str, WorkRate]:
    """The builder's own minutes, as far as the log has them."""
    return work_left(project, state or State(), zone).rates


def _needs(
    project: Project, state: State | None, today: date, asks: Outlook
) -> tuple[CodeNeed, ...]:
    """The stock of the codes that the changed holes take."""
    codes = {code for code, _ in asks.codes}
    stock = stock_of_project(project, state, today)
    return tuple(one for one in stock.needs if one.code in codes)


class _SetUpsTold:
    """Yoke and wanted die gap of each hole that a squeezer sets, `Y2 6.325`."""

    def __init__(self, worked_plan: WorkedPlan) -> None:
        self.worked = worked_plan.worked
        shop = self.worked.shop
        self.found = set_ups(self.worked, shop) if shop else None
        self._known: dict[tuple[int, str], str] = {}

    def __call__(self, hole: int) -> str:
        """The set-up of a hole; empty where no owned yoke gets there."""
        worked = self.worked
        reached = str(worked.at("tools_that_fit", hole))
        key = int(worked.stacks.class_of[hole]), reached
        if key not in self._known:
            self._known[key] = self._told(hole)
        return self._known[key]

    def _told(self, hole: int) -> str:
        if self.found is None:
            return ""
        access = self.worked.holes.row_of(hole).access
        planned = access.tools if access else ()
        there = reached_by(self.worked, hole)
        ways = [one for one in self.found.of_hole(hole) if one.yoke.id in there]
        if not ways:
            return ""
        best = min(ways, key=lambda one: one.yoke.id not in planned)
        return f"{best.yoke.id} {best.wanted_mm.central:.3f}"
