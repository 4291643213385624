"""What differs between two revisions of a plan, hole by hole, gathered by row.

Any edit is compared, not a bulletin's alone: holes added, gone, moved; stack, callout,
wanted length, drill, step, what tools get there, set-up, findings.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.revise.matching import NONE, By, Matching, match
from rivetwright.engines.worked import Worked
from rivetwright.model.plan import Plan
from rivetwright.model.step import Step
from rivetwright.units.tolerance import TOLERANCE_MM

SetUps = Callable[[int], str]
Joint = tuple[tuple[float, str], ...]
DONE_BEFORE = "REV-01"
# Columns in words and in figures that differ where one of the aspects does.
WORDS = ("used_stack", "drill_name", "waits_for", "tools_that_fit")
FIGURES = ("grip_mm", "wanted_length_16ths")


class Kind(StrEnum):
    """How a hole stands in the later revision."""

    ADDED = "added"
    GONE = "gone"
    CHANGED = "changed"


class Aspect(StrEnum):
    """What of a hole may differ."""

    PLACE = "place"
    FACE = "face"
    STACK = "stack"
    GRIP = "grip"
    CALLOUT = "callout"
    LENGTH = "length"
    DRILL = "drill"
    STEP = "step"
    OPEN = "open"
    REACH = "reach"
    SET_UP = "set-up"
    FINDINGS = "findings"


# After these another rivet is meant, or the old one sits in another joint.
OTHER_RIVET = frozenset(
    {Aspect.PLACE, Aspect.FACE, Aspect.STACK, Aspect.GRIP, Aspect.CALLOUT}
)


# What a set-up rests on: where none of these differs, it is the same.
OF_SET_UP = frozenset({Aspect.STACK, Aspect.GRIP, Aspect.CALLOUT, Aspect.REACH})


@dataclass(frozen=True)
class Difference:
    """One aspect: as it was and as it is, in the words or figures of a column."""

    aspect: Aspect
    before: str | float
    after: str | float


@dataclass(frozen=True)
class Change:
    """Holes of one row that differ alike.

    `old` and `new` are holes of the two plans, empty where a hole has no other.
    `by` says what makes the rows the same.
    """

    kind: Kind
    row: str
    old: tuple[int, ...]
    new: tuple[int, ...]
    differences: tuple[Difference, ...] = ()
    by: By = By.ID

    @property
    def count(self) -> int:
        """How many holes."""
        return max(len(self.old), len(self.new))

    @property
    def aspects(self) -> frozenset[Aspect]:
        """What differs."""
        return frozenset(one.aspect for one in self.differences)

    @property
    def takes_another_rivet(self) -> bool:
        """Whether a rivet that sits there cannot stay."""
        return self.kind is Kind.GONE or bool(self.aspects & OTHER_RIVET)


@dataclass(frozen=True)
class PartChange:
    """A part that is new, gone, or described otherwise."""

    kind: Kind
    name: str
    title: str
    before: str = ""
    after: str = ""


@dataclass(frozen=True)
class StepChange:
    """A step that is new, gone, or needs or closes something else."""

    kind: Kind
    name: str
    title: str
    needs_more: tuple[str, ...] = ()
    needs_less: tuple[str, ...] = ()
    closes_more: tuple[str, ...] = ()
    closes_less: tuple[str, ...] = ()


@dataclass(frozen=True)
class Comparison:
    """Two revisions side by side."""

    old: WorkedPlan
    new: WorkedPlan
    matching: Matching
    changes: tuple[Change, ...]
    parts: tuple[PartChange, ...]
    steps: tuple[StepChange, ...]

    def count(self, kind: Kind) -> int:
        """How many holes are added, gone or changed.

        Args:
            kind: which.

        Source: counted.
        """
        return sum(one.count for one in self.changes if one.kind is kind)

    @property
    def is_same(self) -> bool:
        """Whether nothing differs."""
        return not (self.changes or self.parts or self.steps)


def compare(
    old: WorkedPlan,
    new: WorkedPlan,
    lineage: Mapping[str, str] | None = None,
    set_ups: tuple[SetUps, SetUps] | None = None,
) -> Comparison:
    """Compare two revisions of a plan.

    Args:
        old: the earlier one.
        new: the later one.
        lineage: row ids that a person said became others, old to new.
        set_ups: what tells a hole's set-up in the one and the other.

    Source: the columns of both plans.
    """
    before, after = old.worked.holes, new.worked.holes
    found = match(before, after, lineage or {})
    by_row = {one.old: one.by for one in found.rows}
    tell = set_ups or (_untold, _untold)
    one, other = _Side(old, tell[0]), _Side(new, tell[1])
    groups: dict[tuple[object, ...], tuple[list[int], list[int]]] = {}
    for hole in np.flatnonzero(found.new_of == NONE).tolist():
        key: tuple[object, ...] = (Kind.GONE, before.row_of(hole).name, (), By.ID)
        groups.setdefault(key, ([], []))[0].append(hole)
    for hole in _that_differ(one, other, found):
        row, there = int(before.row[hole]), int(found.new_of[hole])
        differ = _differences(one, hole, other, there)
        if differ:
            name = after.row_of(there).name
            key = (Kind.CHANGED, name, differ, by_row[row])
            pair = groups.setdefault(key, ([], []))
            pair[0].append(hole)
            pair[1].append(there)
    for hole in np.flatnonzero(found.old_of == NONE).tolist():
        key = (Kind.ADDED, after.row_of(hole).name, (), By.ID)
        groups.setdefault(key, ([], []))[1].append(hole)
    changes = tuple(
        Change(kind, row, tuple(a), tuple(b), differ, by)  # type: ignore[arg-type]
        for (kind, row, differ, by), (a, b) in groups.items()
    )
    plans = old.worked.plan, new.worked.plan
    return Comparison(old, new, found, changes, _parts(*plans), _steps(*plans))


def _words(words: Iterable[str]) -> NDArray[Any]:
    """Words as a column."""
    held = list(words)
    column = np.empty(len(held), dtype=object)
    column[:] = held
    return column


def _untold(_: int) -> str:
    """No set-up is told without a shop."""
    return ""


class _Side:
    """One plan, with what is asked of its holes at hand."""

    def __init__(self, worked_plan: WorkedPlan, set_ups: SetUps) -> None:
        self.worked: Worked = worked_plan.worked
        self.set_ups = set_ups
        self.codes: dict[int, set[str]] = {}
        for finding in worked_plan.findings:
            # It says what is done, which is no difference of the drawings.
            for hole in finding.holes if finding.code != DONE_BEFORE else ():
                self.codes.setdefault(hole, set()).add(finding.code)
        self._parts = {part.name: part for part in self.worked.plan.parts}
        self.joints: list[Joint] = [
            tuple(
                (self._parts[s.part].thickness_mm, self._parts[s.part].material)
                for s in one.sheets
            )
            for one in self.worked.stacks.classes
        ]

    def joint(self, hole: int) -> Joint:
        """Thickness and material of every sheet."""
        return self.joints[int(self.worked.stacks.class_of[hole])]

    def columns(self) -> Iterator[NDArray[Any]]:
        """Every aspect over all holes, shape (holes,) each; set-ups left out."""
        holes, plan = self.worked.holes, self.worked.plan
        yield holes.x_mm
        yield holes.y_mm
        yield _words(row.face for row in plan.rows)[holes.row]
        yield _words((*(step.name for step in plan.steps), ""))[holes.step]
        callouts = _words(str(one.callout) for one in self.worked.stacks.classes)
        yield callouts[self.worked.stacks.class_of]
        for name in WORDS:
            yield self.worked.of_holes(name).astype(object)
        for name in FIGURES:
            yield self.worked.of_holes(name)
        found = (" ".join(sorted(self.codes.get(h, ()))) for h in range(len(holes)))
        yield _words(found)

    def words(self, aspect: Aspect, hole: int) -> str | float:
        """What a plan says of one aspect of a hole."""
        holes = self.worked.holes
        at = partial(self.worked.at)
        match aspect:
            case Aspect.FACE:
                return holes.row_of(hole).face
            case Aspect.STACK:
                return str(at("used_stack", hole))
            case Aspect.GRIP:
                return float(at("grip_mm", hole))
            case Aspect.CALLOUT:
                return str(holes.callout(hole))
            case Aspect.LENGTH:
                return float(at("wanted_length_16ths", hole))
            case Aspect.DRILL:
                return str(at("drill_name", hole))
            case Aspect.STEP:
                step = int(holes.step[hole])
                return holes.plan.steps[step].name if step >= 0 else ""
            case Aspect.OPEN:
                return str(at("waits_for", hole))
            case Aspect.REACH:
                return str(at("tools_that_fit", hole))
            case Aspect.SET_UP:
                return self.set_ups(hole)
            case Aspect.FINDINGS:
                return " ".join(sorted(self.codes.get(hole, ())))
            case Aspect.PLACE:
                return _place(holes.x_mm[hole], holes.y_mm[hole])


def _that_differ(one: _Side, other: _Side, found: Matching) -> list[int]:
    """Holes of the earlier plan that differ in any aspect, all asked at once."""
    old = np.flatnonzero(found.new_of != NONE)
    new = found.new_of[old]
    differ = np.zeros(len(old), dtype=bool)
    for before, after in zip(one.columns(), other.columns(), strict=True):
        a, b = before[old], after[new]
        if a.dtype == object:
            differ |= a != b
        else:
            differ |= ~(np.isclose(a, b, rtol=0, atol=TOLERANCE_MM, equal_nan=True))
    joints: dict[Joint, int] = {}
    ids = [
        np.array([joints.setdefault(j, len(joints)) for j in side.joints], dtype=int)[
            side.worked.stacks.class_of
        ]
        for side in (one, other)
    ]
    differ |= ids[0][old] != ids[1][new]
    held: list[int] = old[differ].tolist()
    return held


def _place(x_mm: float, y_mm: float) -> str:
    return f"{x_mm:.3f}, {y_mm:.3f}"


def _differences(
    one: _Side, hole: int, other: _Side, there: int
) -> tuple[Difference, ...]:
    """Every aspect in which two holes differ."""
    found: list[Difference] = []
    for aspect in Aspect:
        if aspect is Aspect.SET_UP and not OF_SET_UP & {d.aspect for d in found}:
            continue
        before, after = one.words(aspect, hole), other.words(aspect, there)
        if aspect is Aspect.PLACE:
            is_same = not _is_moved(one, hole, other, there)
        elif aspect is Aspect.GRIP:
            is_same = one.joint(hole) == other.joint(there) and _is_near(before, after)
        elif isinstance(before, float) and isinstance(after, float):
            is_same = _is_near(before, after)
        else:
            is_same = before == after
        if not is_same:
            found.append(Difference(aspect, before, after))
    return tuple(found)


def _is_near(before: str | float, after: str | float) -> bool:
    """Whether two figures are the same, or neither is known."""
    a, b = float(before), float(after)
    return (a != a and b != b) or abs(a - b) <= TOLERANCE_MM


def _is_moved(one: _Side, hole: int, other: _Side, there: int) -> bool:
    """Whether a hole lies elsewhere; nowhere told is nowhere else."""
    a, b = one.worked.holes, other.worked.holes
    pairs = ((a.x_mm[hole], b.x_mm[there]), (a.y_mm[hole], b.y_mm[there]))
    return not all(_is_near(float(x), float(y)) for x, y in pairs)


def _parts(old: Plan, new: Plan) -> tuple[PartChange, ...]:
    """Parts that are new, gone or described otherwise."""
    before = {one.name: one for one in old.parts}
    after = {one.name: one for one in new.parts}
    found = []
    for name, part in after.items():
        there = before.get(name)
        if there is None:
            found.append(PartChange(Kind.ADDED, name, part.title))
        elif there != part:
            words = [
                f"{one.thickness_mm:g} mm {one.material} x{one.quantity}"
                for one in (there, part)
            ]
            found.append(PartChange(Kind.CHANGED, name, part.title, *words))
    found += [
        PartChange(Kind.GONE, name, part.title)
        for name, part in before.items()
        if name not in after
    ]
    return tuple(found)


def _steps(old: Plan, new: Plan) -> tuple[StepChange, ...]:
    """Steps that are new, gone, or need or close something else."""
    before = {one.name: one for one in old.steps}
    after = {one.name: one for one in new.steps}
    found = []
    for name, step in after.items():
        there = before.get(name)
        if there is None:
            found.append(StepChange(Kind.ADDED, name, step.title, _needs(step)))
        elif _needs(there) != _needs(step) or there.closes != step.closes:
            found.append(
                StepChange(
                    Kind.CHANGED,
                    name,
                    step.title,
                    _only(_needs(step), _needs(there)),
                    _only(_needs(there), _needs(step)),
                    _only(step.closes, there.closes),
                    _only(there.closes, step.closes),
                )
            )
    found += [
        StepChange(Kind.GONE, name, step.title)
        for name, step in before.items()
        if name not in after
    ]
    return tuple(found)


def _needs(step: Step) -> tuple[str, ...]:
    return tuple(f"{one.kind} {one.name}".strip() for one in step.needs)


def _only(some: tuple[str, ...], others: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(one for one in some if one not in others)
