"""What the builder owns and who works there; counts are facts, not here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rivetwright.model.opening import HoursEntry


@dataclass(frozen=True)
class Person:
    """Somebody who works on the aircraft; facts carry the id, never the name."""

    id: str
    name: str
    role: str = "builder"
    note: str = ""


@dataclass(frozen=True)
class Tool:
    """A yoke, bar, back-rivet plate or puller with the sizes that decide reach.

    `None` means open: nothing limits it. `state` is owned or on order.
    """

    id: str
    kind: str
    title: str = ""
    reach_mm: float | None = None
    gap_mm: float | None = None
    nose_mm: float | None = None
    half_width_mm: float | None = None
    diameter_32nds_max: int | None = None
    closed_height_mm: float | None = None
    jumps_flange_mm: float | None = None
    state: str = "owned"
    due: date | None = None
    note: str = ""


@dataclass(frozen=True)
class Die:
    """A die or set: its kind, the rivet it fits, its working length."""

    kind: str
    length_mm: float
    diameter_32nds: int | None = None
    count: int = 1


@dataclass(frozen=True)
class Holders:
    """Sheet holders owned, by size."""

    diameter_32nds: int
    count: int


@dataclass(frozen=True)
class StockCount:
    """Rivets of one code counted on a day; part of the opening."""

    code: str
    count: int


@dataclass(frozen=True)
class WorkTime:
    """When the shop works: one line of the calendar."""

    day: str
    hours: float
    note: str = ""


@dataclass(frozen=True)
class Squeezer:
    """The squeezer: rated force at a pressure, stroke, largest rivet."""

    title: str
    force_n: float | None = None
    pressure_kpa: float | None = None
    stroke_mm: float | None = None
    diameter_32nds_max: int | None = None
    note: str = ""


@dataclass(frozen=True)
class Shop:
    """The whole shop; `hours` are those that belong to no one assembly."""

    id: str
    name: str
    unit: str
    people: tuple[Person, ...] = ()
    tools: tuple[Tool, ...] = ()
    squeezers: tuple[Squeezer, ...] = ()
    dies: tuple[Die, ...] = ()
    shims_mm: tuple[float, ...] = ()
    holders: tuple[Holders, ...] = ()
    calendar: tuple[WorkTime, ...] = ()
    quiet_after: str = ""
    noisy: tuple[str, ...] = ()
    time_zone: str = ""
    opening_day: date | None = None
    stock: tuple[StockCount, ...] = ()
    hours: tuple[HoursEntry, ...] = ()
    reorder_days: int | None = None
    order_count_min: int | None = None
    spare_ratio: float = 0.10
    spare_count_min: int = 5
    also_owned: tuple[str, ...] = ()
    storage: tuple[str, ...] = ()
    note: str = ""
