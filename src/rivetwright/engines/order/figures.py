"""What the work takes in this shop: the table's figures, the shop's own, the record's.

The shop file overrules the table; the middle of timed runs overrules both. Distances
between what is fast that the drawing gives overrule every other.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from rivetwright.model.shop import Shop
from rivetwright.model.stage import Clamp, Creep, StepCosts
from rivetwright.standards.order import order_cost, order_cost_names
from rivetwright.standards.source import Status, weakest

RIVET_WAYS = ("squeezer", "hand squeezer", "gun and bar", "back-riveting", "puller")
TABLE, SHOP, RECORD, DRAWING = "table", "shop", "record", "drawing"


@dataclass(frozen=True)
class OwnTime:
    """Seconds a rivet as timed at the bench, and the runs it is the middle of."""

    rivet_s: float
    runs: int


@dataclass(frozen=True)
class Figures:
    """Every figure of the order of work, each with where it comes from."""

    values: Mapping[str, float]
    known_from: Mapping[str, str]
    own: Mapping[str, OwnTime] = field(default_factory=dict)

    def __getitem__(self, name: str) -> float:
        """A figure by its name in the table."""
        return self.values[name]

    @property
    def status(self) -> Status:
        """The weakest status of those that come from the table."""
        named = [name for name, where in self.known_from.items() if where == TABLE]
        statuses = [order_cost(name).source.status for name in named]
        return weakest(*statuses) if statuses else Status.OWN_TEST

    def rivet_s(self, way: str) -> float:
        """Seconds a rivet by one way of setting [s]."""
        return self.values[way]

    @property
    def costs(self) -> StepCosts:
        """Figures as a stage asks for them."""
        return StepCosts(
            tool_s=self["tool"],
            yoke_s=self["yoke"],
            dies_s=self["dies"],
            gap_s=self["gap"],
            proof_s=self["proof"],
            bin_s=self["bin"],
            crew_s=self["helper"],
            holder_out_s=self["holder out"],
            holder_in_s=self["holder in"],
            swap_s=self["swap"],
            speed_mm_s=self["hand speed"],
            creep_penalty_s=self["zipping"],
        )

    def turn_s(self, hole_count: int) -> float:
        """Seconds to turn a part with so many holes [s]."""
        return self["turn large" if hole_count > self["large"] else "turn"]

    def clamp(self, pitch_mm: float = 0.0, end_pitch_mm: float = 0.0) -> Clamp:
        """Held together; nowhere asked closer than the holes themselves lie.

        Args:
            pitch_mm: the widest pitch of the rows [mm].
            end_pitch_mm: the widest pitch at an end of a row [mm].
        """
        return Clamp(
            max(self["held within"], pitch_mm), max(self["end within"], end_pitch_mm)
        )

    @property
    def creep(self) -> Creep:
        """No zipping."""
        return Creep(self["skip"], self["between"], self["short row"])


def figures_of(
    shop: Shop | None,
    own: Mapping[str, OwnTime] | None = None,
    held_mm: Sequence[tuple[str, float]] = (),
) -> Figures:
    """Figures of a shop, for one plan.

    Args:
        shop: its `costs` overrule the table; None: the table's alone.
        own: seconds a rivet from the record, by the way of setting.
        held_mm: distances that the drawing gives [mm]; they overrule the shop's.

    Returns:
        Every figure, and whether table, shop, record or drawing gave it.

    Source: order_costs.csv; the shop file; the record; the plan.
    """
    values = {name: order_cost(name).value for name in order_cost_names()}
    known_from = dict.fromkeys(values, TABLE)
    for name, value in shop.costs if shop else ():
        values[name], known_from[name] = value, SHOP
    for name, distance_mm in held_mm:
        values[name], known_from[name] = distance_mm, DRAWING
    kept = dict(own or {})
    for way, time in kept.items():
        values[way], known_from[way] = time.rivet_s, RECORD
    return Figures(values, known_from, kept)
