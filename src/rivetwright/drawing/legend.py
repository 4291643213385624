"""The legend: what every sign and line of the hole map means."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rivetwright.drawing.hole_map import CHAIN_MM, HIDDEN_DASH_MM, PHANTOM_MM
from rivetwright.drawing.ink import COLOUR_OF_32NDS, stylesheet
from rivetwright.drawing.labels import width_of
from rivetwright.drawing.signs import HEADS, STATES, NamedSign, Sign, add_sign
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.model.severity import Severity
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.wording import show_length

# Millimetres as drawn; the legend has scale 1.
RADIUS_MM = 1.25
ROW_MM = 5.6
COLUMN_MM = 60.0
WORDS_MM = 3.0
SIGN_X_MM, WORDS_X_MM = 5.0, 11.5
LINE_SIGN_MM = 9.0

STATE_WORDS = {
    "planned": "planned: not drilled yet",
    "drilled": "drilled to size",
    "set": "set",
    "open": "open: for a later part",
    "hold": "hold: must wait",
}
HEAD_WORDS = {
    "universal": "universal head",
    "flush": "flush head",
    "blind": "blind, dome head",
    "blind-flush": "blind, flush head",
}
FOUND_WORDS = {
    Severity.STOP: "stop: do not set it so",
    Severity.CHECK: "check: ask or measure first",
}
LINE_WORDS = (
    ("line", (), "edge of the near sheet"),
    ("line hidden", HIDDEN_DASH_MM, "edge behind a sheet"),
    ("line bend", CHAIN_MM, "bend"),
    ("line hidden", PHANTOM_MM, "part that comes later"),
)


@dataclass(frozen=True)
class _Entry:
    """A sign or a line, and its words."""

    words: str
    sign: Sign | None = None
    line: tuple[str, Sequence[float]] | None = None


def legend_svg(*, for_paper: bool = False, columns: int = 4) -> str:
    """The legend as one picture, in so many columns."""
    entries = list(_entries())
    rows = -(-len(entries) // columns)
    box = (0.0, 0.0, columns * COLUMN_MM, rows * ROW_MM)
    picture = new_picture(
        "legend",
        "What the signs of the hole map mean",
        "; ".join(entry.words for entry in entries),
        box,
        stylesheet(for_paper=for_paper),
    )
    world = add(picture, "g", class_="world")
    for k, entry in enumerate(entries):
        x, y = (k // rows) * COLUMN_MM, (k % rows + 0.5) * ROW_MM
        _add_entry(world, entry, x, y)
    return written(picture)


def _entries() -> Iterator[_Entry]:
    """Everything that the map tells apart."""
    for state in STATES:
        yield _Entry(STATE_WORDS[state], Sign(state, "universal", None, RADIUS_MM))
    for head in HEADS:
        yield _Entry(HEAD_WORDS[head], Sign("planned", head, None, RADIUS_MM))
    for size, colour in COLOUR_OF_32NDS.items():
        inch = show_length(size * MM_PER_INCH / 32, style="fraction")
        radius = RADIUS_MM * size / 4
        yield _Entry(f"{inch} in, {colour}", Sign("planned", "universal", size, radius))
    other = Sign("planned", "universal", None, RADIUS_MM)
    yield _Entry("another diameter", other)
    for severity, words in FOUND_WORDS.items():
        sign = Sign("planned", "universal", None, RADIUS_MM * 0.8, severity)
        yield _Entry(words, sign)
    for class_, dashes, words in LINE_WORDS:
        yield _Entry(words, line=(class_, dashes))


def _add_entry(world: Element, entry: _Entry, x: float, y: float) -> None:
    """One sign or line with its words to the right."""
    if entry.sign is not None:
        place = (x + SIGN_X_MM, y)
        add_sign(world, NamedSign(entry.sign, place, "", entry.words))
    if entry.line is not None:
        class_, dashes = entry.line
        start = x + SIGN_X_MM - LINE_SIGN_MM / 2
        add(
            world,
            "path",
            d=path_through([(start, y), (start + LINE_SIGN_MM, y)]),
            class_=class_,
            stroke_width=0.3,
            stroke_dasharray=" ".join(f"{dash * 0.7:.3g}" for dash in dashes) or None,
        )
    room = COLUMN_MM - WORDS_X_MM - 1
    height = min(WORDS_MM, WORDS_MM * room / width_of(entry.words, WORDS_MM))
    add(
        world,
        "text",
        entry.words,
        x=x + WORDS_X_MM,
        y=y,
        dy=0.35 * height,
        font_size=height,
    )
