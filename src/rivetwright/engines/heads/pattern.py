"""What many heads show together: one group that is off, a step, a drift, a scatter.

A cause that sits in a set-up, row, session, person or tin shows by being off there and
not elsewhere. Heads in the order they were set show when something changed at once (a
shim, a die, a chip) or crept (regulator, wear). Weights are judgement; chance of a
group is counted exactly.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import comb, erfc, sqrt
from statistics import mean, median

from rivetwright.engines.heads.entry import Look
from rivetwright.engines.heads.suspect import Case, Cause, Suspect
from rivetwright.engines.heads.verdict import HeadVerdict, Overall
from rivetwright.engines.heads.volume import Amount, metal_of
from rivetwright.standards.squeeze import squeeze_figure
from rivetwright.units.tolerance import is_less

# Fewer heads than this on either side say nothing about a change.
FEWEST = 3
# Chance below which a group is not taken for luck.
LUCK = 0.05
SCATTER_MM = squeeze_figure("head scatter")
# Heights scatter where it is more than so many times the usual; a step, which is looked
# for at every head, is one from so many times the noise of its sides on.
CLEAR, CLEAR_STEP = 2.0, 3.0
# A shim taken out lifts the head by its thickness, less what a yoke springs back.
SPRUNG_SHARE = 0.5
# Strokes that come faster than this leave the tank no time, in seconds.
SHORT_PAUSE_S = 15.0
# More than this share of a set-up's heads with one look is no accident.
OFTEN = 0.5


@dataclass(frozen=True)
class Seen:
    """One head among many, in the order they were set.

    Words not told are empty; `pause_s` is the time since the stroke before it.
    """

    name: str
    verdict: HeadVerdict
    row: str = ""
    set_up: str = ""
    session: str = ""
    people: str = ""
    tin: str = ""
    pause_s: float | None = None

    @property
    def is_off(self) -> bool:
        """Whether anything is against it."""
        off = (Overall.FAILS, Overall.ASK, Overall.MEASURE)
        return self.verdict.overall in off

    @property
    def higher_mm(self) -> float | None:
        """Height above that aimed at [mm]; None where it was not measured."""
        height_mm = self.verdict.head.height_mm
        return None if height_mm is None else height_mm - self.verdict.called.aim_mm


@dataclass(frozen=True)
class Group:
    """Heads that share something, against all the others; `luck` is its chance."""

    kind: str
    name: str
    off: int
    count: int
    other_off: int
    other_count: int
    luck: float


@dataclass(frozen=True)
class Step:
    """Heights that changed at once before one head, and by how much.

    `rests_mm` are what the heads are off the middle of their side.
    """

    before: str
    by_mm: float
    is_clear: bool
    rests_mm: tuple[float, ...]


@dataclass(frozen=True)
class Drift:
    """Heights that creep over the heads, and the chance that they do not.

    `rests_mm` are what the heads are off the line.
    """

    over_mm: float
    luck: float
    rests_mm: tuple[float, ...]


KINDS: dict[str, Callable[[Seen], str]] = {
    "set-up": lambda one: one.set_up,
    "row": lambda one: one.row,
    "session": lambda one: one.session,
    "person": lambda one: one.people,
    "tin": lambda one: one.tin,
}


def groups(heads: Sequence[Seen]) -> tuple[Group, ...]:
    """Groups that are off more often than chance gives, the least likely first.

    Args:
        heads: all heads of one look at things, in any order.
    """
    found = []
    off = sum(one.is_off for one in heads)
    for kind, name_of in KINDS.items():
        for name in dict.fromkeys(filter(None, map(name_of, heads))):
            inside = [one for one in heads if name_of(one) == name]
            off_in, count = sum(one.is_off for one in inside), len(inside)
            others = len(heads) - count
            if off_in < 2 or others < FEWEST:
                continue
            luck = _luck(off_in, count, off, len(heads))
            if luck < LUCK:
                rest = (off - off_in, others, luck)
                found.append(Group(kind, name, off_in, count, *rest))
    return tuple(sorted(found, key=lambda one: one.luck))


def _luck(off_in: int, count: int, off: int, every: int) -> float:
    """Chance that so many of a group are off by luck alone, or more [-]."""
    ways = sum(
        comb(off, k) * comb(every - off, count - k)
        for k in range(off_in, min(off, count) + 1)
    )
    return ways / comb(every, count)


def step_of(heads: Sequence[Seen]) -> Step | None:
    """Where the heights of one set-up changed at once; None with too few heads.

    Args:
        heads: heads of one set-up in the order they were set.
    """
    sized = [(one.name, h) for one in heads if (h := one.higher_mm) is not None]
    if len(sized) < 2 * FEWEST:
        return None
    heights = [h for _, h in sized]

    def rests_mm(at: int) -> list[float]:
        sides = heights[:at], heights[at:]
        return [h - median(side) for side in sides for h in side]

    def left_mm(at: int) -> float:
        return mean(map(abs, rests_mm(at)))

    at = min(range(FEWEST, len(heights) - FEWEST + 1), key=left_mm)
    by_mm = median(heights[at:]) - median(heights[:at])
    one_mm = max(SCATTER_MM, _rms_mm(rests_mm(at)))
    noise_mm = one_mm * sqrt(1 / at + 1 / (len(heights) - at))
    is_clear = abs(by_mm) > CLEAR_STEP * noise_mm
    return Step(sized[at][0], by_mm, is_clear, tuple(rests_mm(at)))


def drift_of(heads: Sequence[Seen]) -> Drift | None:
    """How the heights of one set-up creep, by ranks; None with too few heads.

    Args:
        heads: heads of one set-up in the order they were set.
    """
    heights = [h for one in heads if (h := one.higher_mm) is not None]
    n = len(heights)
    if n < 2 * FEWEST:
        return None
    pairs = [
        (heights[j] - heights[i], j - i) for i in range(n) for j in range(i + 1, n)
    ]
    score = sum((rise > 0) - (rise < 0) for rise, _ in pairs)
    per_head = median([rise / apart for rise, apart in pairs])
    level = [h - per_head * k for k, h in enumerate(heights)]
    # Kendall's score has this spread where the order means nothing.
    spread = sqrt(n * (n - 1) * (2 * n + 5) / 18)
    luck = _two_sided((abs(score) - 1) / spread)
    rests = tuple(h - median(level) for h in level)
    return Drift(per_head * (n - 1), luck, rests)


def _rms_mm(rests_mm: Sequence[float]) -> float:
    """Root of the mean square [mm]."""
    return sqrt(mean([rest**2 for rest in rests_mm]))


def _two_sided(z: float) -> float:
    """Chance of a normal figure beyond z on either side [-]."""
    return erfc(max(z, 0.0) / sqrt(2))


def pattern_suspects(
    heads: Sequence[Seen], shims_mm: Iterable[float] = ()
) -> tuple[Suspect, ...]:
    """Likely causes behind many heads, ranked.

    Args:
        heads: heads in the order they were set.
        shims_mm: shims that are in the set-ups, to be known again by a step [mm].
    """
    judged = [one for one in heads if not one.verdict.questions]
    case = Case()
    for group in groups(judged):
        _of_group(
            case, group, [h for h in judged if KINDS[group.kind](h) == group.name]
        )
    by_set_up: dict[str, list[Seen]] = {}
    # Heads of no known set-up may be of several: their order says nothing.
    for one in filter(lambda one: one.set_up, judged):
        by_set_up.setdefault(one.set_up, []).append(one)
    for some in by_set_up.values():
        _of_set_up(case, some, tuple(shims_mm))
    _of_pauses(case, judged)
    return case.ranked()


GROUP_CAUSES = {
    "set-up": Cause.SET_UP,
    "session": Cause.SESSION,
    "person": Cause.PERSON,
    "tin": Cause.WRONG_TIN,
}


def _of_group(case: Case, group: Group, inside: Sequence[Seen]) -> None:
    """What a group that is off points at: itself, and what its heads share."""
    figures: dict[str, float | str] = {
        "name": group.name,
        "off": float(group.off),
        "count": float(group.count),
        "other_off": float(group.other_off),
        "other_count": float(group.other_count),
    }
    cause = GROUP_CAUSES.get(group.kind)
    if cause is not None:
        case.speak_for(cause, f"off in one {group.kind}", 2, **figures)
    off = [one for one in inside if one.is_off]
    if group.kind in ("row", "person") and _share(off, _is_leaning) > OFTEN:
        leans = Cause.HOLE_NOT_SQUARE if group.kind == "row" else Cause.TOOL_TILTED
        case.speak_for(leans, f"lean in one {group.kind}", 3, **figures)
    _of_metal(case, off, figures)


def _of_metal(case: Case, off: Sequence[Seen], figures: dict[str, float | str]) -> None:
    """Heads of a group whose metal is that of one other length: the wrong tin."""
    lengths: Counter[float] = Counter()
    for one in off:
        metal = metal_of(one.verdict.head, one.verdict.called)
        if metal is not None and metal.amount is not Amount.RIGHT:
            lengths[float(metal.nearest.length_16ths)] += 1
    if lengths:
        length, count = lengths.most_common(1)[0]
        if count >= 2 and count > OFTEN * len(off):
            same = {**figures, "length_16ths": length, "same": float(count)}
            case.speak_for(Cause.WRONG_TIN, "metal of one other length", 3, **same)


def _of_set_up(case: Case, heads: Sequence[Seen], shims_mm: tuple[float, ...]) -> None:
    """Step or drift, whichever leaves less unexplained; then scatter and looks."""
    step, drift = step_of(heads), drift_of(heads)
    if step is not None and drift is not None:
        left_by_step, left_by_drift = _rms_mm(step.rests_mm), _rms_mm(drift.rests_mm)
        if step.is_clear and left_by_step <= left_by_drift:
            _of_step(case, step, shims_mm)
        elif drift.luck < LUCK:
            _of_drift(case, drift)
        _of_scatter(case, min(left_by_step, left_by_drift))
    _of_looks(case, heads)


def _of_scatter(case: Case, spread_mm: float) -> None:
    """Heights that scatter more than they should, step and drift taken out."""
    if is_less(CLEAR * SCATTER_MM, spread_mm):
        figures = {"spread_mm": spread_mm, "usual_mm": SCATTER_MM}
        case.speak_for(Cause.LOOSE_PIN, "heights scatter", 1, **figures)
        case.speak_for(Cause.RELEASED_EARLY, "heights scatter", 1, **figures)


def _of_step(case: Case, step: Step, shims_mm: tuple[float, ...]) -> None:
    """Higher at once: something fell out; lower at once: something got in."""
    figures: dict[str, float | str] = {"before": step.before, "by_mm": step.by_mm}
    if step.by_mm < 0:
        case.speak_for(Cause.CHIP_UNDER_DIE, "lower at once", 2, **figures)
        case.speak_for(Cause.DIE_NOT_SEATED, "lower at once", 2, **figures)
        return
    case.speak_for(Cause.SHIM_LOST, "higher at once", 2, **figures)
    like = [
        shim
        for shim in shims_mm
        if SPRUNG_SHARE * shim - SCATTER_MM <= step.by_mm <= shim + SCATTER_MM
    ]
    if like:
        nearest = min(like, key=lambda shim: abs(shim - step.by_mm))
        case.speak_for(Cause.SHIM_LOST, "step of one shim", 2, shim_mm=nearest)
    elif shims_mm:
        case.speak_against(Cause.SHIM_LOST, "no shim of that step")
    # A die that had not gone home until then, or a chip that fell out again.
    case.speak_for(Cause.DIE_NOT_SEATED, "went home at once", 1, **figures)


def _of_drift(case: Case, drift: Drift) -> None:
    """Higher and higher: less force or a die wearing; lower: pressure creeping up."""
    figures = {"over_mm": drift.over_mm}
    if drift.over_mm > 0:
        case.speak_for(Cause.REGULATOR_CREEPS, "higher and higher", 2, **figures)
        case.speak_for(Cause.AIR_STARVES, "higher and higher", 1, **figures)
        case.speak_for(Cause.DIE_WORN, "higher and higher", 1, **figures)
    else:
        case.speak_for(Cause.REGULATOR_CREEPS, "lower and lower", 2, **figures)
        case.speak_for(Cause.CHIP_UNDER_DIE, "lower and lower", 1, **figures)


def _of_looks(case: Case, heads: Sequence[Seen]) -> None:
    """One look on most heads of a set-up."""
    if len(heads) < FEWEST:
        return
    marked = _share(heads, lambda one: bool(one.verdict.head.looks & MARKS))
    if marked > OFTEN:
        case.speak_for(Cause.CHIP_ON_DIE, "same mark on most", 3, percent=100 * marked)
    beside = _share(heads, _is_beside)
    if beside > OFTEN:
        case.speak_for(Cause.LOOSE_PIN, "off centre on most", 3, percent=100 * beside)


MARKS = frozenset({Look.TOOL_MARK, Look.SHALLOW_MARK, Look.STEPPED})


def _of_pauses(case: Case, heads: Sequence[Seen]) -> None:
    """High heads after short pauses: the air; whatever the pause: the foot."""
    told = [one for one in heads if one.pause_s is not None]
    high = [one for one in told if one.verdict.has("too high")]
    if len(high) < 2 or len(told) - len(high) < FEWEST:
        return
    short = [one for one in told if (one.pause_s or 0.0) < SHORT_PAUSE_S]
    in_short = sum(one in high for one in short)
    luck = _luck(in_short, len(short), len(high), len(told))
    figures = {"high": float(len(high)), "in_short": float(in_short)}
    if luck < LUCK:
        case.speak_for(Cause.AIR_STARVES, "high after short pauses", 3, **figures)
    else:
        case.speak_for(Cause.RELEASED_EARLY, "high whatever the pause", 2, **figures)
        case.speak_against(Cause.AIR_STARVES, "high whatever the pause", 1, **figures)


def _share(heads: Sequence[Seen], has: Callable[[Seen], bool]) -> float:
    """Share of the heads that have something [-]."""
    return sum(map(has, heads)) / len(heads) if heads else 0.0


def _is_leaning(one: Seen) -> bool:
    """Whether a head leans or its manufactured head stands off on one side."""
    head = one.verdict.head
    return bool(head.looks & {Look.LEANS, Look.GAP_HEAD, Look.BENT} or head.lean_deg)


def _is_beside(one: Seen) -> bool:
    """Whether a head stands off centre."""
    head = one.verdict.head
    return Look.OFF_CENTRE in head.looks or bool(head.offset_mm)
