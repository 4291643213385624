"""An evening that nobody worked, for the page of patterns: all of it is INVENTED."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.evening import Evening
from rivetwright.bench.gate import BadHead, GateLine, LastChance
from rivetwright.bench.heads_due import DueHead
from rivetwright.bench.keep import Sender
from rivetwright.bench.needs import UNDER_WAY, Lacking, StepChoice
from rivetwright.bench.open_now import HOLD, OPEN, OpenHole, Waiting
from rivetwright.bench.runs import Run, Setup, StopHere
from rivetwright.bench.second_person import BAR, Card
from rivetwright.model.shop import Shop, Tool
from rivetwright.record.devices import MARKS
from rivetwright.texts.bench_words import say_card, say_stop
from rivetwright.texts.head_words import look_words
from rivetwright.web.bench_saying import bench_words
from rivetwright.web.bench_stages import short_code, stages_of, where_words
from rivetwright.web.bench_view import Place, fresh_id
from rivetwright.web.sayings import Sayings

ROW, CODE, STEP = "P1", "MS20470AD4-4.5", "panel-2"


def sample_screens(say: Sayings) -> dict[str, Any]:
    """What the templates of the bench screens need."""
    evening = _evening()
    run = evening.runs[0]
    return {
        "evening": evening,
        "stages": stages_of(evening, {ROW: "P"}, say),
        "places": {
            run.key: [Place(name, name, k, k, k) for k, name in enumerate(run.names, 1)]
        },
        "befores": {},
        "asked": {},
        "people": (),
        "is_marking": True,
        "sender": Sender("sample", "builder", MARKS),
        "now": "2026-11-25T19:00:00.000Z",
        "fresh_id": fresh_id,
        "where_words": where_words,
        "short_code": short_code,
        "say_stop": say_stop,
        "look_words": look_words,
        **bench_words(say, Shop("s", "s", "mm", tools=(Tool("BB1", "bar", "main"),))),
        "cards": [say_card(Card(BAR, True, "gun and bar", ("BB1",)))],
    }


def _setup() -> Setup:
    """A run of six holes that stops before an open one."""
    why = Waiting(OPEN, "D1", "bracket is set later", "panel-3")
    run = Run(
        key=f"{ROW}:1-6",
        setup="S1",
        row=ROW,
        face="P",
        callout=CODE,
        hole_ids=(f"{ROW}:1-6",),
        names=tuple(f"{ROW}:{k}" for k in range(1, 7)),
        count=6,
        from_end="inboard",
        first=1,
        last=6,
        row_count=9,
        holders=2,
        stop_after=StopHere(f"{ROW}:7", 7, why),
    )
    return Setup("S1", CODE, ("Y1",), "101 + 102", 8, 2, (run,))


def _evening() -> Evening:
    """A step with each list half done."""
    return Evening(
        key="sample",
        assembly="sample",
        revision=1,
        position=1,
        step=STEP,
        title="doubler to web",
        state=UNDER_WAY,
        text="Set all 9 rivets.",
        drawing_note="leave 7",
        steps=(StepChoice(STEP, "doubler to web", UNDER_WAY, 2, 9, 6, False),),
        setups=(_setup(),),
        open_holes=(
            _open("D1", OPEN, f"{ROW}:7", is_marked=False),
            _open("H1", HOLD, f"{ROW}:8", is_marked=True),
        ),
        lacking=(
            Lacking("step", "panel-1", UNDER_WAY, 4, 6, f"begin:{STEP}", "p", False),
            Lacking("part", "513", "back order", 0, 0, f"begin:{STEP}", "q", True),
        ),
        gate=(
            GateLine(f"ready:{STEP}", "drilled", True),
            GateLine(f"ready:{STEP}", "deburred", False),
            GateLine(f"ready:{STEP}", "sheets_shut", False),
            GateLine(f"ready:{STEP}", "proof_head S1", False, setup=_setup()),
        ),
        last_chance=(
            LastChance("unset", ("P2:1-4",), 4, False),
            LastChance("unphotographed", ("P",), 1, True),
        ),
        bad_heads=(
            BadHead((f"{ROW}:1",), (f"{ROW}:1",), ("leans", "gap under the shop head")),
        ),
        heads_due=(DueHead(1, f"{ROW}:2", CODE, "first of a set-up", ()),),
        operations=(),
        cards=(Card(BAR, True, "", ("BB1",)),),
        states={},
        timer=None,
        last_action=None,
    )


def _open(id_: str, kind: str, hole: str, *, is_marked: bool) -> OpenHole:
    reason = "bracket is set later" if kind == OPEN else "question is open"
    return OpenHole(id_, kind, (hole,), (hole,), 1, reason, "panel-3", "", is_marked, 0)
