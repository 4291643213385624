"""The row finder: points with sizes -> named rows, each with how sure it is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import KDTree

from rivetwright.engines.row_finder.choose import Chosen, choose_lines
from rivetwright.engines.row_finder.circles import circles
from rivetwright.engines.row_finder.edges import distance_to_edge_mm, rows_along_edges
from rivetwright.engines.row_finder.fits import ArcFit, StraightFit
from rivetwright.engines.row_finder.lines import (
    CIRCLE,
    EDGE,
    NOWHERE,
    STRAIGHT,
    STRAIGHT_LEAST,
    Line,
    lines_of,
    stretched,
)
from rivetwright.engines.row_finder.links import chains, link_holes
from rivetwright.model.pattern import Arc, Between, Pattern, Places, Point, Points

Ints = NDArray[np.int64]

FEW, GAPS, ANOTHER_WAY, UNEVEN = "few", "gaps", "another way", "uneven"
PASSES = 4
# A short piece is carried on over gaps only from a hole to one of so many neighbours.
NEAR, LONG = 4, 5


@dataclass(frozen=True)
class LeftOut:
    """A position of a row without a hole of its own: `hole` lies there, or None."""

    number: int
    hole: int | None


@dataclass(frozen=True)
class FoundRow:
    """Holes that look like a row; numbers count positions from 1.

    `holes` are points by their index, in order; `off_mm_max` how far the worst lies
    from its place in the pattern; `edge_mm` the distance to the edge it runs along.
    `doubts`: few (three holes), gaps, another way (its holes make other rows as well),
    uneven (more than half of the tolerance is used up).
    """

    name: str
    kind: str
    size: int
    holes: tuple[int, ...]
    pattern: Pattern
    pitch_mm: float
    off_mm_max: float
    left_out: tuple[LeftOut, ...] = ()
    edge_mm: float | None = None
    doubts: tuple[str, ...] = ()

    @property
    def missing(self) -> tuple[int, ...]:
        """Numbers of positions without a hole."""
        return tuple(one.number for one in self.left_out)

    @property
    def is_sure(self) -> bool:
        """Whether nothing speaks against it."""
        return not self.doubts


@dataclass(frozen=True)
class FoundRows:
    """Rows in order of their names, holes of no row, and points that repeat another."""

    rows: tuple[FoundRow, ...]
    left_over: tuple[int, ...]
    repeated: tuple[tuple[int, int], ...]


def find_rows(
    places_mm: Places,
    sizes: Ints,
    *,
    outlines_mm: Sequence[Places] = (),
    tolerance_mm: float = 0.25,
    prefix: str = "R",
) -> FoundRows:
    """Sort points into rows.

    A row is straight with one pitch, gaps allowed; an arc or a bolt circle; or follows
    an edge.  Only holes of one size make a row, and a hole is in one row at most.  The
    answer does not depend on the order of the points.

    Args:
        places_mm: places, shape (holes, 2) [mm].
        sizes: class of size of each, any whole number, shape (holes,) [-].
        outlines_mm: corners of the closed outlines round them [mm].
        tolerance_mm: how far a hole may lie from its place in the row [mm].
        prefix: what the names of rows begin with.

    Returns:
        Named rows, what is left over, and points that lie on one another.
    """
    order = np.lexsort((places_mm[:, 0], places_mm[:, 1], sizes))
    places, size = places_mm[order], sizes[order]
    repeated = _repeated(places, size, tolerance_mm)
    free = np.ones(len(places), dtype=bool)
    free[list(repeated)] = False
    taken: list[tuple[int, Chosen]] = []
    for one in np.unique(size).tolist():
        found = _rows_of_size(places, free & (size == one), outlines_mm, tolerance_mm)
        taken += [(one, chosen) for chosen in found]
    held = {hole for _, chosen in taken for hole in chosen.line.holes}
    everywhere = KDTree(places) if len(places) else None
    rows = [
        _row(places, one, chosen, outlines_mm, tolerance_mm, everywhere)
        for one, chosen in taken
    ]
    rows.sort(key=lambda row: _turn(row, places))
    left_over = (k for k in np.flatnonzero(free).tolist() if k not in held)
    return FoundRows(
        tuple(_renumbered(row, f"{prefix}{k}", order) for k, row in enumerate(rows, 1)),
        tuple(int(order[k]) for k in left_over),
        tuple((int(order[k]), int(order[of])) for k, of in repeated.items()),
    )


def _repeated(places: Places, size: Ints, tolerance_mm: float) -> dict[int, int]:
    """Points of one size that lie on an earlier one, and on which."""
    if len(places) < 2:
        return {}
    pairs = KDTree(places).query_pairs(tolerance_mm, output_type="ndarray")
    repeated: dict[int, int] = {}
    for first, second in sorted(np.sort(pairs, axis=1).tolist()):
        if size[first] == size[second] and first not in repeated:
            repeated.setdefault(second, first)
    return repeated


def _rows_of_size(
    places: Places,
    free: NDArray[np.bool_],
    outlines_mm: Sequence[Places],
    tolerance_mm: float,
) -> list[Chosen]:
    """Rows among the free points, longest first; what is left is looked at again."""
    found: list[Chosen] = []
    left = np.flatnonzero(free)
    for _ in range(PASSES):
        if len(left) < STRAIGHT_LEAST:
            return found
        fresh = choose_lines(_lines(places[left], tolerance_mm), places[left])
        if not fresh:
            break
        found += [Chosen(_named(one.line, left), one.rivals) for one in fresh]
        gone = [hole for one in fresh for hole in one.line.holes]
        left = np.delete(left, gone)
    along = rows_along_edges(places[left], outlines_mm, tolerance_mm)
    return [*found, *(Chosen(_named(line, left)) for line in along)]


def _lines(places: Places, tolerance_mm: float) -> list[Line]:
    """Every line that might be a row."""
    tree = KDTree(places)
    found = list(chains(link_holes(places, tree, tolerance_mm)))
    lines = [
        line
        for chain in found
        if len(chain) >= STRAIGHT_LEAST
        for line in lines_of(chain, places, tolerance_mm)
    ]
    pieces = [line.positions for line in lines if line.kind == STRAIGHT]
    pieces += [chain for chain in found if len(chain) < STRAIGHT_LEAST]
    likely = _likely(pieces, places, tree)
    grown = stretched(likely, places, tree, tolerance_mm)
    return [*lines, *grown, *circles(places, tree, tolerance_mm)]


def _likely(
    pieces: list[tuple[int, ...]], places: Places, tree: KDTree
) -> list[tuple[int, ...]]:
    """Pieces that may be part of a row with gaps: long, or from hole to neighbour."""
    if not pieces:
        return []
    nearest = np.asarray(tree.query(places, k=min(NEAR + 1, len(places)))[0])[:, -1]
    first, second, last = np.array([(one[0], one[1], one[-1]) for one in pieces]).T
    pitch = np.hypot(*(places[second] - places[first]).T)
    is_near = pitch <= np.maximum(nearest[first], nearest[last]) + 1e-3
    is_long = np.array([len(one) >= LONG for one in pieces])
    return [pieces[k] for k in np.flatnonzero(is_near | is_long)]


def _named(line: Line, left: Ints) -> Line:
    """The same line in the numbers of all points."""
    positions = (NOWHERE if k == NOWHERE else int(left[k]) for k in line.positions)
    return Line(line.kind, tuple(positions))


def _row(
    places: Places,
    size: int,
    chosen: Chosen,
    outlines_mm: Sequence[Places],
    tolerance_mm: float,
    everywhere: KDTree | None,
) -> FoundRow:
    """A row out of a line: the way it runs, its pattern and its doubts."""
    line = _facing(chosen.line, places)
    spots = places[list(line.holes)]
    if line.kind == EDGE:
        steps = np.hypot(*np.diff(spots, axis=0).T)
        pattern: Pattern = Points(tuple(_point(spot) for spot in spots))
        pitch_mm, off_mm = float(steps.mean()), 0.0
    else:
        fit = line.fit(places)
        assert fit is not None, "a line was chosen by its fit"
        pattern = _pattern(line, fit)
        pitch_mm, off_mm = fit.pitch_mm, float(fit.off_mm.max())
    left_out = []
    for k, hole in enumerate(line.positions):
        if hole == NOWHERE and everywhere is not None:
            miss, there = everywhere.query(pattern.places_mm()[k])
            lies_there = int(there) if miss <= 2 * tolerance_mm else None
            left_out.append(LeftOut(k + 1, lies_there))
    doubts = {
        FEW: len(line.holes) <= STRAIGHT_LEAST,
        GAPS: bool(left_out),
        ANOTHER_WAY: chosen.rivals > 0,
        UNEVEN: off_mm > tolerance_mm / 2,
    }
    return FoundRow(
        name="",
        kind=line.kind,
        size=size,
        holes=line.holes,
        pattern=pattern,
        pitch_mm=round(pitch_mm, 4),
        off_mm_max=off_mm,
        left_out=tuple(left_out),
        edge_mm=distance_to_edge_mm(spots, outlines_mm, tolerance_mm),
        doubts=tuple(doubt for doubt, is_so in doubts.items() if is_so),
    )


def _facing(line: Line, places: Places) -> Line:
    """The line from left to right, or upward; round a centre counter-clockwise."""
    positions = line.positions
    ends = places[line.holes[-1]] - places[line.holes[0]]
    if line.kind in (STRAIGHT, EDGE):
        along = ends[0] if abs(ends[0]) >= abs(ends[1]) else ends[1]
        return Line(line.kind, positions if along >= 0 else positions[::-1])
    fit = line.fit(places)
    if isinstance(fit, ArcFit) and fit.turn_rad < 0:
        positions = positions[::-1]
    if line.kind != CIRCLE:
        return Line(line.kind, positions)
    assert isinstance(fit, ArcFit), "a circle has a centre"
    # A ring begins at the hole at the least angle, from the right counter-clockwise.
    spokes = {
        k: (places[hole] - fit.centre_mm)
        for k, hole in enumerate(positions)
        if hole >= 0
    }
    angles = {
        k: math.atan2(spoke[1], spoke[0]) % math.tau for k, spoke in spokes.items()
    }
    first = min(angles, key=lambda k: 0.0 if math.tau - angles[k] < 1e-3 else angles[k])
    return Line(line.kind, positions[first:] + positions[:first])


def _pattern(line: Line, fit: StraightFit | ArcFit) -> Pattern:
    """The pattern of a straight row, an arc or a circle."""
    count = len(line.positions)
    if isinstance(fit, StraightFit):
        first, last = fit.place_mm(0.0), fit.place_mm(float(count - 1))
        return Between(_point(first), _point(last), count)
    first_deg = math.degrees(fit.first_rad)
    first_deg -= 360.0 * math.floor(first_deg / 360.0 + 1e-9)
    turn = 360.0 if line.kind == CIRCLE else math.degrees(fit.turn_rad) * (count - 1)
    centre = _point(np.asarray(fit.centre_mm))
    from_deg, to_deg = round(first_deg, 6) + 0.0, round(first_deg + turn, 6) + 0.0
    return Arc(centre, round(fit.radius_mm, 4), from_deg, to_deg, count)


def _point(place: Places) -> Point:
    """A place to a ten-thousandth of a millimetre."""
    return round(float(place[0]), 4) + 0.0, round(float(place[1]), 4) + 0.0


def _turn(row: FoundRow, places: Places) -> tuple[int, float, float, tuple[int, ...]]:
    """When a row is named: along rows from the bottom up, then upright ones, arcs."""
    first, last = places[row.holes[0]], places[row.holes[-1]]
    if row.kind == STRAIGHT:
        is_along = abs(last[0] - first[0]) >= abs(last[1] - first[1])
        across, along = (first[1], first[0]) if is_along else (first[0], first[1])
        return 0 if is_along else 1, round(float(across)), float(along), row.holes
    low = places[list(row.holes)].min(axis=0)
    rank = 3 if row.kind == EDGE else 2
    return rank, round(float(low[1])), float(low[0]), row.holes


def _renumbered(row: FoundRow, name: str, order: Ints) -> FoundRow:
    """A row with its name, in the numbers the points came in."""
    left_out = tuple(
        LeftOut(one.number, None if one.hole is None else int(order[one.hole]))
        for one in row.left_out
    )
    holes = tuple(int(order[hole]) for hole in row.holes)
    return replace(row, name=name, holes=holes, left_out=left_out)
