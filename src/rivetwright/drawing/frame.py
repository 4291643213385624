"""The frame round a face: margins, its title, the names of its edges, its axes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rivetwright.drawing.labels import width_of
from rivetwright.drawing.svg import Element, add, number, path_through
from rivetwright.drawing.view import SIDES, Box, View, Window, seen_box
from rivetwright.drawing.words import say
from rivetwright.model.outline import Face
from rivetwright.model.pattern import Point

# All in millimetres as drawn.
TITLE_MM = 4.2
WORDS_MM = 3.1
MARGIN_MM = 12.0
WINDOW_MARGIN_MM = 9.0
WINDOW_NAME_MM = 3.4
LEAST_WINDOW_WIDTH_MM = 56.0
EDGE_NAME_MM = 9.6
ARROW_MM = 8.0
ARROW_OFF_MM = 4.6
ARROW_HEAD_MM = 1.5
BREAK_BEYOND_MM, BREAK_TOOTH_MM = 3.0, 1.6
TURNS = {1: "quarter", 2: "half", 3: "three_quarters"}
LEAST_WIDTH_MM = 92.0
LINE_MM = 4.4
MOST_LINES = 3
EDGE_LETTERS = 26


@dataclass(frozen=True)
class Frame:
    """Everything round a face at one scale; lengths in mm of the picture.

    `top_lines` stand above the face, the first as its title; `bottom_lines`
    below it.
    """

    face: Face
    view: View
    scale: float
    top_lines: tuple[str, ...]
    bottom_lines: tuple[str, ...]

    @property
    def inner(self) -> Box:
        """The room for the face with its margins: no captions."""
        left, top = self.view.low
        right, bottom = self.view.high
        view, scale = self.view, self.scale
        margin = (WINDOW_MARGIN_MM if view.is_close_up else MARGIN_MM) * scale
        wide = max(right - left + 2 * margin, _least_width(view, self.face, scale))
        high = max(bottom - top + 2 * margin, _least_height(view, self.face, scale))
        middle_x, middle_y = (left + right) / 2, (top + bottom) / 2
        return (
            middle_x - wide / 2,
            middle_y - high / 2,
            middle_x + wide / 2,
            middle_y + high / 2,
        )

    @property
    def box(self) -> Box:
        """All that is drawn: left, top, right, bottom."""
        left, top, right, bottom = self.inner
        above = (len(self.top_lines) * LINE_MM + 1.5) * self.scale
        below = (len(self.bottom_lines) * LINE_MM + 1.0) * self.scale
        return left, top - above, right, bottom + below

    @property
    def drawn_size_mm(self) -> Point:
        """Width and height as drawn."""
        left, top, right, bottom = self.box
        return (right - left) / self.scale, (bottom - top) / self.scale


def make_frame(face: Face, view: View, scale: float) -> Frame:
    """The frame of a face at a scale, its words wrapped to its width."""
    bare = Frame(face, view, scale, (), ())
    left, _, right, _ = bare.inner
    letters = int((right - left) / scale / width_of("n", WORDS_MM)) - 1
    title_letters = int(letters * WORDS_MM / TITLE_MM)
    if view.window is not None and view.is_close_up:
        title = say("frame.close_up", face=face.name, name=view.window.name)
        return Frame(face, view, scale, tuple(_lines(title, title_letters)), ())
    part, parts = (view.window.part, view.window.parts) if view.window else (1, 1)
    title = f"{face.name}  {face.title}"
    if parts > 1:
        title += say("frame.part", part=part, parts=parts)
    top = _lines(title, title_letters)
    # Words that go for all parts stand once: above the first, below the last.
    for words in _how_it_lies(face, view) if part == 1 else ():
        top += _lines(words, letters)
    bottom: list[str] = []
    for words in _what_is_what(face, view) if part == parts else ():
        bottom += _lines(words, letters)
    return Frame(face, view, scale, tuple(top), tuple(bottom))


def _lines(words: str, letters: int) -> list[str]:
    """Words in a few lines; what does not fit into them is left away, with dots."""
    lines = wrap(words, letters)
    if len(lines) > MOST_LINES:
        lines[MOST_LINES - 1] = lines[MOST_LINES - 1][: letters - 1] + "\u2026"
    return lines[:MOST_LINES]


def _what_is_what(face: Face, view: View) -> list[str]:
    """The axes, and the edges whose names are too long to stand beside them."""
    words = [
        say("frame.axis", name=name, words=along)
        for name, along in (("u", face.axis_u), ("v", face.axis_v))
        if along
    ]
    words += [
        say("frame.axis", name=side, words=name)
        for side, name in face.edges
        if _edge_words(side, name) != name and side not in view.cut
    ]
    return words


def _edge_words(side: str, name: str) -> str:
    """What stands beside an edge: its name, or its side where that is too long."""
    return name if len(name) <= EDGE_LETTERS else side


def _how_it_lies(face: Face, view: View) -> list[str]:
    """Which side of the face the picture shows, and how far it is turned."""
    words: list[str] = []
    if view.mirror:
        key = "frame.mirrored_from" if face.side_seen else "frame.mirrored"
        words.append(say(key, side=face.side_seen))
    elif face.side_seen:
        words.append(say("frame.seen", side=face.side_seen))
    if view.quarter_turns:
        count = say(f"frame.{TURNS[view.quarter_turns]}")
        words.append(say("frame.turned", count=count))
    if _broken_ends(view):
        words.append(say("frame.broken"))
    if set(view.cut) - set(_broken_ends(view)):
        words.append(say("frame.cut"))
    return words


def wrap(words: str, letters: int) -> list[str]:
    """Words in lines of at most so many letters; longer words are broken."""
    lines = [""]
    for word in words.split():
        while len(word) > letters > 0:
            room = letters - len(lines[-1]) - bool(lines[-1])
            if room < 1:
                lines.append("")
                continue
            lines[-1] = f"{lines[-1]} {word[:room]}".strip()
            word = word[room:]
        if lines[-1] and len(lines[-1]) + 1 + len(word) > letters:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def _least_width(view: View, face: Face, scale: float) -> float:
    """Width that the captions and the longest edge name need, however it lies."""
    if view.is_close_up:
        return LEAST_WINDOW_WIDTH_MM * scale
    names = [width_of(_edge_words(*edge), WORDS_MM) for edge in face.edges]
    return (max([LEAST_WIDTH_MM, *names]) + 2) * scale


def _least_height(view: View, face: Face, scale: float) -> float:
    """Height that the upright edge names need."""
    if view.is_close_up:
        return 0.0
    upright = [
        width_of(_edge_words(side, name), WORDS_MM)
        for side, name in face.edges
        if view.position(side) in ("left", "right")
    ]
    return (max([0.0, *upright]) + 4) * scale


def add_captions(parent: Element, frame: Frame) -> None:
    """Write the title, the side seen and the axes in words."""
    left, top, _, _ = frame.box
    step = LINE_MM * frame.scale
    for k, words in enumerate(frame.top_lines):
        size = TITLE_MM if k == 0 else WORDS_MM
        class_ = "strong" if k == 0 else "quiet"
        _write(
            parent,
            words,
            left + frame.scale,
            top + step * (k + 0.9),
            size,
            frame,
            class_,
        )
    bottom = frame.inner[3]
    for k, words in enumerate(frame.bottom_lines):
        _write(
            parent,
            words,
            left + frame.scale,
            bottom + step * (k + 0.8),
            WORDS_MM,
            frame,
            "quiet",
        )


def _write(
    parent: Element,
    words: str,
    x: float,
    y: float,
    height_mm: float,
    frame: Frame,
    class_: str,
) -> None:
    """Write a line of words from its left end."""
    add(
        parent,
        "text",
        words,
        x=x,
        y=y,
        font_size=height_mm * frame.scale,
        class_=class_,
    )


def add_edge_names(parent: Element, frame: Frame) -> list[Box]:
    """Write the names of the edges outside the face; gives the room they take."""
    taken: list[Box] = []
    named = {} if frame.view.is_close_up else dict(frame.face.edges)
    for side in SIDES:
        if side in named and side not in frame.view.cut:
            words = _edge_words(side, named[side])
            taken.append(_add_edge_name(parent, frame, side, words))
    return taken


def _add_edge_name(parent: Element, frame: Frame, side: str, words: str) -> Box:
    """Write one edge's name along its edge."""
    view, scale = frame.view, frame.scale
    position = view.position(side)
    off, height = EDGE_NAME_MM * scale, WORDS_MM * scale
    middle = ((view.low[0] + view.high[0]) / 2, (view.low[1] + view.high[1]) / 2)
    x, y = {
        "left": (view.low[0] - off, middle[1]),
        "right": (view.high[0] + off, middle[1]),
        "top": (middle[0], view.low[1] - off),
        "bottom": (middle[0], view.high[1] + off),
    }[position]
    is_upright = position in ("left", "right")
    turn = f"rotate(-90 {number(x)} {number(y)})" if is_upright else None
    add(
        parent,
        "text",
        words,
        x=x,
        y=y,
        dy=0.35 * height,
        font_size=height,
        text_anchor="middle",
        transform=turn,
        class_="edge-name",
        data_side=side,
    )
    half = width_of(words, height) / 2
    across = 0.6 * height
    dx, dy = (across, half) if is_upright else (half, across)
    return x - dx, y - dy, x + dx, y + dy


