"""Whether the jaws open over the rivet and the flange, and what the dies engage."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.engines.squeeze.stacking import Pieces
from rivetwright.model.shop import Die
from rivetwright.standards.squeeze import squeeze_figure
from rivetwright.units.tolerance import is_less

CLEARANCE_MM = squeeze_figure("opening clearance")


@dataclass(frozen=True)
class Opening:
    """Room between the dies with the ram back, and what has to pass through it.

    `without_ram_die_mm` is the room while the ram die and its shims are out, which
    may then be put in behind a flange.
    """

    has_mm: float
    needs_over_rivet_mm: float
    needs_over_flange_mm: float
    without_ram_die_mm: float

    @property
    def is_over_rivet(self) -> bool:
        """Whether it slides on over the rivet."""
        return not is_less(self.has_mm, self.needs_over_rivet_mm)

    @property
    def is_over_flange(self) -> bool:
        """Whether it passes the flange with both dies in."""
        return not is_less(self.has_mm, self.needs_over_flange_mm)

    @property
    def is_over_flange_bare(self) -> bool:
        """Whether it passes the flange while the ram die is out."""
        return not is_less(self.without_ram_die_mm, self.needs_over_flange_mm)


def opening_of(
    gap_mm: float, stroke_mm: float, pieces: Pieces, over_mm: float, flange_mm: float
) -> Opening:
    """Room between the dies with the ram back, over a rivet and a flange.

    Args:
        gap_mm: closed gap with no load [mm].
        stroke_mm: how far the ram goes back [mm].
        pieces: what is put in.
        over_mm: rivet from end to end before it is set [mm].
        flange_mm: height of the flange to be passed, 0 where there is none [mm].

    Returns:
        What it has and what it needs, each with the clearance.

    Source: own geometry; clearance of squeeze_constants.csv, JUDGEMENT.
    """
    has = gap_mm + stroke_mm
    flange = flange_mm + CLEARANCE_MM if flange_mm > 0 else 0.0
    ram = pieces.ram.length_mm + sum(pieces.shims_mm)
    return Opening(has, over_mm + CLEARANCE_MM, flange, has + ram)


@dataclass(frozen=True)
class Engaged:
    """How much of a die's shank or thread sits in its seat, and the least it must.

    `where` is fixed or ram. None where the shop file gives none.
    """

    where: str
    engaged_mm: float | None
    least_mm: float | None

    @property
    def is_known(self) -> bool:
        """Whether both are known; else a person has to look."""
        return self.engaged_mm is not None and self.least_mm is not None


def _engaged(where: str, die: Die, less_mm: float) -> Engaged:
    """Engagement of one die that stands so much further out."""
    engaged = None if die.engaged_mm is None else die.engaged_mm - less_mm
    return Engaged(where, engaged, die.engaged_min_mm)


def engagement_of(pieces: Pieces) -> tuple[Engaged, ...]:
    """What each die still engages: less under shims, less when it is turned out."""
    turns_fixed = pieces.fixed is not None and pieces.fixed.length_max_mm is not None
    out_fixed = pieces.turned_mm if turns_fixed else 0.0
    out_ram = sum(pieces.shims_mm) + pieces.turned_mm - out_fixed
    ram = _engaged("ram", pieces.ram, out_ram)
    if pieces.fixed is None:
        return (ram,)
    return _engaged("fixed", pieces.fixed, out_fixed), ram
