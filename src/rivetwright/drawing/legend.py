"""The legend: what every sign and line of the hole map means."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rivetwright.drawing.hole_map import CHAIN_MM, HIDDEN_DASH_MM, PHANTOM_MM
from rivetwright.drawing.ink import COLOUR_OF_32NDS, stylesheet
from rivetwright.drawing.labels import width_of
from rivetwright.drawing.signs import HEADS, STATES, NamedSign, Sign, add_sign
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.drawing.words import say
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

LINE_KINDS = (
    ("line", (), "near"),
    ("line hidden", HIDDEN_DASH_MM, "behind"),
    ("line bend", CHAIN_MM, "bend"),
    ("line hidden", PHANTOM_MM, "later"),
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
        say("legend.title"),
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
        yield _Entry(say(f"legend.{state}"), Sign(state, "universal", None, RADIUS_MM))
    for head in HEADS:
        yield _Entry(say(f"legend.{head}"), Sign("planned", head, None, RADIUS_MM))
    for size, colour in COLOUR_OF_32NDS.items():
        inch = show_length(size * MM_PER_INCH / 32, style="fraction")
        words = say("legend.diameter", size=inch, colour=say(f"legend.{colour}"))
        radius = RADIUS_MM * size / 4
        yield _Entry(words, Sign("planned", "universal", size, radius))
    other = Sign("planned", "universal", None, RADIUS_MM)
    yield _Entry(say("legend.other"), other)
    for severity in (Severity.STOP, Severity.CHECK):
        sign = Sign("planned", "universal", None, RADIUS_MM * 0.8, severity)
        yield _Entry(say(f"legend.{severity}"), sign)
    for class_, dashes, key in LINE_KINDS:
        yield _Entry(say(f"legend.{key}"), line=(class_, dashes))


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