def add_windows(
    parent: Element, frame: Frame, windows: tuple[Window, ...]
) -> list[Box]:
    """Mark where windows lie, and the rim of the window that is drawn itself.

    Gives the room that their names and the break lines take.
    """
    group = add(parent, "g", class_="windows", stroke_width=0.25 * frame.scale)
    view, scale = frame.view, frame.scale
    taken = _add_cuts(group, view, scale)
    for window in windows:
        low, high = seen_box(window.box_mm, view.mirror, view.quarter_turns)
        corners = [low, (high[0], low[1]), high, (low[0], high[1])]
        _add_dotted(group, path_through(corners, closed=True), scale)
        height = WINDOW_NAME_MM * scale
        wide = width_of(window.name, height) + 0.6 * scale
        x, y = high[0] - wide / 2, low[1] - 0.65 * height
        add(
            group,
            "text",
            window.name,
            x=x,
            y=y,
            dy=0.35 * height,
            font_size=height,
            text_anchor="middle",
            stroke_width=0.9 * scale,
            class_="halo window-name strong",
        )
        taken.append((x - wide / 2, y - height / 2, x + wide / 2, y + height / 2))
    return taken


def _add_cuts(group: Element, view: View, scale: float) -> list[Box]:
    """Lines where the face goes on beyond what is shown; gives break lines' room."""
    (left, top), (right, bottom) = view.low, view.high
    ends = {
        "left": [(left, top), (left, bottom)],
        "right": [(right, top), (right, bottom)],
        "top": [(left, top), (right, top)],
        "bottom": [(left, bottom), (right, bottom)],
    }
    taken: list[Box] = []
    for side in view.cut:
        start, end = ends[view.position(side)]
        if side in _broken_ends(view):
            line = _break_line(start, end, scale)
            path = path_through(line)
            add(group, "path", d=path, class_="sign break-line")
            xs, ys = zip(*line, strict=True)
            taken.append((min(xs), min(ys), max(xs), max(ys)))
        else:
            _add_dotted(group, path_through([start, end]), scale)
    return taken


