"""An evening nobody works, for the page of patterns: all of it is INVENTED."""

from __future__ import annotations

from dataclasses import replace

from markupsafe import Markup

from rivetwright.drawing.how_far import how_far_svg
from rivetwright.engines.work.now import Turn
from rivetwright.engines.work.pieces import CHECK, SET, Minutes, Needs, Piece
from rivetwright.standards.source import Status
from rivetwright.texts.work_words import say_basis, say_range, say_turn, say_turn_count
from rivetwright.web.pictures import for_page
from rivetwright.web.work_lines import HeldGroup, HeldLine, StretchLine, TurnLine

ROW, STEP, WHERE = "P1", "panel-2", "Panel, panel-2"
MINUTES = Minutes(16, 20, 32, "own", 2, 48, Status.OWN_TEST)
STRETCH = StretchLine("panel-2, panel-3", "2 h", 12, "part 9")


def sample_turns() -> list[TurnLine]:
    """Rivets that fit in part, with a caution; their heads; two people."""
    setting = _piece(SET, "squeezer")
    first = _line("19:00", setting, "squeezer", 12, is_first=True)
    heads = _line("19:20", _piece(CHECK, ""), "", 12, is_first=False)
    bar = replace(setting, people=2, way="gun and bar")
    last = _line("19:25", bar, "gun and bar", 5, is_first=True)
    return [replace(first, fragile=STRETCH), heads, last]


def _piece(operation: str, way: str) -> Piece:
    return Piece(
        f"{ROW} {operation}",
        "panel",
        STEP,
        operation,
        (ROW,),
        "",
        (),
        12,
        "rivet",
        MINUTES,
        bool(way),
        1,
        way,
        "",
        Needs(),
        (),
        names=(ROW,),
    )


def _line(
    clock: str, piece: Piece, way: str, count: int, *, is_first: bool
) -> TurnLine:
    turn = Turn((piece,), 0, MINUTES, count, 12, way, bool(way), is_first, is_first)
    return TurnLine(
        clock,
        say_turn(turn),
        say_turn_count(turn),
        WHERE,
        say_range(MINUTES),
        say_basis(MINUTES),
        turn,
        "#work",
    )


def sample_held() -> list[HeldGroup]:
    """What waits for an answer, and what may be left for later."""
    lines = (
        HeldLine(STEP, "", "P2 (6 rivets)", "the answer to Q-1", "15 min", False),
        HeldLine("panel-3", "", "P3 (9 rivets)", "step panel-2", "20 min", True),
    )
    return [HeldGroup("Panel", lines)]


def sample_far() -> Markup:
    """A bar with all three of its parts."""
    return for_page(how_far_svg("Panel", 40, 25, 100))
