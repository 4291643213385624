"""What a head may have been set with: squeezer and yoke, with what the card puts in."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rivetwright.bench.heads import Heads
from rivetwright.bench.set_up_card import set_up_choices
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.stacking import Pieces
from rivetwright.model.shop import Shop
from rivetwright.record.kinds import HeadChecked
from rivetwright.units.tolerance import TOLERANCE_MM


@dataclass(frozen=True)
class SetWith:
    """A squeezer with a yoke; `gap_mm` is the closed gap of its set-up card.

    `before_mm` is the gap that the last head of this set-up was told to be set with,
    where the card has another one by now: then one must say which it was.
    """

    squeezer: str
    yoke: str
    dies: tuple[str, ...]
    shims_mm: tuple[float, ...]
    gap_mm: float | None
    before_mm: float | None = None

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


def moved_since(
    heads: Heads, choices: tuple[SetWith, ...], hole: int
) -> tuple[SetWith, ...]:
    """Choices whose card has moved since a head was last told to be set with them.

    Heads teach the card, and a card that moved is not yet a shim that was changed.
    """
    told = {
        (one.squeezer, one.yoke): one.die_gap_mm
        for one in _told(heads, hole)
        if one.die_gap_mm is not None
    }
    return tuple(_moved(one, told.get((one.squeezer, one.yoke))) for one in choices)


def _moved(one: SetWith, before_mm: float | None) -> SetWith:
    if before_mm is None or one.gap_mm is None:
        return one
    is_same = abs(before_mm - one.gap_mm) <= TOLERANCE_MM
    return one if is_same else replace(one, before_mm=before_mm)


def _told(heads: Heads, hole: int) -> list[HeadChecked]:
    """Looks of the same set-up and callout that tell a yoke, the latest last."""
    rivet = heads.now(hole).rivet
    if rivet is None:
        return []
    return [
        one.body
        for one in heads.every()
        if one.body.yoke
        and (one.seen.setup, one.seen.callout) == (rivet.setup, rivet.callout)
    ]


def usual_with(heads: Heads, choices: tuple[SetWith, ...], hole: int) -> SetWith | None:
    """What this head was most likely set with, by what the record says of its set-up.

    The last head of the same set-up and callout tells; else the yoke that the rivet's
    own set-up names. None where neither does: then nobody is told a guess.
    """
    rivet = heads.now(hole).rivet
    if rivet is None:
        return None
    told = _told(heads, hole)
    for one in choices:
        if told and (told[-1].squeezer, told[-1].yoke) == (one.squeezer, one.yoke):
            return one
    named = rivet.setup.rpartition("|")[2].split(",")
    return next((one for one in choices if one.yoke in named), None)
