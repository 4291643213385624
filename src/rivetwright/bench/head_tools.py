"""What a head may have been set with: squeezer and yoke, with what the card puts in."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.heads import Heads
from rivetwright.bench.set_up_card import set_up_choices
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.stacking import Pieces
from rivetwright.model.shop import Shop


@dataclass(frozen=True)
class SetWith:
    """A squeezer with a yoke; `gap_mm` is the closed gap of its set-up card."""

    squeezer: str
    yoke: str
    dies: tuple[str, ...]
    shims_mm: tuple[float, ...]
    gap_mm: float | None

    @property
    def key(self) -> str:
        """A name for it on a form."""
        return f"{self.yoke} {self.squeezer}"


def set_with(
    worked_plan: WorkedPlan, shop: Shop | None, hole: int
) -> tuple[SetWith, ...]:
    """Every squeezer with every yoke that is rated for the rivet of a hole."""
    choices = set_up_choices(worked_plan, shop, hole)
    return tuple(_set_with(one.set_up) for one in choices)


def _set_with(set_up: SetUp) -> SetWith:
    """A set-up as a head check tells it."""
    pieces = set_up.pieces
    return SetWith(
        set_up.squeezer.title,
        set_up.yoke.id,
        _dies(pieces) if pieces else (),
        pieces.shims_mm if pieces else (),
        set_up.gap_mm,
    )


def _dies(pieces: Pieces) -> tuple[str, ...]:
    """Dies and pin by kind and length, as one tells them apart in the drawer."""
    named = [("fixed", pieces.fixed), ("ram", pieces.ram)]
    dies = [f"{at} {one.kind} {one.length_mm:g} mm" for at, one in named if one]
    pin = [f"pin {pieces.pin_mm:g} mm"] if pieces.pin_mm else []
    turned = [f"turned {pieces.turned_mm:g} mm"] if pieces.turned_mm else []
    return (*dies, *pin, *turned)


def usual_with(heads: Heads, choices: tuple[SetWith, ...], hole: int) -> SetWith | None:
    """What this head was most likely set with, by what the record says of its set-up.

    The last head of the same set-up and callout tells; else the yoke that the rivet's
    own set-up names. None where neither does: then nobody is told a guess.
    """
    rivet = heads.now(hole).rivet
    if rivet is None:
        return None
    told = [
        one.body
        for one in heads.every()
        if one.body.yoke
        and (one.seen.setup, one.seen.callout) == (rivet.setup, rivet.callout)
    ]
    for one in choices:
        if told and (told[-1].squeezer, told[-1].yoke) == (one.squeezer, one.yoke):
            gap_mm = told[-1].die_gap_mm
            return SetWith(
                one.squeezer, one.yoke, told[-1].dies, told[-1].shims_mm, gap_mm
            )
    named = rivet.setup.rpartition("|")[2].split(",")
    return next((one for one in choices if one.yoke in named), None)
