"""The first rivet of a set-up, as steps: catalogue keys and figures, no sentences.

Scrap of the same stack, the first rivet squeezed wide and measured, then closed in;
and what the pedal can and cannot do, which the toggle decides.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rivetwright.engines.squeeze.batch import owned_of
from rivetwright.engines.squeeze.change import Swap, swap
from rivetwright.engines.squeeze.choosing import TELLS_APART_MM
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.stacking import (
    Combinations,
    OnTool,
    Pieces,
    combinations,
    for_rivet,
)
from rivetwright.engines.squeeze.stall import HAND
from rivetwright.model.shop import Shop
from rivetwright.standards.squeeze import squeeze_figure

WIDER_LOW_MM = squeeze_figure("first wider low")
WIDER_HIGH_MM = squeeze_figure("first wider high")
WIDER_MOST_MM = squeeze_figure("first wider most")
HOLD_S = squeeze_figure("hold")
HEADS_COUNT = int(squeeze_figure("first heads"))

# Shown beside every set-up, in this order.
CAUTIONS = ("air_off", "fingers", "eyes_and_ears", "pin_and_dies")


@dataclass(frozen=True)
class Told:
    """One step, caution or fact: its key in the catalogue and the figures it names.

    The unit of a figure stands at the end of its name.
    """

    key: str
    figures: Mapping[str, float]


@dataclass(frozen=True)
class FirstRivet:
    """The procedure of a set-up: what the first rivet is squeezed with, and the steps.

    `wide` are the pieces of the first rivet, None where nothing owned stands so much
    wider; `close_in` is what to change from these to the set-up itself.
    """

    wide: Pieces | None
    wide_gap_mm: float | None
    close_in: Swap | None
    steps: tuple[Told, ...]
    cautions: tuple[str, ...]


def wide_index(found: Combinations, gap_mm: float) -> int:
    """The combination for the first rivet, wider by 0.010 to 0.015 in; -1 for none.

    Where nothing lies between, the next wider one up to 0.040 in. Between, fewer
    changes decide, for what is taken out has to be put back.

    Args:
        found: what the pieces owned leave, costs counted from the set-up itself.
        gap_mm: gap of the set-up [mm].

    Returns:
        Its index [-].

    Source: builders' practice; squeeze_constants.csv.
    """
    wide = found.gap_mm - gap_mm
    slack = TELLS_APART_MM / 2
    is_wide = (wide >= WIDER_LOW_MM - slack) & (wide <= WIDER_MOST_MM + slack)
    far_enough = np.flatnonzero(is_wide)
    if not len(far_enough):
        return -1
    between = far_enough[wide[far_enough] <= WIDER_HIGH_MM + slack]
    if len(between):
        return int(min(between, key=lambda k: (found.changes[k], wide[k])))
    return int(far_enough[0])


def _steps(set_up: SetUp, wide_gap_mm: float | None) -> tuple[Told, ...]:
    """The steps of the first rivet with what each should measure."""
    head, gap = set_up.head_mm, set_up.gap_mm
    assert head is not None
    assert gap is not None
    steps = [Told("scrap", {"grip_mm": set_up.grip_mm})]
    if set_up.needs_scrap:
        stand_off = set_up.stand_off_mm
        ends = {"low_mm": stand_off.low, "high_mm": stand_off.high}
        steps.append(Told("measure_stand_off", ends))
    if wide_gap_mm is not None:
        expected = {"gap_mm": wide_gap_mm, "head_mm": head.central + wide_gap_mm - gap}
        steps.append(Told("first_wide", expected))
    else:
        steps.append(Told("first_by_pedal", {"wider_mm": WIDER_LOW_MM}))
    steps += [
        Told("hold", {"hold_s": HOLD_S}),
        Told("measure_head", {"min_mm": set_up.band.min_mm}),
        Told("close_in", {"gap_mm": gap, "head_mm": head.central}),
        Told(
            "first_heads",
            {
                "heads": HEADS_COUNT,
                "min_mm": set_up.band.min_mm,
                "most_mm": set_up.band.most_mm,
            },
        ),
    ]
    return tuple(steps)


def first_rivet(set_up: SetUp, shop: Shop) -> FirstRivet | None:
    """The procedure of a set-up; None where nothing is put in or no head is made.

    Args:
        set_up: the set-up.
        shop: what the builder owns.

    Returns:
        The procedure.

    Source: builders' practice; squeeze_constants.csv.
    """
    pieces, gap_mm = set_up.pieces, set_up.gap_mm
    if pieces is None or gap_mm is None or set_up.head_mm is None:
        return None
    squeezer, yoke = set_up.squeezer.title, set_up.yoke
    found = combinations(
        owned_of(shop),
        for_rivet(set_up.diameter_32nds, set_up.is_flush),
        yoke,
        squeezer=squeezer,
        on_tool=OnTool(squeezer, yoke.id, pieces),
    )
    at = wide_index(found, gap_mm)
    wide = found.pieces[at] if at >= 0 else None
    wide_gap = float(found.gap_mm[at]) if at >= 0 else None
    close_in = None
    if wide is not None:
        close_in = swap(OnTool(squeezer, yoke.id, wide), squeezer, yoke.id, pieces)
    return FirstRivet(wide, wide_gap, close_in, _steps(set_up, wide_gap), CAUTIONS)


def pedal_facts(set_up: SetUp) -> tuple[Told, ...]:
    """What the pedal can and cannot do here, as facts with their figures.

    It can bring the ram to the rivet and stop for a look: the shank gives way only
    at `starts_n`. It cannot set the height, for the gap does; let go early, and the
    head stays thick. And it cannot press harder: far from its end a toggle gives
    less, so the gap has to be met near the end of the stroke. A hand squeezer is felt
    all the way and can be stopped at any point.
    """
    met = set_up.met
    if met is None:
        return ()
    if set_up.squeezer.kind == HAND:
        return (Told("hand_feels", {"left_mm": met.left_mm}),)
    facts = [Told("pedal_can_look", {"left_mm": met.left_mm, "starts_n": met.starts_n})]
    if met.gives_n is not None and met.gives_at_end_n is not None:
        figures = {"gives_n": met.gives_n, "gives_at_end_n": met.gives_at_end_n}
        facts.append(Told("pedal_cannot_press", {"left_mm": met.left_mm, **figures}))
    if met.into_mm is not None:
        facts.append(Told("met_late", {"into_mm": met.into_mm, "left_mm": met.left_mm}))
    facts.append(Told("gap_sets_height", {}))
    if set_up.head_mm is not None:
        facts.append(Told("let_go_early", {"head_mm": set_up.head_mm.central}))
    return tuple(facts)
