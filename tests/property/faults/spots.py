"""Faults of place: edges, neighbours, rows, bends, parts beside."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from rivetwright.model.outline import FREE, CutOut, Layer, Outline
from rivetwright.model.pattern import Point, Points
from rivetwright.model.plan import FAR
from rivetwright.standards.codes import RivetCode
from tests.property.faults.assemblies import IN, Assembly
from tests.property.faults.drawing_office import (
    PLACED_JOINTS,
    TRIES,
    Names,
    add_beside,
    face_of,
    fault,
    names_of,
    put_layer,
    rows_of,
    shank_mm,
    spots_on,
)
from tests.property.faults.figures import FLUSH_WIDTH_IN, UNIVERSAL_WIDTH_IN
from tests.property.oracle.plain import edge_distances, holds


def near_edges(made: Assembly, face: int, layer: Layer) -> dict[str, float]:
    """Edge distance in diameters on one layer, of the holes that go through it."""
    found = {}
    for name, (k, place) in spots_on(made, face).items():
        in_stack = layer.part in {s.part for s in made.sheets[made.rows[k].name]}
        if in_stack and holds(layer, place):
            least = min(edge_distances(layer, place, FREE))
            found[name] = least / shank_mm(made.rows[k])
    return found


def short_edge(made: Assembly, chance: Random, low: float, high: float) -> Names:
    """An edge trimmed or a hole cut so that some rivets stand too near it."""
    for _ in range(TRIES):
        k = chance.choice(rows_of(made, PLACED_JOINTS))
        face = face_of(made, k)
        spots = spots_on(made, face)
        at = chance.randrange(len(made.faces[face].layers))
        layer = made.faces[face].layers[at]
        before = near_edges(made, face, layer)
        mine = [name for name in before if spots[name][0] == k]
        if not mine:
            continue
        target = chance.choice(mine)
        ratio = chance.uniform(low, high)
        make = chance.choice((cut_beside, trimmed))
        changed = make(chance, layer, spots[target][1], ratio * shank_mm(made.rows[k]))
        after = near_edges(made, face, changed) if changed else {}
        near = {name: r for name, r in after.items() if r < 2.02}
        is_right = all(low - 0.02 < r < high + 0.02 for r in near.values())
        if set(after) == set(before) and near and is_right:
            put_layer(made, face, at, changed)
            return frozenset(near)
    raise AssertionError("no room for a cut")


def cut_beside(
    chance: Random, layer: Layer, place: Point, away_mm: float
) -> Layer | None:
    """A round or square hole cut into a layer, its rim so far from a place."""
    half = chance.uniform(1.0, 6.0)
    x, y = place
    sign, across = chance.choice((-1, 1)), chance.choice((True, False))
    far = sign * (away_mm + half)
    centre = (x, y + far) if across else (x + far, y)
    if not holds(layer, centre) or min(edge_distances(layer, centre, "")) < 1.5 * half:
        return None
    if chance.random() < 0.5:
        cut = CutOut(centre, half)
    else:
        cut = CutOut(corners_mm=square(centre, half), note="notch")
    return replace(layer, cut_outs=(*layer.cut_outs, cut))


def square(centre: Point, half_mm: float) -> tuple[Point, ...]:
    """Corners of a square round a place."""
    u, v = centre
    turns = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple((u + a * half_mm, v + b * half_mm) for a, b in turns)


def trimmed(chance: Random, layer: Layer, place: Point, away_mm: float) -> Layer | None:
    """A rectangle with one free side moved in to lie so far from a place."""
    corners = list(layer.outline.corners_mm)
    if len(corners) != 4:
        return None
    side = chance.choice([k for k, s in enumerate(layer.outline.sides) if s == FREE])
    (x0, y0), (x1, y1) = corners[side], corners[(side + 1) % 4]
    if abs(x0 - x1) < 1e-6:
        at = place[0] + (away_mm if x0 > place[0] else -away_mm)
        moved = ((at, y0), (at, y1))
    else:
        at = place[1] + (away_mm if y0 > place[1] else -away_mm)
        moved = ((x0, at), (x1, at))
    corners[side], corners[(side + 1) % 4] = moved
    return replace(layer, outline=Outline(tuple(corners), layer.outline.sides))


@fault("EDGE-01")
def far_too_near_an_edge(made: Assembly, chance: Random) -> Names:
    """Under 1.5 D to an edge."""
    return short_edge(made, chance, 0.8, 1.46)


@fault("EDGE-02")
def near_an_edge(made: Assembly, chance: Random) -> Names:
    """Between 1.5 D and 2 D to an edge."""
    return short_edge(made, chance, 1.54, 1.96)


def hole_beside(made: Assembly, chance: Random, low: float, high: float) -> Names:
    """A hole more, in a row of its own, so many diameters from one of a row."""
    k = chance.choice(rows_of(made, PLACED_JOINTS[:-1]))
    row = made.rows[k]
    at = chance.randrange(row.pattern.count - 1)
    here, onward = row.pattern.places_mm()[at : at + 2].tolist()
    pitch = ((onward[0] - here[0]) ** 2 + (onward[1] - here[1]) ** 2) ** 0.5
    share = chance.uniform(low, high) * shank_mm(row) / pitch
    place = tuple(a + share * (b - a) for a, b in zip(here, onward, strict=True))
    new = replace(row, id=f"{row.id}+", name=f"{row.name}X", pattern=Points((place,)))
    made.rows.append(new)
    return frozenset({f"{row.name}:{at + 1}", f"{new.name}:1"})


@fault("PITCH-01")
def pitch_short(made: Assembly, chance: Random) -> Names:
    """Two holes at under 3 D, their heads clear of each other."""
    return hole_beside(made, chance, 2.05, 2.95)


@fault("PITCH-02")
def same_hole_twice(made: Assembly, chance: Random) -> Names:
    """Two holes so near that heads overlap, or the same hole described twice."""
    if chance.random() < 0.3:
        return hole_beside(made, chance, 0.0, 0.0)
    return hole_beside(made, chance, 0.1, 1.7)


@fault("ROW-01")
def row_between(made: Assembly, chance: Random) -> Names:
    """A staggered row too near beside one of the two of a doubler."""
    rows = rows_of(made, ("patch",))
    chance.shuffle(rows)
    beside, other = (made.rows[k] for k in rows)
    one, two = beside.pattern.places_mm(), other.pattern.places_mm()
    across_mm = float(((two[0] - one[0]) ** 2).sum() ** 0.5)
    d = shank_mm(beside)
    share = chance.uniform(1.2 * d, min(2.4 * d, across_mm - 2.55 * d)) / across_mm
    middles = (one[:-1] + one[1:]) / 2 + share * (two[0] - one[0])
    places = tuple((float(x), float(y)) for x, y in middles)
    new = replace(
        beside, id=f"{beside.id}+", name=f"{beside.name}X", pattern=Points(places)
    )
    made.rows.append(new)
    return names_of(beside) | names_of(new)


@fault("CLEAR-01")
def larger_bend(made: Assembly, chance: Random) -> Names:
    """A bend so round that heads of the row beside it sit on the curve."""
    k = chance.choice(rows_of(made, ("universal ribs", "flush ribs")))
    rib = made.sheets[made.rows[k].name][1].part
    part = made.parts[rib]
    assert part.bend_radius_mm is not None
    grown = part.bend_radius_mm + chance.uniform(0.3, 1.0) * shank_mm(made.rows[k])
    made.parts[rib] = replace(part, bend_radius_mm=grown)
    on_it = [r for r in made.rows if rib in {s.part for s in made.sheets[r.name]}]
    return frozenset().union(*(names_of(row) for row in on_it))


def part_beside(made: Assembly, chance: Random, *, on_head: bool) -> Names:
    """A small part lying beside a hole, on the head's or the shop head's side."""
    for _ in range(TRIES):
        k = chance.choice(rows_of(made, PLACED_JOINTS))
        row, face = made.rows[k], face_of(made, k)
        callout = row.callout
        assert isinstance(callout, RivetCode)
        width = FLUSH_WIDTH_IN if callout.is_flush else UNIVERSAL_WIDTH_IN
        head_mm = width[callout.diameter_32nds] / 2 * IN
        radius = head_mm if on_head else 1.75 * shank_mm(row) / 2
        spots = spots_on(made, face)
        mine = [n for n, (r, _) in spots.items() if r == k]
        target = chance.choice(mine)
        x, y = spots[target][1]
        half, gap = chance.uniform(2.0, 5.0), chance.uniform(0.3, 0.95) * radius
        sign = chance.choice((-1, 1))
        away = sign * (half + gap)
        centre = (x + away, y) if chance.random() < 0.5 else (x, y + away)
        outline = Outline(square(centre, half), (FREE,) * 4)
        layer = Layer(f"{len(made.parts)}X", outline)
        others = [spot for name, (_, spot) in spots.items() if name != target]
        is_alone = all(
            min(edge_distances(layer, o, "")) > 1.1 * head_mm and not holds(layer, o)
            for o in others
        )
        if is_alone:
            add_beside(made, face, layer, first=(row.head_side == FAR) != on_head)
            return frozenset({target})
    raise AssertionError("no room for a part")


@fault("CLEAR-02")
def step_under_head(made: Assembly, chance: Random) -> Names:
    """A part's edge under the manufactured head."""
    return part_beside(made, chance, on_head=True)


@fault("CLEAR-03")
def step_under_shop_head(made: Assembly, chance: Random) -> Names:
    """A part's edge where the shop head forms."""
    return part_beside(made, chance, on_head=False)
