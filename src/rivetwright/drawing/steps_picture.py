"""The steps of one assembly from top to bottom: what comes before what, and the chain.

Two boxes at most lie side by side, so that it can be read on a phone. Shape tells
first: a tick for done, a half ring for under way, cut corners for an inspection, a
double foot for a step that closes something, thick lines for the chain that decides
the end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rivetwright.drawing.frame import wrap
from rivetwright.drawing.ink import stylesheet
from rivetwright.drawing.labels import LETTER_WIDTH
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.drawing.trend_signs import write
from rivetwright.drawing.words import say
from rivetwright.model.pattern import Point

DONE, UNDER_WAY = "done", "under way"
# Millimetres as drawn.
BOX_MM, BETWEEN_MM, EDGE_MM = 45.0, 4.0, 5.0
NAME_MM, WORDS_MM, LINE_MM = 3.6, 3.0, 4.0
PAD_MM, GAP_MM, CUT_MM, FOOT_MM = 1.8, 7.0, 3.0, 1.1
THIN_MM, THICK_MM, SIGN_MM = 0.3, 1.1, 1.5
ARROW_MM = 1.6
ACROSS = 2
MOST_TITLE_LINES = 3
WIDE_MM = ACROSS * BOX_MM + (ACROSS - 1) * BETWEEN_MM + 2 * EDGE_MM


@dataclass(frozen=True)
class StepBox:
    """One step: its name, title, state, and lines in words below them.

    `before` are names of the steps it needs; `is_chain` where it decides the end.
    """

    name: str
    title: str
    state: str
    lines: tuple[str, ...]
    before: tuple[str, ...]
    is_inspection: bool = False
    is_closing: bool = False
    is_chain: bool = False


@dataclass(frozen=True)
class _Placed:
    """A box in its place: row, left, top, height, and its words in lines."""

    box: StepBox
    row: int
    column: int
    left: float
    top: float
    high: float
    title: tuple[str, ...]
    lines: tuple[str, ...]

    @property
    def head(self) -> Point:
        """Middle of its upper edge."""
        return self.left + BOX_MM / 2, self.top

    @property
    def foot(self) -> Point:
        """Middle of its lower edge."""
        return self.left + BOX_MM / 2, self.top + self.high


def steps_svg(
    assembly: str,
    boxes: Sequence[StepBox],
    depth: Mapping[str, int],
    *,
    for_paper: bool = False,
) -> str:
    """The picture of the steps of an assembly.

    Args:
        assembly: what it is called.
        boxes: its steps in the order of the plan.
        depth: how many steps the longest row of needs before each one holds.
        for_paper: for print instead of the screen.
    """
    placed = _placed(boxes, depth)
    high = max((one.top + one.high for one in placed.values()), default=0.0) + GAP_MM
    title = say("steps.title", assembly=assembly)
    picture = new_picture(
        "steps",
        title,
        _about(boxes),
        (0.0, 0.0, WIDE_MM, high),
        stylesheet(for_paper=for_paper),
    )
    world = add(picture, "g", class_="world")
    for one in placed.values():
        for k, name in enumerate(one.box.before):
            if name in placed:
                _add_arrow(world, placed[name], one, k)
    for one in placed.values():
        _add_box(world, one)
    return written(picture)


def _about(boxes: Sequence[StepBox]) -> str:
    """The picture in words: the chain, and how many steps are done."""
    chain = ", ".join(one.name for one in boxes if one.is_chain and one.state != DONE)
    done = sum(one.state == DONE for one in boxes)
    said = say("steps.about", count=len(boxes), done=done)
    return f"{said} {say('steps.chain', names=chain)}" if chain else said


# --- places -------------------------------------------------------------------------


def _placed(boxes: Sequence[StepBox], depth: Mapping[str, int]) -> dict[str, _Placed]:
    """Boxes row by row, those of one depth side by side."""
    found: dict[str, _Placed] = {}
    top, row = EDGE_MM, 0
    for level in sorted({depth[one.name] for one in boxes}):
        here = [one for one in boxes if depth[one.name] == level]
        for first in range(0, len(here), ACROSS):
            some = here[first : first + ACROSS]
            words = [_words(one) for one in some]
            high = max(map(_high, words))
            for column, (box, (title, lines)) in enumerate(
                zip(some, words, strict=True)
            ):
                left = EDGE_MM + column * (BOX_MM + BETWEEN_MM)
                if len(some) == 1:
                    left = (WIDE_MM - BOX_MM) / 2
                found[box.name] = _Placed(
                    box, row, column, left, top, high, title, lines
                )
            top += high + GAP_MM
            row += 1
    return found


def _words(box: StepBox) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Title and lines as they are wrapped; a long title ends in dots."""
    letters = int((BOX_MM - 2 * PAD_MM) / (WORDS_MM * LETTER_WIDTH))
    title = wrap(box.title, letters)
    if len(title) > MOST_TITLE_LINES:
        last = title[MOST_TITLE_LINES - 1][: letters - 1].rstrip(" ,")
        title = [*title[: MOST_TITLE_LINES - 1], f"{last}…"]
    lines = [one for line in box.lines for one in wrap(line, letters)]
    return tuple(title), tuple(lines)


