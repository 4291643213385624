"""What the bench screen says to set, on random plans after random facts.

What a hole's state is, is worked out here a second time, straight from the facts.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.bench.evening import Evening, evening_of
from rivetwright.bench.now import HoleIds
from rivetwright.bench.runs import Run
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.model.columns import Holes
from rivetwright.model.plan import Plan
from rivetwright.record.fold import fold
from rivetwright.record.kinds import (
    Delivered,
    FindingAnswered,
    HoldLifted,
    HoldPut,
    Kind,
    RivetRemoved,
    RivetsSet,
)
from rivetwright.texts.bench_words import hole_words
from tests.property.strategies import PLAN, plans
from tests.unit.record.made import chained, fact

OTHER_CODE = "MS20470AD4-9"
# Each case works a whole plan out.
SOME = settings(max_examples=50)
SIDES = {"u0": (0, 1.0), "u1": (0, -1.0), "v0": (1, 1.0), "v1": (1, -1.0)}


@st.composite
def ranges(draw: st.DrawFn, holes: Holes) -> tuple[str, ...]:
    """A stretch of one row that the plan has, by permanent id."""
    ids = HoleIds(holes)
    first = draw(st.integers(0, len(holes) - 1))
    last = draw(st.integers(first, min(first + 4, len(holes) - 1)))
    return ids.ranges(range(first, last + 1))


@st.composite
def bodies(draw: st.DrawFn, holes: Holes, codes: Sequence[str]) -> Kind:
    """Something that decides whether a hole can be set."""
    some = draw(ranges(holes))
    planned = str(holes.callout(HoleIds(holes).indices(some)[0]))
    hold = draw(st.sampled_from(("H1", "H2")))
    code = draw(st.sampled_from([*codes, "EDGE-01"]))
    kinds: list[Kind] = [
        RivetsSet(some, planned),
        RivetsSet(some, OTHER_CODE),
        RivetsSet(some, OTHER_CODE, reason="asked"),
        RivetRemoved(some, "leans"),
        HoldPut(hold, some, "waits"),
        HoldLifted(hold, "here"),
        FindingAnswered(code, some, "as drawn", "supplier"),
        Delivered("part", "100", draw(st.sampled_from(("on hand", "back order")))),
    ]
    return draw(st.sampled_from(kinds))


@dataclass
class Bench:
    """What facts leave behind, hole by hole: a second way to the same."""

    rivets: dict[int, tuple[str, str]] = field(default_factory=dict)
    holds: dict[str, set[int]] = field(default_factory=dict)
    answers: set[tuple[str, int]] = field(default_factory=set)
    parts: dict[str, str] = field(default_factory=dict)

    def see(self, body: Kind, holes: set[int]) -> None:
        """One fact after the other."""
        if isinstance(body, RivetsSet):
            self.rivets |= dict.fromkeys(holes, (body.callout, body.reason))
        elif isinstance(body, RivetRemoved):
            self.rivets = {h: r for h, r in self.rivets.items() if h not in holes}
        elif isinstance(body, HoldPut):
            self.holds[body.hold] = holes
        elif isinstance(body, HoldLifted):
            self.holds.pop(body.hold, None)
        elif isinstance(body, FindingAnswered):
            self.answers |= {(body.code, hole) for hole in holes}
        elif isinstance(body, Delivered):
            self.parts[body.named] = body.state


@dataclass
class Case:
    """A plan, what happened, and the evening at one step."""

    plan: Plan
    worked_plan: WorkedPlan
    bench: Bench
    step: str
    evening: Evening

    @property
    def holes(self) -> Holes:
        """The plan's holes."""
        return self.worked_plan.worked.holes

    def is_of_step(self, at: int) -> bool:
        """Whether the step sets a hole by its row, or takes it as an open one."""
        opened = int(self.holes.open_holes[at])
        later = self.plan.open_holes[opened].step if opened >= 0 else ""
        return self.step in (self.holes.row_of(at).step, later)

    def must_wait(self, at: int) -> bool:
        """Held, open for another step or a part, or stopped and not answered for."""
        opened = int(self.holes.open_holes[at])
        if any(at in held for held in self.bench.holds.values()):
            return True
        if opened >= 0:
            one = self.plan.open_holes[opened]
            here = self.bench.parts.get(one.part) == "on hand"
            if one.step != self.step if one.step else not here:
                return True
        return any(
            at in finding.holes and (finding.code, at) not in self.bench.answers
            for finding in self.worked_plan.findings
            if finding.severity == "stop"
        )

    def is_filled(self, at: int) -> bool:
        """Whether any rivet sits there."""
        return at in self.bench.rivets

    def indices(self, run: Run) -> list[int]:
        """Holes of a run."""
        return [self.holes.index(name) for name in run.names]


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """A random plan with some facts behind it, at one of its steps."""
    plan = draw(plans())
    worked_plan = work_out(plan)
    holes = worked_plan.worked.holes
    ids = HoleIds(holes)
    codes = [f.code for f in worked_plan.findings if f.severity == "stop"]
    said = draw(st.lists(bodies(holes, codes), max_size=8))
    bench = Bench()
    for body in said:
        bench.see(body, set(ids.indices(getattr(body, "holes", ()))))
    facts = [fact(k, body, assembly=PLAN) for k, body in enumerate(said, start=1)]
    step = draw(st.sampled_from([one.name for one in plan.steps]))
    shown = evening_of(worked_plan, fold(chained(facts)), step=step)
    return Case(plan, worked_plan, bench, step, shown)


