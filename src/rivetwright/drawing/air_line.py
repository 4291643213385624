"""The air line from tank to tool, and where the pressure goes; not to scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from rivetwright.drawing.frame import wrap
from rivetwright.drawing.ink import stylesheet
from rivetwright.drawing.labels import LETTER_WIDTH
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.drawing.words import say
from rivetwright.engines.air_line import COUPLER, HOSE, PEDAL, PIPE, REGULATOR, Drop
from rivetwright.engines.air_supply import SAME_KPA, Supply
from rivetwright.model.pattern import Point
from rivetwright.standards.spread import Spread
from rivetwright.units.force import PressureUnit, show_pressure

# Millimetres as drawn.
COLUMN_MM, MARGIN_MM = 19.0, 4.0
WORDS_MM, TITLE_MM, LINE_MM = 2.6, 3.8, 3.4
SIGN_Y_MM, NAME_Y_MM, NAME_LINES = 13.0, 21.0, 3
GRAPH_TOP_MM, GRAPH_MM = 34.0, 36.0
TABLE_Y_MM = GRAPH_TOP_MM + GRAPH_MM + 7.0
BOTTOM_MM = 3.0
DASH = "1.6 1"
GAP_MM = 3.2
HALO_MM = 0.9
# As finely as a gauge is read.
_DIGITS: dict[PressureUnit, int] = {"psi": 0, "kPa": 0, "bar": 1}

Line = list[tuple[float, float]]


@dataclass(frozen=True)
class _Place:
    """One column of the picture: a sign, its name, and its place."""

    kind: str
    name: str
    x: float


def air_line_svg(
    supply: Supply, *, unit: PressureUnit = "psi", for_paper: bool = False
) -> str:
    """The line with a sign for each piece, and the pressure along it below.

    The full line is the pressure standing still, the dashed one while the ram
    fills; beneath stands what each piece takes. Without a tank pressure only the
    signs are drawn.
    """
    places = _places(supply)
    width = 2 * MARGIN_MM + len(places) * COLUMN_MM
    height = TABLE_Y_MM + 2 * LINE_MM + BOTTOM_MM if supply.still else GRAPH_TOP_MM
    picture = new_picture(
        "air-line",
        say("air.title"),
        _about(supply, unit),
        (0.0, 0.0, width, height),
        stylesheet(for_paper=for_paper),
    )
    world = add(picture, "g", class_="world")
    add(
        world,
        "text",
        say("air.title"),
        x=MARGIN_MM,
        y=5.0,
        font_size=TITLE_MM,
        class_="strong",
    )
    _add_signs(world, places)
    if supply.still:
        _add_graph(world, supply, places, unit)
        _add_table(world, supply, places, unit)
    return written(picture)


def _places(supply: Supply) -> list[_Place]:
    """Tank, pieces and tool from left to right."""
    names = [(one.kind, one.piece.title) for one in supply.line.stretches]
    ends = [("tank", ""), *names, ("tool", "")]
    return [
        _Place(kind, _name(kind, title), MARGIN_MM + (k + 0.5) * COLUMN_MM)
        for k, (kind, title) in enumerate(ends)
    ]


def _name(kind: str, title: str) -> str:
    """What a piece is called in the picture."""
    return f"{say(f'air.{kind}')} {title}".strip()


def _about(supply: Supply, unit: PressureUnit) -> str:
    """The picture in words, for a person who does not see it."""
    if not supply.still:
        return say("air.about_signs", count=len(supply.line.stretches))
    words = say(
        "air.about",
        count=len(supply.line.stretches),
        tank=_whole(supply.still[0].before_kpa.central, unit),
        tool=f"{_range(supply.still[-1].after_kpa, unit)} {unit}",
    )
    if not supply.flowing:
        return words
    return words + " " + say("air.about_flowing", tool=_flowing_end(supply, unit))


def _flowing_end(supply: Supply, unit: PressureUnit) -> str:
    """The pressure at the tool while the ram fills, in words."""
    end = supply.flowing[-1].after_kpa
    if math.isnan(end.central):
        return say("air.too_much")
    return f"{_range(end, unit)} {unit}"


def _whole(pressure_kpa: float, unit: PressureUnit) -> str:
    """A pressure with its unit, as finely as a gauge is read."""
    return show_pressure(pressure_kpa, unit=unit, digits=_DIGITS[unit])


def _range(spread: Spread, unit: PressureUnit, finer: int = 0) -> str:
    """A range of pressures without its unit; one figure where the ends read alike."""
    if math.isnan(spread.central):
        return say("air.too_much")
    digits = _DIGITS[unit] + finer
    low, high = (
        show_pressure(end, unit=unit, digits=digits).removesuffix(f" {unit}")
        if abs(end) > SAME_KPA
        else "0"
        for end in (spread.low, spread.high)
    )
    return low if low == high else say("air.range", low=low, high=high)


# --- signs -------------------------------------------------------------------------


def _add_signs(world: Element, places: Sequence[_Place]) -> None:
    """A sign and a name for each place, joined by the line of the air."""
    for before, after in pairwise(places):
        start, end = before.x + _HALF_MM[before.kind], after.x - _HALF_MM[after.kind]
        _line(world, [(start, SIGN_Y_MM), (end, SIGN_Y_MM)])
    letters = int(COLUMN_MM / (WORDS_MM * LETTER_WIDTH))
    for k, place in enumerate(places):
        group = add(world, "g", class_=f"piece {place.kind}", data_place=str(k - 1))
        _SIGNS[place.kind](group, place.x)
        for line, words in enumerate(wrap(place.name, letters)[:NAME_LINES]):
            _write(group, words, place.x, NAME_Y_MM + line * LINE_MM)


def _write(parent: Element, words: str, x: float, y: float, class_: str = "") -> None:
    """Words centred at a place."""
    add(
        parent,
        "text",
        words,
        x=x,
        y=y,
        font_size=WORDS_MM,
        text_anchor="middle",
        stroke_width=HALO_MM if "halo" in class_ else None,
        class_=class_ or None,
    )


def _box(group: Element, x: float, half_wide: float, half_high: float) -> None:
    """A box with round corners on the line."""
    add(
        group,
        "rect",
        x=x - half_wide,
        y=SIGN_Y_MM - half_high,
        width=2 * half_wide,
        height=2 * half_high,
        rx=half_high / 2,
        class_="metal",
        stroke_width=0.4,
    )


def _line(group: Element, points: Sequence[Point]) -> None:
    """A line of a sign."""
    add(group, "path", d=path_through(points), class_="line", stroke_width=0.4)


def _tank(group: Element, x: float) -> None:
    """A lying tank."""
    _box(group, x, 6.5, 3.4)


def _regulator(group: Element, x: float) -> None:
    """A round dial with its pointer."""
    add(
        group,
        "circle",
        cx=x,
        cy=SIGN_Y_MM,
        r=3.2,
        class_="metal",
        stroke_width=0.4,
    )
    _line(group, [(x - 1.2, SIGN_Y_MM + 1.4), (x + 1.7, SIGN_Y_MM - 1.9)])


def _hose(group: Element, x: float) -> None:
    """A hose that hangs in waves over the straight line."""
    waves = [
        (x - 7 + k * 0.5, SIGN_Y_MM - 2.2 * math.sin(k * math.pi / 7))
        for k in range(29)
    ]
    _line(group, waves)


def _pipe(group: Element, x: float) -> None:
    """Two straight walls."""
    for off in (-1.2, 1.2):
        _line(group, [(x - 7, SIGN_Y_MM + off), (x + 7, SIGN_Y_MM + off)])


def _coupler(group: Element, x: float) -> None:
    """Two halves that face each other."""
    _box(group, x - 1.9, 1.5, 1.9)
    _box(group, x + 1.9, 1.5, 1.5)


def _pedal(group: Element, x: float) -> None:
    """A wedge under a foot."""
    corners = [
        (x - 4.5, SIGN_Y_MM + 2.4),
        (x + 4.5, SIGN_Y_MM + 2.4),
        (x + 4.5, SIGN_Y_MM - 2.4),
    ]
    path = path_through(corners, closed=True)
    add(group, "path", d=path, class_="metal", stroke_width=0.4)


def _tool(group: Element, x: float) -> None:
    """The jaws of a squeezer."""
    corners = [
        (x, SIGN_Y_MM - 3.4),
        (x + 5, SIGN_Y_MM - 3.4),
        (x + 5, SIGN_Y_MM - 1.6),
        (x + 1.8, SIGN_Y_MM - 1.6),
        (x + 1.8, SIGN_Y_MM + 1.6),
        (x + 5, SIGN_Y_MM + 1.6),
        (x + 5, SIGN_Y_MM + 3.4),
        (x, SIGN_Y_MM + 3.4),
    ]
    path = path_through(corners, closed=True)
    add(group, "path", d=path, class_="metal", stroke_width=0.4)


_SIGNS = {
    "tank": _tank,
    REGULATOR: _regulator,
    HOSE: _hose,
    PIPE: _pipe,
    COUPLER: _coupler,
    PEDAL: _pedal,
    "tool": _tool,
}

# How far each sign reaches to either side; a squeezer's jaws begin at their back.
_HALF_MM = {
    "tank": 6.5,
    REGULATOR: 3.2,
    HOSE: 7.0,
    PIPE: 7.0,
    COUPLER: 3.4,
    PEDAL: 4.5,
    "tool": 0.0,
}


# --- the pressure along the line ---------------------------------------------------


def _add_graph(
    world: Element, supply: Supply, places: Sequence[_Place], unit: PressureUnit
) -> None:
    """Two lines of pressure over the places, and the figures at their ends."""
    most = supply.still[0].before_kpa.central
    group = add(world, "g", class_="pressures")
    for level in (0.0, most):
        y = _height(level, most)
        path = path_through([(MARGIN_MM, y), (places[-1].x, y)])
        add(group, "path", d=path, class_="sign hidden", stroke_width=0.15)
    still = _steps(supply.still, places, most)
    _trace(group, still, "still", None)
    ends = [(still[-1], f"{_range(supply.still[-1].after_kpa, unit)} {unit}")]
    if supply.flowing:
        flowing = _steps(supply.flowing, places, most)
        _trace(group, flowing, "flowing", DASH)
        ends.append((flowing[-1], _flowing_end(supply, unit)))
    _write(group, _whole(most, unit), places[0].x, _height(most, most) - 1.2, "halo")
    taken = math.inf
    for (x, y), words in sorted(ends, key=lambda end: -end[0][1]):
        y = min(y - 1.0, taken - GAP_MM)
        taken = y
        _write(group, words, x, y, "halo strong")


def _trace(group: Element, line: Line, name: str, dash: str | None) -> None:
    """One line of pressure."""
    path = path_through(line)
    add(
        group,
        "path",
        d=path,
        class_=f"line {name}",
        stroke_width=0.5,
        stroke_dasharray=dash,
    )


def _height(pressure_kpa: float, most_kpa: float) -> float:
    """Where a pressure stands in the graph."""
    return GRAPH_TOP_MM + GRAPH_MM * (1 - pressure_kpa / most_kpa)


def _steps(drops: Sequence[Drop], places: Sequence[_Place], most: float) -> Line:
    """Level between two pieces, falling across each; it ends where air chokes."""
    line = [(places[0].x, _height(drops[0].before_kpa.central, most))]
    for drop, place in zip(drops, places[1:], strict=False):
        after = drop.after_kpa.central
        line.append((place.x - COLUMN_MM / 4, line[-1][1]))
        if math.isnan(after):
            return line
        line.append((place.x + COLUMN_MM / 4, _height(after, most)))
    return [*line, (places[-1].x, line[-1][1])]


def _add_table(
    world: Element, supply: Supply, places: Sequence[_Place], unit: PressureUnit
) -> None:
    """What each piece takes, still and flowing, in two lines under the graph."""
    group = add(world, "g", class_="losses")
    rows = [("air.still", supply.still)]
    if supply.flowing:
        rows.append(("air.flowing", supply.flowing))
    for line, (key, drops) in enumerate(rows):
        y = TABLE_Y_MM + line * LINE_MM
        _write(group, say(key, unit=unit), places[0].x, y, "quiet")
        for drop, place in zip(drops, places[1:], strict=False):
            loss = drop.loss_kpa
            known = not math.isnan(drop.before_kpa.central)
            words = _range(loss, unit, 1) if known else ""
            _write(group, words, place.x, y)
