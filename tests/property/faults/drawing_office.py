"""What the faults share: which rows there are, where their holes lie, changing them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random

from rivetwright.model.columns import expand
from rivetwright.model.outline import Layer
from rivetwright.model.pattern import Point
from rivetwright.model.plan import Row, Sheet
from rivetwright.standards.codes import RivetCode, rivet_code
from tests.property.faults.assemblies import WHOLE_ONLY, Assembly
from tests.property.faults.figures import Joint, supplied

Names = frozenset[str]
Inject = Callable[[Assembly, Random], Names]
FAULTS: dict[str, Inject] = {}
TRIES = 2000
FLUSH_JOINTS = ("flush ribs", "countersunk", "nested")
PLACED_JOINTS = (
    *("universal ribs", "flush ribs", "patch", "beside patch", "countersunk"),
    *("nested", "ring"),
)


def fault(code: str) -> Callable[[Inject], Inject]:
    """Register a function as the fault that this code must find."""

    def register(function: Inject) -> Inject:
        assert code not in FAULTS
        FAULTS[code] = function
        return function

    return register


@dataclass(frozen=True)
class Use:
    """Holes that share stack and callout: a row, or the open holes of one."""

    row: int
    opened: int
    sheets: tuple[Sheet, ...]
    callout: RivetCode
    joint: Joint
    holes: Names

    @property
    def key(self) -> tuple[object, ...]:
        """What two uses share when one callout should do for both."""
        return (self.callout.kind, self.joint)

    @property
    def lengths(self) -> list[float]:
        """Length codes in the bag for this diameter."""
        return [float(c) for c in supplied(self.callout.diameter_32nds, WHOLE_ONLY)]


def names_of(row: Row, first: int = 1, last: int = 0) -> Names:
    """Names of the holes of a row, all or some."""
    return frozenset(
        f"{row.name}:{k}" for k in range(first, (last or row.pattern.count) + 1)
    )


def solid_uses(made: Assembly) -> list[Use]:
    """Every row of solid rivets, and the open holes apart."""
    found = []
    for k, row in enumerate(made.rows):
        callout = row.callout
        if not isinstance(callout, RivetCode):
            continue
        here, sheets = names_of(row), made.sheets[row.name]
        for o, opened in enumerate(made.open_holes):
            (span,) = opened.holes
            if span.row == row.name:
                kept = names_of(row, span.first, span.last)
                here -= kept
                whole = (*sheets, Sheet(opened.part))
                later = opened.callout
                assert isinstance(later, RivetCode)
                joint = made.joint_of(whole, later.diameter_32nds, later.is_flush)
                found.append(Use(k, o, whole, later, joint, kept))
        joint = made.joint_of(sheets, callout.diameter_32nds, callout.is_flush)
        found.append(Use(k, -1, sheets, callout, joint, here))
    return found


def alike(made: Assembly, one: Use) -> list[Use]:
    """All uses that one slip of the drawing office would change together."""
    return [use for use in solid_uses(made) if use.key == one.key]


def call_out(made: Assembly, uses: Iterable[Use], length: float) -> Names:
    """Give some uses another length; the holes they stand for."""
    holes: Names = frozenset()
    for use in uses:
        old = use.callout
        sixteenths = Fraction(length)
        called = rivet_code(old.standard, "AD", old.diameter_32nds, sixteenths)
        if use.opened >= 0:
            opened = made.open_holes[use.opened]
            made.open_holes[use.opened] = replace(opened, callout=called)
        else:
            made.rows[use.row] = replace(made.rows[use.row], callout=called)
        holes |= use.holes
    return holes


def rows_of(made: Assembly, joints: Sequence[str]) -> list[int]:
    """Rows of some kinds of joint."""
    return [k for k, r in enumerate(made.rows) if made.joints[r.name] in joints]


def change(made: Assembly, k: int, **changes: object) -> Names:
    """Change a row; the names of its holes."""
    made.rows[k] = replace(made.rows[k], **changes)  # type: ignore[arg-type]
    return names_of(made.rows[k])


def places_of(made: Assembly) -> dict[str, tuple[int, Point]]:
    """Row and place of every hole that has one."""
    holes = expand(made.plan())
    columns = (holes.row.tolist(), holes.x_mm.tolist(), holes.y_mm.tolist())
    spots = zip(*columns, strict=True)
    named = {holes.name(k): (r, (x, y)) for k, (r, x, y) in enumerate(spots)}
    return {name: spot for name, spot in named.items() if spot[1][0] == spot[1][0]}


def face_of(made: Assembly, k: int) -> int:
    """Index of the face a row lies on."""
    return [face.name for face in made.faces].index(made.rows[k].face)


def shank_mm(row: Row) -> float:
    """Diameter of the rivet of a row [mm]."""
    return float(row.callout.diameter_mm)


def spots_on(made: Assembly, face: int) -> dict[str, tuple[int, Point]]:
    """Row and place of every hole on a face."""
    found = places_of(made).items()
    return {name: spot for name, spot in found if face_of(made, spot[0]) == face}


def put_layer(made: Assembly, face: int, at: int, layer: Layer | None) -> None:
    """Put a layer into a face in place of another, or take that one out."""
    layers = list(made.faces[face].layers)
    layers[at : at + 1] = [] if layer is None else [layer]
    made.faces[face] = replace(made.faces[face], layers=tuple(layers))


def add_beside(made: Assembly, face: int, layer: Layer, *, first: bool) -> None:
    """Lay one more part on the near or the far side of a face."""
    made.parts[layer.part] = replace(
        next(iter(made.parts.values())), name=layer.part, title="packing"
    )
    old = made.faces[face].layers
    layers = (layer, *old) if first else (*old, layer)
    made.faces[face] = replace(made.faces[face], layers=layers)
