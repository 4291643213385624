"""Outlines of parts as they lie in a face, and the holes cut out of them."""

from __future__ import annotations

from dataclasses import dataclass, field

from rivetwright.model.pattern import Point

FREE = "free"
BEND = "bend"


@dataclass(frozen=True)
class Outline:
    """A closed outline with, for each side, whether it is a free edge or a bend.

    Side `k` runs from corner `k` to corner `k + 1`. A *bend* side is where the
    sheet turns away: a bend, the foot of a standing leg, a closed end. It is no
    free edge. Its line is the outer face of the turned-up leg.
    `written` keeps the short form it was typed in (a rectangle), for writing back.
    """

    corners_mm: tuple[Point, ...]
    sides: tuple[str, ...]
    written: str = "polygon"

    @classmethod
    def rectangle(
        cls,
        u_mm: tuple[float, float],
        v_mm: tuple[float, float],
        bends: tuple[str, ...] = (),
    ) -> Outline:
        """A rectangle; `bends` names sides out of u0, u1, v0, v1."""
        (u0, u1), (v0, v1) = u_mm, v_mm
        corners = ((u0, v0), (u1, v0), (u1, v1), (u0, v1))
        sides = tuple(BEND if s in bends else FREE for s in ("v0", "u1", "v1", "u0"))
        return cls(corners, sides, "rectangle")


@dataclass(frozen=True)
class CutOut:
    """A round or many-cornered hole in a part; its rim is a free edge too."""

    centre_mm: Point | None = None
    radius_mm: float | None = None
    corners_mm: tuple[Point, ...] = ()
    note: str = ""

    @property
    def is_round(self) -> bool:
        """Whether it is a circle."""
        return self.radius_mm is not None


AWAY, TOWARD = "away", "toward"


@dataclass(frozen=True)
class Leg:
    """A flange or leg standing up along a side of an outline that is a bend.

    `side` is the index of the side; `height_mm` from the sheet's face to its free
    edge; `stands` away from the side seen, or toward it.
    """

    side: int
    height_mm: float
    stands: str = AWAY


@dataclass(frozen=True)
class Layer:
    """One part lying in a face.

    `from_step`: present once this step is begun; empty means always.
    `for_open`: present only where the open holes of that name are set, for a
    part that has no step of its own (it comes when it comes).
    """

    part: str
    outline: Outline
    cut_outs: tuple[CutOut, ...] = ()
    from_step: str = ""
    for_open: str = ""
    legs: tuple[Leg, ...] = ()


# What a side is called on the face as drawn where the plan gives no name.
USUAL_EDGES = (("u0", "left"), ("u1", "right"), ("v0", "lower"), ("v1", "upper"))


@dataclass(frozen=True)
class Face:
    """A flat or unrolled surface in which parts lie over each other.

    Layers are listed from the near side (the side seen) to the far side.
    `edges` names the four sides for people: u0, u1, v0, v1. `taper_mm` is the free
    depth behind it once the box is closed; `opposite` the face on the other side of
    that depth, in the same u and v.
    """

    name: str
    title: str
    layers: tuple[Layer, ...]
    axis_u: str = ""
    axis_v: str = ""
    side_seen: str = ""
    edges: tuple[tuple[str, str], ...] = field(default=())
    taper_mm: tuple[tuple[float, float], ...] = ()
    opposite: str = ""

    @property
    def edge_names(self) -> dict[str, str]:
        """What each side is called: as the plan names it, else as the face is drawn."""
        return dict(USUAL_EDGES) | dict(self.edges)
