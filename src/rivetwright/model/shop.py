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
    `closed_height_mm` is a yoke's, between die seats with the ram fully out;
    `has_fixed_die` says that its fixed jaw is the die. `stiffness_n_mm` is how much
    force springs it open by one millimetre; `mass_kg` a bar's.
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
    has_fixed_die: bool = False
    stiffness_n_mm: float | None = None
    mass_kg: float | None = None
    state: str = "owned"
    due: date | None = None
    note: str = ""


@dataclass(frozen=True)
class Die:
    """A die or set: its kind, the rivet it fits, its working length.

    `kind` is flat, cup, male or female (a dimple die of a pair). The length goes
    from the seat to the face that touches, of a cup to its bottom. A threaded
    holder can be turned out to `length_max_mm`. `engaged_mm` is how much of its
    shank or thread sits in the yoke at `length_mm`, `engaged_min_mm` the least.
    """

    kind: str
    length_mm: float
    diameter_32nds: int | None = None
    count: int = 1
    length_max_mm: float | None = None
    face_mm: float | None = None
    engaged_mm: float | None = None
    engaged_min_mm: float | None = None
    note: str = ""


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
    """The squeezer: rated force at a pressure, stroke, largest rivet.

    `kind` is pneumatic or hand. `ends_mm` is the travel left at which it reaches
    its rated force (its toggle straightens); `bore_mm` the cylinder's. A hand
    squeezer has instead the force of a hand and the ratio of its lever.
    """

    title: str
    kind: str = "pneumatic"
    force_n: float | None = None
    pressure_kpa: float | None = None
    stroke_mm: float | None = None
    diameter_32nds_max: int | None = None
    ends_mm: float | None = None
    bore_mm: float | None = None
    cylinder_stroke_mm: float | None = None
    hand_force_n: float | None = None
    lever_ratio: float | None = None
    note: str = ""


@dataclass(frozen=True)
class Compressor:
    """The compressor: what it gives, its tank, when it starts and stops."""

    title: str = ""
    free_air_m3_s: float | None = None
    tank_m3: float | None = None
    starts_kpa: float | None = None
    stops_kpa: float | None = None


@dataclass(frozen=True)
class AirPiece:
    """One piece of the air line, in order from the tank to the tool.

    `kind` is regulator (with `set_kpa` and what it drops of its own,
    `dead_band_kpa`), hose or pipe (with bore and length), coupler (`count` of them,
    with `flow_coefficient` Cv) or pedal (a valve, with Cv).
    """

    kind: str
    title: str = ""
    set_kpa: float | None = None
    dead_band_kpa: float | None = None
    bore_mm: float | None = None
    length_mm: float | None = None
    count: int = 1
    flow_coefficient: float | None = None


@dataclass(frozen=True)
class GunSet:
    """A set for the rivet gun: cupped for a rivet, flush, or for back-riveting."""

    kind: str
    diameter_32nds: int | None = None
    face_mm: float | None = None
    note: str = ""


@dataclass(frozen=True)
class RivetGun:
    """The rivet gun: the largest rivet it drives."""

    title: str
    diameter_32nds_max: int | None = None
    note: str = ""


@dataclass(frozen=True)
class Shop:
    """The whole shop; `hours` are those that belong to no one assembly.

    A shim or pin owned twice stands twice. `pins_mm` are ram pins by how much
    longer each is than the shortest. `costs` are the builder's own figures for the
    order of work, by their names in the table of them.
    """

    id: str
    name: str
    unit: str
    people: tuple[Person, ...] = ()
    tools: tuple[Tool, ...] = ()
    squeezers: tuple[Squeezer, ...] = ()
    dies: tuple[Die, ...] = ()
    shims_mm: tuple[float, ...] = ()
    pins_mm: tuple[float, ...] = ()
    guns: tuple[RivetGun, ...] = ()
    gun_sets: tuple[GunSet, ...] = ()
    compressor: Compressor | None = None
    air_line: tuple[AirPiece, ...] = ()
    holders: tuple[Holders, ...] = ()
    costs: tuple[tuple[str, float], ...] = ()
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
