"""Heads as the page of patterns shows them; every figure is INVENTED."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from rivetwright.engines.heads.entry import Head, Meant, Question, Slip
from rivetwright.record.kinds import LOOKS
from rivetwright.standards.source import Status
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.head_card import Because, DecisionWords, HeadWords
from rivetwright.texts.head_words import say_question
from rivetwright.web.pictures import defect_picture

IN = 25.4
INVENTED = str(Status.INVENTED)


def sample_heads() -> dict[str, Any]:
    """What the patterns of heads need."""
    meant = Meant(Slip.POINT_TOO_FAR_RIGHT, Head(0.063 * IN))
    question = Question("width_mm", 0.63 * IN, 0.12 * IN, 0.33 * IN, (meant,))
    return {
        "head_words": [_words(one) for one in ("FAILS", "ASK", "PASSES")],
        "sample_judged": SimpleNamespace(
            settled=None, is_there=True, seen=SimpleNamespace(fact="")
        ),
        "sample_at": SimpleNamespace(name="P1:3"),
        "sample_questions": [(question, [(meant, {"width": ".063 in"})])],
        "sample_looks": LOOKS,
        "defect": defect_picture,
        "say_question": say_question,
    }


def _words(overall: str) -> HeadWords:
    """A verdict of each kind, with the advice to squeeze again."""
    word = catalogue().word
    tone = {"FAILS": "stop", "ASK": "check", "PASSES": "fine"}[overall]
    said = word("head_overall", overall)
    reason = Because(word("head_reason", "metal is there"), "", INVENTED)
    decision = DecisionWords(
        "squeeze again",
        word("head_action", "squeeze again"),
        (reason,),
        ("remove and replace",),
        (word("head_card", "more_shim").format(shim_mm=".013 in"),),
        (word("head_card", "eyes"),),
        INVENTED,
    )
    sizes = word("head_breach", "too high").format(found_mm=".073", limit_mm=".070")
    line = f"{said[:1].upper()}{said[1:]}: {sizes}"
    return HeadWords(
        name="P1:3",
        callout="MS20470AD4-4",
        sizes=".196 in wide, .073 in high",
        verdict=line,
        tone=tone,
        because=(reason,),
        status=INVENTED,
        sources=(word("head_card", "inside").format(limit_set=INVENTED),),
        sets=(),
        causes=(),
        metal=(),
        metal_says="",
        decision=decision,
    )
