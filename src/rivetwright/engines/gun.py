"""The gun and bar card: set, bar, starting pressure, trial strip, words, back-riveting.

Figures are starting points to be proved on scrap of the same stack. The card holds
keys and figures; sentences come from the catalogue of a face. Refuses a rivet size
that gun.csv does not have.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from rivetwright.engines.air import OWN, PIPE_FORMULA, PIPE_SOURCE
from rivetwright.engines.air_line import CASES, PEDAL, Line
from rivetwright.engines.air_supply import Supply
from rivetwright.engines.figure import Figure, Law, looked_up
from rivetwright.model.shop import GunSet, RivetGun, Shop, Tool
from rivetwright.standards.air import air_figure
from rivetwright.standards.gun import GunStep, gun_figure, gun_steps
from rivetwright.standards.source import Looked, Source, Status, weakest
from rivetwright.standards.spread import Spread

GUN_AND_BAR, BACK_RIVET = "gun and bar", "back-rivet"
OWNED = "owned"
JUDGED = Source("judgement on published starting pressures", "", Status.JUDGEMENT)

LEARNER = Law(
    "learner_kpa",
    "Starting pressure for two people new to it",
    "learner_share * start_kpa",
    "kPa",
    JUDGED,
)
BACK_START = Law(
    "start_kpa",
    "Starting pressure for back-riveting",
    "gun_start_kpa + raise_kpa",
    "kPa",
    JUDGED,
)
TRIGGER_HELD = Law(
    "trigger_held_s",
    "Trigger time from a full tank until the compressor starts",
    "usable_air_m3 / gun_air_m3_s",
    "s",
    OWN,
)


@dataclass(frozen=True)
class BarChoice:
    """A bar of the shop, and how its mass suits the rivet.

    `fit` is right, light, heavy or not weighed.
    """

    tool: Tool
    fit: str


@dataclass(frozen=True)
class GunCard:
    """Everything the card shows; `lacks` names what the shop does not own."""

    way: str
    diameter_32nds: int
    gun: RivetGun | None
    set_kind: str
    gun_set: GunSet | None
    bars: tuple[BarChoice, ...]
    figures: Mapping[str, Figure]
    steps: tuple[Looked[GunStep], ...]
    calls: tuple[Looked[GunStep], ...]
    lacks: tuple[str, ...]

    @property
    def status(self) -> Status:
        """The weakest status of its figures."""
        return weakest(*(one.status for one in self.figures.values()))

    @property
    def is_for_two(self) -> bool:
        """Whether two people have to be in time with each other."""
        return bool(self.calls)


def gun_card(
    shop: Shop, diameter_32nds: int, *, is_flush: bool, way: str = GUN_AND_BAR
) -> GunCard:
    """The card for one size of rivet.

    Args:
        shop: the shop with its guns, sets, bars and plates.
        diameter_32nds: the rivet [1/32 in].
        is_flush: whether its head is flush.
        way: gun and bar, or back-rivet (flush rivets, head on a plate).

    Returns:
        The card; what the shop lacks is named in it.

    Raises:
        OutsideTable: no starting pressure or bar is printed for this size.
    """
    assert way in (GUN_AND_BAR, BACK_RIVET)
    assert is_flush or way == GUN_AND_BAR, "a plate is flat: it takes flush heads"
    kind = BACK_RIVET if way == BACK_RIVET else "flush" if is_flush else "cup"
    gun = _gun(shop, diameter_32nds)
    gun_set = _gun_set(shop, kind, diameter_32nds)
    figures = _figures(way, diameter_32nds)
    bars = _bars(shop, way, diameter_32nds, figures.get("bar_mass_kg"))
    needs = {
        "gun": gun,
        "gun set": gun_set,
        "plate" if way == BACK_RIVET else "bar": any(
            one.tool.state == OWNED for one in bars
        ),
    }
    return GunCard(
        way,
        diameter_32nds,
        gun,
        kind,
        gun_set,
        bars,
        figures,
        gun_steps(way, "step"),
        gun_steps(way, "call"),
        tuple(name for name, owned in needs.items() if not owned),
    )


def gun_air(supply: Supply) -> dict[str, Figure]:
    """What the shop's air gives a gun: the fall of the gauge, and how long it lasts.

    The gun hangs at the end of the same line, past no pedal. The pressure is meant
    with the trigger pulled, so the gauge is set higher by the fall.
    """
    figures = {"gun_air_m3_s": looked_up("gun_air_m3_s", air_figure("gun air"), "m3/s")}
    starts = supply.figures.get("starts_kpa")
    if starts is not None and supply.line.stretches:
        line = Line(tuple(x for x in supply.line.stretches if x.kind != PEDAL))
        figures["trigger_fall_kpa"] = _trigger_fall(
            line, starts, figures["gun_air_m3_s"]
        )
    if "usable_air_m3" in supply.figures:
        figures["trigger_held_s"] = TRIGGER_HELD.figure(
            usable_air_m3=supply.figures["usable_air_m3"],
            gun_air_m3_s=figures["gun_air_m3_s"],
        )
    return figures


def _trigger_fall(line: Line, starts: Figure, flow: Figure) -> Figure:
    """How far the pressure at the gun falls when the trigger is pulled [kPa]."""
    flows = (flow.value.low, flow.value.central, flow.value.high)
    falls = [
        line.outlet_kpa(starts.central, 0.0, case)
        - line.outlet_kpa(starts.central, flows[case], case)
        for case in range(len(CASES))
    ]
    return Figure(
        "trigger_fall_kpa",
        Spread(*falls),
        "kPa",
        PIPE_SOURCE,
        "How far the pressure at the gun falls when the trigger is pulled",
        PIPE_FORMULA,
        "",
        {"starts_kpa": starts, "gun_air_m3_s": flow},
    )


def _figures(way: str, diameter_32nds: int) -> dict[str, Figure]:
    """The starting figures, with what they come from."""
    start = looked_up("start_kpa", gun_figure("start pressure", diameter_32nds), "kPa")
    figures = {
        "strip_count": looked_up("strip_count", gun_figure("strip rivets"), "count"),
        "step_kpa": looked_up("step_kpa", gun_figure("pressure step"), "kPa"),
        "blow_s": looked_up("blow_s", gun_figure("blow"), "s"),
    }
    if way == BACK_RIVET:
        more = looked_up("raise_kpa", gun_figure("back-rivet raise"), "kPa")
        gun_start = replace(start, name="gun_start_kpa")
        start = BACK_START.figure(gun_start_kpa=gun_start, raise_kpa=more)
    else:
        mass = gun_figure("bar mass", diameter_32nds)
        figures["bar_mass_kg"] = looked_up("bar_mass_kg", mass, "kg")
        share = looked_up("learner_share", gun_figure("learner share"), "-")
        figures["learner_kpa"] = LEARNER.figure(learner_share=share, start_kpa=start)
    return {"start_kpa": start, **figures}


def _takes(most_32nds: int | None, diameter_32nds: int) -> bool:
    """Whether a tool takes a rivet; a size left out limits nothing."""
    return most_32nds is None or diameter_32nds <= most_32nds


def _gun(shop: Shop, diameter_32nds: int) -> RivetGun | None:
    """The smallest gun that drives the rivet: the easiest to hold back."""
    able = [one for one in shop.guns if _takes(one.diameter_32nds_max, diameter_32nds)]
    return min(able, key=lambda one: one.diameter_32nds_max or 99, default=None)


def _gun_set(shop: Shop, kind: str, diameter_32nds: int) -> GunSet | None:
    """The set of a kind that fits; a cup only its own rivet."""
    for one in shop.gun_sets:
        fits = one.diameter_32nds in (None, diameter_32nds)
        if one.kind == kind and fits:
            return one
    return None


def _bars(
    shop: Shop, way: str, diameter_32nds: int, mass: Figure | None
) -> tuple[BarChoice, ...]:
    """Bars, or plates, that take the rivet: owned first, then by how they suit."""
    kind = BACK_RIVET if way == BACK_RIVET else "bar"
    choices = [
        BarChoice(tool, _fit(tool, mass))
        for tool in shop.tools
        if tool.kind == kind and _takes(tool.diameter_32nds_max, diameter_32nds)
    ]
    order = {"right": 0, "not weighed": 1, "light": 2, "heavy": 2}
    return tuple(
        sorted(choices, key=lambda one: (one.tool.state != OWNED, order[one.fit]))
    )


def _fit(tool: Tool, mass: Figure | None) -> str:
    """How a bar's mass stands to the usual range; a plate's does not matter."""
    if mass is None:
        return "right"
    if tool.mass_kg is None:
        return "not weighed"
    if tool.mass_kg < mass.value.low:
        return "light"
    return "heavy" if tool.mass_kg > mass.value.high else "right"