def _broken_ends(view: View) -> tuple[str, ...]:
    """The ends at which a face goes on in the picture above or below."""
    if view.window is None or view.window.parts == 1:
        return ()
    wide, high = view.size_mm
    across = ("left", "right") if wide >= high else ("top", "bottom")
    return tuple(side for side in view.cut if view.position(side) in across)


def _break_line(start: Point, end: Point, scale: float) -> list[Point]:
    """A line with a tooth in its middle: the part goes on in the next picture."""
    length = math.dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    beyond, tooth = BREAK_BEYOND_MM * scale, BREAK_TOOTH_MM * scale
    middle = length / 2
    steps = (
        (-beyond, 0.0),
        (middle - tooth, 0.0),
        (middle - tooth / 2, -tooth),
        (middle + tooth / 2, tooth),
        (middle + tooth, 0.0),
        (length + beyond, 0.0),
    )
    return [
        (
            start[0] + along[0] * by - along[1] * aside,
            start[1] + along[1] * by + along[0] * aside,
        )
        for by, aside in steps
    ]


def _add_dotted(group: Element, path: str, scale: float) -> None:
    """A dotted line, unlike any line of a part."""
    dots = f"{0.3 * scale:.3g} {0.9 * scale:.3g}"
    add(group, "path", d=path, class_="sign window", stroke_dasharray=dots)


def add_axes(parent: Element, frame: Frame) -> Box:
    """Draw the two axes as arrows at the corner where both begin."""
    view, scale = frame.view, frame.scale
    u, v = view.direction((1, 0)), view.direction((0, 1))
    middle = [(a + b) / 2 for a, b in zip(view.low, view.high, strict=True)]
    half = [(b - a) / 2 for a, b in zip(view.low, view.high, strict=True)]
    off = ARROW_OFF_MM * scale
    # Outside the corner from which both u and v grow.
    corner = (
        middle[0] - (u[0] + v[0]) * (half[0] + off),
        middle[1] - (u[1] + v[1]) * (half[1] + off),
    )
    group = add(parent, "g", class_="axes", stroke_width=0.25 * scale)
    ends = [corner]
    for name, along in (("u", u), ("v", v)):
        tip = _add_arrow(group, corner, along, name, scale)
        ends.append(tip)
    pad = 1.5 * scale
    xs, ys = [x for x, _ in ends], [y for _, y in ends]
    return min(xs) - pad, min(ys) - pad, max(xs) + pad, max(ys) + pad


def _add_arrow(
    group: Element, start: Point, along: Point, name: str, scale: float
) -> Point:
    """One arrow with its letter; gives the place of the letter."""
    length = ARROW_MM * scale
    tip = (start[0] + along[0] * length, start[1] + along[1] * length)
    head = ARROW_HEAD_MM * scale
    angle = math.atan2(along[1], along[0])
    barbs = [
        (
            tip[0] - head * math.cos(angle + turn),
            tip[1] - head * math.sin(angle + turn),
        )
        for turn in (0.4, -0.4)
    ]
    path = path_through([start, tip]) + path_through([barbs[0], tip, barbs[1]])
    add(group, "path", class_="sign", d=path)
    beyond = length + 1.6 * scale
    at = (start[0] + along[0] * beyond, start[1] + along[1] * beyond)
    height = WORDS_MM * scale
    add(
        group,
        "text",
        name,
        x=at[0],
        y=at[1],
        dy=0.32 * height,
        font_size=height,
        text_anchor="middle",
        stroke="none",
    )
    return at
