"""Heads of an assembly as the record has them: judged, with cause and decision.

Everything follows from plan, shop and record: the rivet really set, what was measured
and seen, what was decided, how often the hole was drilled out before. Values only; the
sentences are in `texts.head_card`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from rivetwright.bench.now import HoleIds, hole_now
from rivetwright.engines.heads.again import RIGID
from rivetwright.engines.heads.blind import (
    BlindHead,
    BlindLook,
    BlindRemark,
    blind_suspects,
    judge_blind,
)
from rivetwright.engines.heads.called import Called, called_at, called_with
from rivetwright.engines.heads.cause import suspects
from rivetwright.engines.heads.decide import (
    Action,
    Decision,
    History,
    decide,
    decide_blind,
)
from rivetwright.engines.heads.entry import GaugeAnswer, Head, Look, Side
from rivetwright.engines.heads.pattern import Seen, pattern_suspects
from rivetwright.engines.heads.seen import Level
from rivetwright.engines.heads.suspect import Suspect
from rivetwright.engines.heads.verdict import HeadVerdict, judge
from rivetwright.engines.heads.volume import Metal, metal_of
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.worked import Worked
from rivetwright.errors import CodeRefused, OutsideTable
from rivetwright.model.shop import Shop
from rivetwright.record.kinds import HeadChecked
from rivetwright.record.state import HeadSeen, HeadSettled, HoleNow, State
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import parse_rivet_code
from rivetwright.standards.spread import Spread

# Looks by eye alone: a measure is wanted, nothing is said of how much.
BY_EYE = frozenset({"low", "high"})
# What a head may want where nothing was ticked on it.
OTHER = "not as called for"
KEPT_VERDICTS = 4096


@dataclass(frozen=True)
class JudgedHead:
    """One look at a head, judged.

    `called` and `verdict` are those of a solid rivet, `blind` the remarks on a blind
    one; neither where the rivet's figures are not known. `settled` is what was decided
    after it, `is_there` whether the rivet still sits in its hole.
    """

    hole: int
    name: str
    hole_id: str
    seen: HeadSeen
    called: Called | None
    verdict: HeadVerdict | None
    metal: Metal | None
    causes: tuple[Suspect, ...]
    decision: Decision | None
    blind: tuple[BlindRemark, ...]
    is_blind: bool
    settled: HeadSettled | None
    is_there: bool

    @property
    def body(self) -> HeadChecked:
        """What was measured and seen."""
        return self.seen.body

    @property
    def is_by_eye(self) -> bool:
        """Whether nothing was measured on it."""
        return is_by_eye(self.body)

    @property
    def is_right_by_eye(self) -> bool:
        """Whether it was only looked at, and nothing was seen."""
        return self.is_by_eye and not self.body.looks

    @property
    def wanting(self) -> tuple[str, ...]:
        """What is wrong with it, in words of the catalogue; empty for nothing."""
        if self.settled is not None and self.settled.body.decision == Action.LEAVE:
            return ()
        if not self._is_wanting():
            return ()
        broken = self.verdict.chosen.broken if self.verdict else ()
        return (*self.body.looks, *(one.breach for one in broken)) or (OTHER,)

    def _is_wanting(self) -> bool:
        """Whether anything but leaving it was advised."""
        if self.is_blind:
            return any(one.level is not Level.FINE for one in self.blind)
        if self.verdict is None:
            return bool(self.body.looks)
        if self.is_by_eye:
            seen = any(one.level is not Level.FINE for one in self.verdict.remarks)
            return seen or bool(BY_EYE.intersection(self.body.looks))
        return self.decision is None or self.decision.action is not Action.LEAVE


def is_by_eye(body: HeadChecked) -> bool:
    """Whether nothing was measured."""
    measures = (
        *(body.width_mm, body.height_mm, body.offset_mm, body.lean_deg),
        *(body.proud_mm, body.gap_mm, body.mark_mm, body.collar_mm, body.hole_mm),
    )
    return not body.gauge and all(one is None for one in measures)


def head_of(body: HeadChecked) -> Head:
    """A solid rivet's head as the engine takes it."""
    known = {one.value for one in Look}
    return Head(
        body.width_mm,
        body.height_mm,
        tuple(GaugeAnswer(Side(side), kept, size) for side, kept, size in body.gauge),
        frozenset(Look(one) for one in body.looks if one in known),
        body.offset_mm,
        body.lean_deg,
        body.proud_mm,
        body.gap_mm,
        body.gap_share,
        body.mark_mm,
        body.is_confirmed,
    )


def blind_of(body: HeadChecked) -> BlindHead:
    """A blind rivet's head as the engine takes it."""
    known = {one.value for one in BlindLook}
    return BlindHead(
        frozenset(BlindLook(one) for one in body.looks if one in known),
        body.gap_mm,
        body.gap_share,
        body.collar_mm,
        body.hole_mm,
    )


