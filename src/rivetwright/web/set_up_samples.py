"""Set-ups that nobody uses, for the page of patterns: all of it is INVENTED."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from markupsafe import Markup

from rivetwright.drawing.die_stack import Closed, draw_closed, half_of
from rivetwright.drawing.profiles import sheet_profiles, shop_head, universal_head
from rivetwright.engines.learning.drift import Alarm
from rivetwright.engines.squeeze.set_up import Verdict
from rivetwright.engines.squeeze.stacking import Pieces
from rivetwright.model.shop import Die, Tool
from rivetwright.standards.source import Status
from rivetwright.texts.learning_words import say_alarm
from rivetwright.texts.set_up_card import CardWords, do_words, verdict_words
from rivetwright.texts.set_up_words import Fact, in_a_line, put_in, word
from rivetwright.web.pictures import for_page
from rivetwright.web.sayings import Sayings
from rivetwright.web.set_up_lines import ShownCard

SHEET_MM, SHANK_MM, HEAD_MM, SEAT_MM = 1.6, 3.2, 1.5, 1.4
WIDE_MM, HEAD_RADIUS_MM, FACE_MM = 4.6, 3.1, 9.5
YOKE = Tool("Y0", "yoke", half_width_mm=5.0)
PIECES = Pieces(
    Die("flat", 6.0), Die("cup", 5.8, diameter_32nds=4), shims_mm=(0.5, 0.25)
)


def sample_set_ups(say: Sayings, run_key: str) -> dict[str, Any]:
    """What the templates of the set-ups need: one that holds and one that does not."""
    held = _card(say)
    lost = replace(
        held.words,
        verdict=verdict_words(Verdict.STALLS),
        severity="check",
        do=do_words(Verdict.STALLS),
        reach=word("tight", why="Y0 opens .968 in, needs .959 in"),
        look_at=say_alarm(Alarm(7, 4, 0.15), "P1:5"),
        trust=word("heads_slips", count=2),
    )
    return {
        "set_up_cards": {run_key: (held,)},
        "set_up_held": held,
        "set_up_lost": replace(held, words=lost, picture=None, stops=("LENGTH-01",)),
    }


def _card(say: Sayings) -> ShownCard:
    """A card with a word in every place."""
    found = say("patterns.found")
    words = CardWords(
        name="P1:1",
        callout="MS20470AD4-4.5",
        tool="pneumatic squeezer, yoke Y0",
        yoke="Y0",
        verdict=verdict_words(Verdict.IN_BAND),
        severity="",
        do="",
        in_short=in_a_line(PIECES, "in"),
        put_in=tuple(put_in(PIECES, "in")),
        makes=(
            Fact(word("gap"), ".240 in", "6.10 mm", word("wanted", range=".236 in")),
            Fact(word("height"), ".051 to .066 in", "", word("keep", range=".050 in")),
        ),
        needs=(Fact(word("force"), "1380 to 1720 lbf", "6150 to 7650 N"),),
        reach="",
        changes=(found,),
        steps=(found, found),
        pedal=(found,),
        cautions=(say("caution.squeezer"),),
        trust=word("by_physics", offset=".008 in"),
        status=Status.INVENTED,
    )
    return ShownCard(words, _picture(), "P1:1-6", "P1:1", (), (), "#p-set_up")


def _picture() -> Markup:
    """Two sheets and a universal head between a cup and a flat die."""
    grip = 2 * SHEET_MM
    half = half_of(YOKE, FACE_MM)
    sheets = sheet_profiles(
        [SHEET_MM, SHEET_MM],
        ["plain", "plain"],
        hole_radius_mm=SHANK_MM / 2,
        head_radius_mm=HEAD_RADIUS_MM,
        width_mm=half,
    )
    rivet = (
        *universal_head(HEAD_RADIUS_MM, SEAT_MM, SHANK_MM / 2),
        (SHANK_MM / 2, grip),
        *shop_head(grip, WIDE_MM, HEAD_MM),
    )
    closed = Closed(
        title="INVENTED",
        about="INVENTED",
        size="d4",
        system="in",
        yoke=YOKE,
        pieces=PIECES,
        top=-SEAT_MM,
        foot=grip + HEAD_MM,
        face=FACE_MM,
        sheets=tuple(sheets),
        sheet_words=("101", "102"),
        marks=(("grip .126", 0.0, grip), ("shop .059", grip, grip + HEAD_MM)),
        whole="gap .240",
        bodies=(("rivet", rivet),),
    )
    return for_page(draw_closed(closed, for_paper=False))