def _high(words: tuple[tuple[str, ...], tuple[str, ...]]) -> float:
    title, lines = words
    return 2 * PAD_MM + NAME_MM + LINE_MM * (len(title) + len(lines)) + FOOT_MM


# --- signs --------------------------------------------------------------------------


def _add_arrow(world: Element, source: _Placed, target: _Placed, k: int) -> None:
    """From a step to one that needs it; past other rows along the rim."""
    is_chain = source.box.is_chain and target.box.is_chain
    width = THICK_MM if is_chain else THIN_MM
    (x0, y0), (x1, y1) = source.foot, target.head
    bend = y1 - GAP_MM / 2
    points: list[Point] = [(x0, y0)]
    if target.row == source.row + 1:
        points += [(x0, bend), (x1, bend)]
    else:
        # One rim line each, so that two of them can be told apart.
        rim = EDGE_MM * (0.3 + 0.25 * (k % 3))
        side = (
            rim if target.column == 0 and target.left < WIDE_MM / 3 else WIDE_MM - rim
        )
        out = y0 + GAP_MM / 2
        points += [(x0, out), (side, out), (side, bend), (x1, bend)]
    points.append((x1, y1 - ARROW_MM))
    add(
        world,
        "path",
        d=path_through(points),
        class_="line chain" if is_chain else "leader",
        stroke_width=width,
    )
    head = [(x1 - ARROW_MM / 2, y1 - ARROW_MM), (x1 + ARROW_MM / 2, y1 - ARROW_MM)]
    add(
        world,
        "path",
        d=path_through([*head, (x1, y1)], closed=True),
        class_="dot" if is_chain else "leader-end",
    )


def _add_box(world: Element, one: _Placed) -> None:
    """A box with its words and signs."""
    box = one.box
    state = (
        "done" if box.state == DONE else "begun" if box.state == UNDER_WAY else "open"
    )
    group = add(world, "g", class_=f"step {state}", data_step=box.name)
    if box.state == DONE:
        add(group, "path", d=_outline(one), class_="sheet")
    else:
        add(group, "path", d=_outline(one), class_="void")
    width = THICK_MM if box.is_chain and box.state != DONE else THIN_MM * 1.5
    add(group, "path", d=_outline(one), class_="line", stroke_width=width)
    if box.is_closing:
        y = one.top + one.high - FOOT_MM
        ends = [(one.left, y), (one.left + BOX_MM, y)]
        add(
            group, "path", d=path_through(ends), class_="line", stroke_width=THIN_MM * 2
        )
    _add_state(group, one)
    x, y = one.left + PAD_MM, one.top + PAD_MM + NAME_MM
    write(group, box.name, x, y, size=NAME_MM, class_="strong")
    for line in one.title:
        y += LINE_MM
        write(group, line, x, y, size=WORDS_MM)
    for line in one.lines:
        y += LINE_MM
        write(group, line, x, y, size=WORDS_MM, class_="quiet")


def _outline(one: _Placed) -> str:
    """A rectangle; with cut corners for an inspection."""
    left, top, right, foot = one.left, one.top, one.left + BOX_MM, one.top + one.high
    cut = CUT_MM if one.box.is_inspection else 0.0
    return path_through(
        [
            (left + cut, top),
            (right - cut, top),
            (right, top + cut),
            (right, foot - cut),
            (right - cut, foot),
            (left + cut, foot),
            (left, foot - cut),
            (left, top + cut),
        ],
        closed=True,
    )


def _add_state(group: Element, one: _Placed) -> None:
    """A tick, a half ring or a ring in the upper corner."""
    room = PAD_MM + SIGN_MM + (CUT_MM / 2 if one.box.is_inspection else 0.0)
    x, y = one.left + BOX_MM - room, one.top + PAD_MM + SIGN_MM
    if one.box.state == DONE:
        tick = [
            (x - SIGN_MM, y),
            (x - 0.3, y + SIGN_MM * 0.8),
            (x + SIGN_MM, y - SIGN_MM),
        ]
        add(group, "path", d=path_through(tick), class_="line", stroke_width=0.7)
        return
    add(group, "circle", cx=x, cy=y, r=SIGN_MM, class_="sign", stroke_width=0.4)
    if one.box.state == UNDER_WAY:
        half = f"M{x:.3f} {y - SIGN_MM:.3f} A{SIGN_MM} {SIGN_MM} 0 0 0 "
        add(group, "path", d=f"{half}{x:.3f} {y + SIGN_MM:.3f}Z", class_="dot")
