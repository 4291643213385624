"""The shop's air as a person asks for it: at the tool, in strokes, and what starves it.

Values only: the words for causes and tests stand in the catalogue.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rivetwright.engines.air_faults import Suspect, leak_m3_s, suspects
from rivetwright.engines.air_supply import Supply, first_pneumatic, work_out_air
from rivetwright.engines.figure import Figure
from rivetwright.engines.gun import gun_air
from rivetwright.errors import NotFound
from rivetwright.model.shop import Shop, Squeezer

# What the page shows, group by group; every name is a figure of the supply.
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "tool",
        (
            "needed_kpa",
            "standing_kpa",
            "standing_full_kpa",
            "standing_cycling_kpa",
            "after_hold_kpa",
            "fill_s",
        ),
    ),
    (
        "strokes",
        (
            "stroke_air_m3",
            "stroke_drop_kpa",
            "strokes_held_count",
            "rate_most_a_minute",
            "sustained_a_minute",
        ),
    ),
    (
        "compressor",
        (
            "rests_s",
            "runs_s",
            "refill_s",
            "lasts_s",
            "tank_least_kpa",
        ),
    ),
    ("gun", ("gun_air_m3_s", "trigger_fall_kpa", "trigger_held_s")),
)


@dataclass(frozen=True)
class Readings:
    """What was read at the gauges: pressure by place, -1 the tank, and a leak's two.

    `places_kpa` were read with the ram standing still.
    """

    places_kpa: Mapping[int, float]
    fall_kpa: float | None = None
    fall_s: float | None = None


NOT_READ = Readings({})


@dataclass(frozen=True)
class AirNow:
    """Everything the air page shows.

    `assumed` are the figures for which the shop file has none: each a range out of
    a table, narrowed by measuring it.
    """

    shop: Shop
    squeezer: Squeezer | None
    supply: Supply
    groups: tuple[tuple[str, tuple[Figure, ...]], ...]
    suspects: tuple[Suspect, ...]
    leak: Figure | None
    assumed: tuple[Figure, ...]
    figures: Mapping[str, Figure]


def air_now(
    shop: Shop | None, readings: Readings = NOT_READ, needed_kpa: float | None = None
) -> AirNow:
    """The air of a shop, and what starves the tool by what was read.

    Raises:
        NotFound: there is no shop.
    """
    if shop is None:
        raise NotFound(
            asked="work the air out",
            found="no shop file in this folder",
            allowed="a folder with a shop file: compressor, air line, squeezer",
            do="write one as docs/shop-file.md says",
        )
    supply = work_out_air(shop, needed_kpa=needed_kpa)
    figures = {**supply.figures, **gun_air(supply)}
    leak = None
    if readings.fall_kpa is not None and readings.fall_s:
        leak = leak_m3_s(supply, readings.fall_kpa, readings.fall_s)
    groups = tuple(
        (title, tuple(figures[name] for name in names if name in figures))
        for title, names in GROUPS
    )
    return AirNow(
        shop,
        first_pneumatic(shop),
        supply,
        tuple((title, known) for title, known in groups if known),
        suspects(supply, readings.places_kpa),
        leak,
        _assumed(supply, figures),
        figures | ({leak.name: leak} if leak else {}),
    )


def air_figure(now: AirNow, name: str) -> Figure:
    """One figure of the air with its working.

    Raises:
        NotFound: nothing of that name was worked out.
    """
    if name not in now.figures:
        raise NotFound(
            asked=f"open the working of {name}",
            found="no such figure of this shop's air",
            allowed=", ".join(now.figures),
            do="choose a figure on the air page",
        )
    return now.figures[name]


def _assumed(supply: Supply, figures: Mapping[str, Figure]) -> tuple[Figure, ...]:
    """Figures out of a table, each once, the line's own among them."""
    found: dict[str, Figure] = {}
    for each in figures.values():
        found |= {one.row: one for one in _leaves(each) if one.row}
    for stretch in supply.line.stretches:
        found |= {one.row: one for one in stretch.figures.values() if one.row}
    found.pop(figures["atmosphere_kpa"].row, None)
    return tuple(found.values())


def _leaves(figure: Figure) -> Iterator[Figure]:
    """The figures that one rests on in the end."""
    if not figure.inputs:
        yield figure
    for each in figure.inputs.values():
        yield from _leaves(each)