def called_now(worked: Worked, hole: int, callout: str = "") -> Called | None:
    """What is called for at a hole, by the rivet that was really set there."""
    called = called_at(worked, hole)
    if called is None or callout in ("", str(called.code)):
        return called
    try:
        return called_with(called, parse_rivet_code(callout))
    except CodeRefused:
        return called


class Heads:
    """The heads of one assembly, judged by plan, shop and record."""

    def __init__(
        self,
        worked_plan: WorkedPlan,
        state: State,
        shop: Shop | None = None,
        ids: HoleIds | None = None,
    ) -> None:
        self.worked = worked_plan.worked
        self.taught = worked_plan.told.taught
        self.state = state
        self.ids = ids or HoleIds(self.worked.holes)
        self.shop = shop or self.worked.shop
        self._known: dict[tuple[int, str], JudgedHead] = {}
        self._wanting: dict[int, tuple[str, ...]] = {}

    def now(self, hole: int) -> HoleNow:
        """What the record says of a hole."""
        return hole_now(self.ids, self.state, hole)

    def of_hole(self, hole: int) -> tuple[JudgedHead, ...]:
        """Every look at the heads of a hole, the oldest first."""
        return tuple(self.judged(hole, one) for one in self.now(hole).heads)

    def entered(self, hole: int, body: HeadChecked, person: str = "") -> JudgedHead:
        """A look that is not in the record yet, at the rivet that sits there now."""
        now = self.now(hole)
        seen = HeadSeen("", "", person, body, removed_count=now.removed_count)
        if now.rivet is not None:
            seen.rivet, seen.callout = now.rivet.fact, now.rivet.callout
            seen.setup, seen.people = now.rivet.setup, now.rivet.people
            seen.set_at = now.rivet.at
        return self.judged(hole, seen)

    def every(self) -> tuple[JudgedHead, ...]:
        """Every look at every head, in the order in which the rivets were set."""
        plan = self.ids.holes.plan
        rows = self.state.assembly(plan.id).rows
        found = []
        for row_id, numbers in rows.items():
            for number, now in numbers.items():
                at = self.ids.index(row_id, number) if now.heads else None
                if at is not None:
                    found += [self.judged(at, one) for one in now.heads]
        found.sort(key=lambda one: (one.seen.set_at, one.hole, one.seen.at))
        return tuple(found)

    def judged(self, hole: int, seen: HeadSeen) -> JudgedHead:
        """One look, judged; one of the record is judged once."""
        key = hole, seen.fact
        found = self._known.get(key) if seen.fact else None
        if found is None:
            found = self._known[key] = self._judge(hole, seen)
        return found

    def _judge(self, hole: int, seen: HeadSeen) -> JudgedHead:
        """One look, judged."""
        now = self.now(hole)
        columns = self.ids.holes
        blind_code = _blind_code(self.worked, hole)
        called = None if blind_code else called_now(self.worked, hole, seen.callout)
        verdict: HeadVerdict | None = None
        metal: Metal | None = None
        causes: tuple[Suspect, ...] = ()
        decision: Decision | None = None
        remarks: tuple[BlindRemark, ...] = ()
        if called is not None:
            verdict, metal, causes = _judged(head_of(seen.body), called)
            if not is_by_eye(seen.body) or seen.body.looks:
                history = self._history(hole, seen, now)
                spring = self._spring_mm_n(seen.body.yoke)
                decision = decide(verdict, causes, history, spring)
        if blind_code is not None:
            grip_mm = float(self.worked.at("blind_grip_mm", hole))
            remarks = _blind_remarks(blind_of(seen.body), blind_code, grip_mm)
            causes = blind_suspects(remarks)
            decision = decide_blind(remarks, self._history(hole, seen, now))
        return JudgedHead(
            hole=hole,
            name=columns.name(hole),
            hole_id=columns.id(hole),
            seen=seen,
            called=called,
            verdict=verdict,
            metal=metal,
            causes=causes,
            decision=decision,
            blind=remarks,
            is_blind=blind_code is not None,
            settled=_settled(now, seen),
            is_there=now.rivet is not None and now.rivet.fact == seen.rivet,
        )

    def wanting(self, hole: int) -> tuple[str, ...]:
        """What is wrong with the head that sits in a hole now; empty for nothing.

        A size that failed stays wrong until it is measured again or decided on.
        """
        if hole not in self._wanting:
            self._wanting[hole] = self._wants(hole)
        return self._wanting[hole]

    def _wants(self, hole: int) -> tuple[str, ...]:
        """What is wrong with the head that sits in a hole now."""
        now = self.now(hole)
        rivet = now.rivet
        looks = [one for one in now.heads if rivet and one.rivet == rivet.fact]
        if not looks:
            return ()
        last = self.judged(hole, looks[-1])
        measured = [one for one in looks if not is_by_eye(one.body)]
        if last.is_right_by_eye and measured:
            sized = self.judged(hole, measured[-1])
            if sized.verdict and sized.verdict.chosen.broken:
                return sized.wanting
        return last.wanting

    def is_right(self, hole: int) -> bool:
        """Whether the head that sits in a hole now was looked at and found right."""
        now = self.now(hole)
        rivet = now.rivet
        is_seen = any(rivet and one.rivet == rivet.fact for one in now.heads)
        return is_seen and not self.wanting(hole)

    def patterns(self, heads: Sequence[JudgedHead] = ()) -> tuple[Suspect, ...]:
        """Causes that many heads point at together, ranked."""
        every = [one for one in heads or self.every() if one.verdict is not None]
        shims = {shim for one in every for shim in one.body.shims_mm}
        return pattern_suspects([self._as_seen(one) for one in every], sorted(shims))

    def _as_seen(self, one: JudgedHead) -> Seen:
        """A head among the others."""
        assert one.verdict is not None
        seen, body = one.seen, one.body
        with_what = filter(None, (body.squeezer, body.yoke))
        return Seen(
            one.name,
            one.verdict,
            one.name.partition(":")[0],
            ", ".join(with_what) or seen.setup,
            seen.set_at[:10],
            " + ".join(seen.people),
            body.tin,
        )

    def _history(self, hole: int, seen: HeadSeen, now: HoleNow) -> History:
        """What the record says beside a head, at the time of the look."""
        again = [
            one
            for one in now.settled
            if one.rivet == seen.rivet
            and one.body.decision == Action.SQUEEZE_AGAIN
            and (not seen.at or one.at < seen.at)
        ]
        return History(seen.removed_count, len(again), self._adjacent_off(hole))

    def _adjacent_off(self, hole: int) -> int:
        """How many heads side by side with one are off by their sizes or looks."""
        columns = self.ids.holes
        row = int(columns.row[hole])
        ends = int(columns.row_start[row]), int(columns.row_start[row + 1])
        count = 0
        for way in (-1, 1):
            at = hole + way
            while ends[0] <= at < ends[1] and self._is_off(at):
                count += 1
                at += way
        return count

    def _is_off(self, hole: int) -> bool:
        """Whether the head in a hole was last found off; decisions left out."""
        now = self.now(hole)
        rivet = now.rivet
        looks = [one for one in now.heads if rivet and one.rivet == rivet.fact]
        called = called_now(self.worked, hole, looks[-1].callout) if looks else None
        if called is None or (is_by_eye(looks[-1].body) and not looks[-1].looks):
            return False
        verdict = _judged(head_of(looks[-1].body), called)[0]
        seen = any(one.level >= Level.ASK for one in verdict.remarks)
        return bool(verdict.chosen.broken) or seen

    def _spring_mm_n(self, yoke: str) -> Spread:
        """How far one newton opens a yoke, learnt or judged; nought where not told."""
        tools = self.shop.tools if self.shop else ()
        found = next((one for one in tools if one.id == yoke), None)
        if found is None:
            return RIGID
        spring = self.taught.spring(found)
        return Spread(spring.low_mm_n, spring.mm_n, spring.high_mm_n)


@lru_cache(maxsize=KEPT_VERDICTS)
def _judged(
    head: Head, called: Called
) -> tuple[HeadVerdict, Metal | None, tuple[Suspect, ...]]:
    """A head's verdict, metal and causes; the same heads are asked for again."""
    verdict = judge(head, called)
    return verdict, metal_of(head, called), suspects(verdict)


def _blind_remarks(
    head: BlindHead, code: KitBlindCode, grip_mm: float
) -> tuple[BlindRemark, ...]:
    """What is to be said of a blind rivet; of its hole only where the chart has it."""
    try:
        return judge_blind(head, code, grip_mm)
    except OutsideTable:
        return judge_blind(replace(head, hole_mm=None), code, grip_mm)


def _blind_code(worked: Worked, hole: int) -> KitBlindCode | None:
    """The blind rivet that is called for at a hole; None where it is no such."""
    callout = worked.stacks.classes[int(worked.stacks.class_of[hole])].callout
    return callout if isinstance(callout, KitBlindCode) else None


def _settled(now: HoleNow, seen: HeadSeen) -> HeadSettled | None:
    """What was decided last about the head of one look."""
    about = [one for one in now.settled if seen.fact and one.body.check == seen.fact]
    return about[-1] if about else None