@SOME
@given(cases())
def test_every_hole_to_set_is_in_just_one_run(case: Case) -> None:
    """Holes of the step that are empty and need not wait, and no others."""
    wanted = {
        at
        for at in range(len(case.holes))
        if case.is_of_step(at) and not case.is_filled(at) and not case.must_wait(at)
    }
    said = [at for run in case.evening.runs for at in case.indices(run)]
    assert sorted(said) == sorted(wanted)


@SOME
@given(cases())
def test_every_hole_that_must_wait_is_listed_once(case: Case) -> None:
    """Each hole of the step that waits stands in one line, with none that is free.

    A rivet of another code that nobody gave a reason for waits to come out.
    """
    wrong = {
        at
        for at, (code, reason) in case.bench.rivets.items()
        if code != str(case.holes.callout(at)) and not reason
    }
    wanted = {
        at
        for at in range(len(case.holes))
        if case.is_of_step(at) and (case.must_wait(at) or at in wrong)
    }
    ids = HoleIds(case.holes)
    said = [at for one in case.evening.open_holes for at in ids.indices(one.hole_ids)]
    assert sorted(said) == sorted(wanted)


@SOME
@given(cases())
def test_run_is_one_stretch_of_one_row_and_one_callout(case: Case) -> None:
    """Neighbours on the metal, all with the rivet that the tray holds."""
    for run in case.evening.runs:
        at = case.indices(run)
        assert at == list(range(at[0], at[0] + run.count))
        assert {case.holes.row_of(one).name for one in at} == {run.row}
        assert {str(case.holes.callout(one)) for one in at} == {run.callout}


@SOME
@given(cases())
def test_run_stops_at_the_true_next_hole(case: Case) -> None:
    """The stop is the next hole of the row, empty or wrongly filled, and must wait.

    Without a stop the row ends there, or the next hole may be passed by: it is set,
    or it is set later at the same step.
    """
    for run in case.evening.runs:
        last = case.indices(run)[-1]
        after = last + 1
        ends = after == len(case.holes) or case.holes.row[after] != case.holes.row[last]
        if run.stop_after is not None:
            assert not ends
            assert case.holes.name(after) == run.stop_after.name
            assert run.stop_after.counted == run.last + 1
        elif not ends and not case.is_filled(after):
            assert case.is_of_step(after)
            assert not case.must_wait(after)


@SOME
@given(cases())
def test_counted_from_the_named_end_one_finds_the_same_holes(case: Case) -> None:
    """The sentence read again: holes by their distance from that end of the face."""
    faces = {face.name: face for face in case.plan.faces}
    for run in case.evening.runs:
        at = case.indices(run)
        start = int(case.holes.row_start[case.holes.row[at[0]]])
        row = list(range(start, start + run.row_count))
        if run.from_end:
            names = faces[run.face].edge_names
            (side,) = [key for key, name in names.items() if name == run.from_end]
            axis, way = SIDES[side]
            place = way * (case.holes.x_mm, case.holes.y_mm)[axis]
            row.sort(key=place.__getitem__)
        first, last = read_again(hole_words(run), run.row_count)
        assert row[first - 1 : last] == at


def read_again(words: str, of: int) -> tuple[int, int]:
    """First and last hole of a sentence, as a person counts."""
    said = words.removesuffix(", then stop")
    figures = [int(one) for one in re.findall(r"\d+", said)]
    if said.startswith("the first"):
        return 1, figures[0]
    if said.startswith("the last"):
        return of - figures[0] + 1, of
    if said.startswith(("the whole row", "its one hole")):
        return 1, of
    if " to the " in said:
        return figures[0], figures[1]
    return figures[0], figures[0]


@SOME
@given(cases())
def test_setups_count_what_is_done_and_left(case: Case) -> None:
    """Left in all set-ups is what all runs hold; no set-up counts a hole twice."""
    for setup in case.evening.setups:
        left = sum(run.count for run in setup.runs)
        assert setup.hole_count - setup.done_count == left
    choice = next(one for one in case.evening.steps if one.name == case.step)
    assert choice.left_count == sum(run.count for run in case.evening.runs)
