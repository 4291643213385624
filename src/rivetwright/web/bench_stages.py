"""The screens of an evening in the order of use; one is shown at a time.

All of them stand in the page, so that it goes on by itself while the laptop cannot
be reached; which is shown follows from the record alone.
"""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.evening import Evening
from rivetwright.bench.needs import DONE, UNDER_WAY
from rivetwright.bench.open_now import OpenHole
from rivetwright.bench.runs import Run, Setup
from rivetwright.texts.bench_words import (
    hole_words,
    row_words,
    spoken_code,
    spoken_run,
)
from rivetwright.web.sayings import Sayings

BEGIN, OPEN, CLOSE, GATE = "begin", "open", "close", "gate"
TRAY, RUN, FINISH = "tray", "run", "finish"


@dataclass(frozen=True)
class Stage:
    """One screen: whether it is done with, the holes it lights, what is spoken."""

    key: str
    kind: str
    is_done: bool
    face: str = ""
    lit: tuple[str, ...] = ()
    spoken: str = ""
    run: Run | None = None
    setup: Setup | None = None


def stages_of(evening: Evening, faces: dict[str, str], say: Sayings) -> list[Stage]:
    """Every screen of a step, in the order of use.

    Args:
        evening: the step as far as it is.
        faces: row name to the face it lies on.
        say: the sentences.
    """
    opened = tuple(name for one in evening.open_holes for name in one.names)
    first_face = faces.get(opened[0].partition(":")[0], "") if opened else ""
    made = []
    if evening.setups:
        is_begun = evening.state in (UNDER_WAY, DONE)
        made.append(Stage(BEGIN, BEGIN, is_begun, spoken=evening.title))
    if evening.open_holes:
        spoken = say("bench.open.spoken", holes=", ".join(opened))
        is_marked = all(seen_or_marked(one) for one in evening.open_holes)
        made.append(Stage(OPEN, OPEN, is_marked, first_face, opened, spoken))
    if evening.last_chance:
        is_seen = all(one.is_ticked for one in evening.last_chance)
        spoken = say("bench.close.spoken")
        made.append(Stage(CLOSE, CLOSE, is_seen, spoken=spoken))
    if evening.gate and evening.runs:
        spoken = say("bench.gate.spoken")
        made.append(Stage(GATE, GATE, evening.is_ready, spoken=spoken))
    for setup in evening.setups:
        for run in setup.runs:
            made += _of_run(setup, run, say)
    made.append(Stage(FINISH, FINISH, False, spoken=say("bench.finish.spoken")))
    return made


def _of_run(setup: Setup, run: Run, say: Sayings) -> list[Stage]:
    """The tray, then the run itself."""
    tray = say("bench.tray.spoken", count=run.count, callout=spoken_code(run.callout))
    spoken = spoken_run(run)
    return [
        Stage(f"{TRAY}:{run.key}", TRAY, False, run.face, run.names, tray, run, setup),
        Stage(f"{RUN}:{run.key}", RUN, False, run.face, run.names, spoken, run, setup),
    ]


def seen_or_marked(one: OpenHole) -> bool:
    """Whether an open hole is marked at the work, or was set all the same."""
    return one.is_marked or one.set_count == one.count


def shown_stage(stages: list[Stage], wanted: str) -> Stage:
    """The screen to show: the wanted one, else the first that is not done with."""
    for stage in stages:
        if wanted and stage.key == wanted:
            return stage
    return next(stage for stage in stages if not stage.is_done)


def where_words(run: Run) -> tuple[str, str]:
    """A run in words that find it on metal: the row, and the holes counted."""
    holes = hole_words(run)
    return row_words(run), holes[:1].upper() + holes[1:]


def short_code(callout: str) -> tuple[str, str]:
    """A callout as its standard and the part that differs from tin to tin."""
    for standard in ("MS20470", "MS20426"):
        if callout.startswith(standard):
            return standard, callout.removeprefix(standard)
    return "", callout
