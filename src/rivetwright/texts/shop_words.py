"""Figures of the shop in words: ranges in the shop's unit, the other beside them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from rivetwright.engines.air_faults import Suspect
from rivetwright.engines.air_supply import Limit, Supply
from rivetwright.engines.figure import Figure
from rivetwright.standards.spread import Spread, sharp
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import Said, System
from rivetwright.units.air import show_flow, show_volume
from rivetwright.units.force import show_force, show_pressure
from rivetwright.units.mass import show_mass
from rivetwright.units.wording import show_length, show_number

UNIT = "shop_unit"
MINUTE_S, HOUR_S = 60, 3600
# From here on seconds are told as minutes, and a fifth of a second is told.
MINUTES_FROM_S, TENTHS_BELOW_S = 100, 10

Writer = Callable[[float], str]


def _number(value: float, unit: str = "", digits: int = 1) -> str:
    """A plain figure and its unit."""
    return f"{show_number(value, digits=digits, trim=True)} {unit}".strip()


def _seconds(value_s: float) -> str:
    """A time as a person says it."""
    if value_s < MINUTES_FROM_S:
        return _number(value_s, "s", digits=int(value_s < TENTHS_BELOW_S))
    minutes, seconds = divmod(round(value_s), MINUTE_S)
    if value_s >= HOUR_S:
        hours, minutes = divmod(minutes, MINUTE_S)
        return _unit("hours_minutes", hours=hours, minutes=minutes)
    if not seconds:
        return _unit("minutes", minutes=minutes)
    return _unit("minutes_seconds", minutes=minutes, seconds=seconds)


def _fine_mm(value_mm: float) -> str:
    """A height of some thousandths of a millimetre."""
    return _number(value_mm, "mm", digits=4)


def _unit(key: str, **values: object) -> str:
    """Words of the section on units."""
    return catalogue().word(UNIT, key).format_map(values)


# How each unit is written beside inches, and beside millimetres.
_WRITERS: Mapping[str, tuple[Writer, Writer]] = {
    "kPa": (show_pressure, lambda value: show_pressure(value, unit="kPa")),
    "N": (show_force, lambda value: show_force(value, unit="N")),
    "mm": (
        lambda value: show_length(value, with_unit=True),
        lambda value: show_length(value, system="mm", with_unit=True),
    ),
    "kg": (show_mass, lambda value: show_mass(value, unit="kg")),
    "m3": (
        lambda value: show_volume(value, unit="ft3", digits=3),
        lambda value: show_volume(value, unit="l"),
    ),
    "m3/s": (
        lambda value: show_flow(value, digits=2),
        lambda value: show_flow(value, unit="l/min", digits=0),
    ),
}
# Figures that are never written as others of their unit.
_OF_NAME: Mapping[str, tuple[Writer, Writer]] = {
    "tank_m3": (show_volume, lambda value: show_volume(value, unit="l")),
    "roughness_mm": (_fine_mm, _fine_mm),
}
_ALONE: Mapping[str, Writer] = {
    "s": _seconds,
    "count": _number,
    "1/min": _number,
    "Cv": lambda value: _number(value, "Cv", digits=2),
    "-": lambda value: _number(value, digits=2),
}


def say_range(value: Spread, write: Writer, *, with_usual: bool = True) -> str:
    """A range as a person reads it; one figure where its ends read alike."""
    if math.isinf(value.low):
        return _unit("endless")
    low = write(value.low)
    if math.isinf(value.high):
        return _unit("at_least", low=low)
    high, usual = write(value.high), write(value.central)
    if low == high:
        return low
    last = high.rpartition(" ")[2]
    is_plain = high.count(" ") == low.count(" ") == 1
    if is_plain and low.endswith(f" {last}"):
        low = low.removesuffix(f" {last}")
    told = _unit("range", low=low, high=high)
    is_end = usual in (write(value.low), high)
    return told if is_end or not with_usual else _unit("usual", range=told, usual=usual)


def say_figure(figure: Figure, system: System) -> Said:
    """A figure of the shop in its own unit, and the same in the other beside it."""
    alone = _ALONE.get(figure.unit)
    if alone is not None:
        return Said(say_range(figure.value, alone))
    own = _OF_NAME.get(figure.name, _WRITERS[figure.unit])
    return _both(figure.value, own, system)


def _both(value: Spread, writers: tuple[Writer, Writer], system: System) -> Said:
    """A range in the shop's unit with its usual figure, in the other without."""
    main, other = writers if system == "in" else writers[::-1]
    said = say_range(value, main), say_range(value, other, with_usual=False)
    return Said(said[0], said[1] if said[1] != said[0] else "")


def say_shop_title(name: str) -> str:
    """Short name of a figure of the shop.

    Raises:
        NotFound: the catalogue has none.
    """
    return catalogue().word("shop_quantity", name)


def say_with(section: str, key: str, figures: Mapping[str, str]) -> str:
    """A sentence of a section with figures put in, as they were written.

    Raises:
        NotFound: the catalogue has no such sentence.
    """
    return catalogue().word(section, key).format_map(figures)


def say_mass(mass_kg: float, system: System) -> Said:
    """The weight of one bar in both units."""
    return _both(sharp(mass_kg), _WRITERS["kg"], system)


@dataclass(frozen=True)
class SuspectWords:
    """One thing that may starve the tool: what it is, what it takes, the next test."""

    title: str
    loss: str
    other: str
    test: str


def say_piece(supply: Supply, place: int) -> str:
    """A piece of the line by its place, -1 the tank: `hose to the bench`."""
    if place < 0:
        return catalogue().word("air_piece", "tank")
    piece = supply.line.stretches[place].piece
    return f"{catalogue().word('air_piece', piece.kind)} {piece.title}".strip()


def say_suspect(suspect: Suspect, supply: Supply, system: System) -> SuspectWords:
    """A suspect in words; its loss is empty where no figure can be put to it."""
    places = {"piece": "", "first": "", "last": ""}
    if suspect.first is not None and suspect.last is not None:
        places = {
            "piece": say_piece(supply, suspect.first),
            "first": say_piece(supply, suspect.first),
            "last": say_piece(supply, suspect.last),
        }
    loss, said = suspect.loss_kpa, Said("")
    if loss is not None and math.isnan(loss.central):
        said = Said(_unit("too_much"))
    elif loss is not None:
        said = say_loss(loss, system)
    return SuspectWords(
        say_with("air_cause", suspect.cause, places),
        said.main,
        said.other,
        catalogue().word("air_test", suspect.test),
    )


def say_loss(loss_kpa: Spread, system: System) -> Said:
    """A loss of pressure, as finely as one piece's can be told."""
    finer = (
        lambda value: show_pressure(value, digits=1),
        lambda value: show_pressure(value, unit="kPa"),
    )
    return _both(loss_kpa, finer, system)


def say_limit(limit: Limit, supply: Supply) -> str:
    """What bounds the pressure at the tool, in words."""
    piece = say_piece(supply, limit.place) if limit.place is not None else ""
    return say_with("air_limit", limit.name, {"piece": piece})
