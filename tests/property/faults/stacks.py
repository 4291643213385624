"""Faults of the stack: what is written, what is missing, what comes later."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from rivetwright.model.outline import Layer, Outline
from rivetwright.model.plan import SKETCHED
from tests.property.faults.assemblies import LATER, Assembly
from tests.property.faults.drawing_office import (
    PLACED_JOINTS,
    Names,
    add_beside,
    change,
    face_of,
    fault,
    names_of,
    put_layer,
    rows_of,
    shank_mm,
    spots_on,
)
from tests.property.oracle.plain import holds


@fault("STACK-01")
def other_stack(made: Assembly, chance: Random) -> Names:
    """A written stack that the outlines do not give: other order, or other part."""
    k = chance.choice(rows_of(made, (*PLACED_JOINTS, "blind")))
    stack = list(made.sheets[made.rows[k].name])
    if len({sheet.preparation for sheet in stack}) == 1 and chance.random() < 0.5:
        stack.reverse()
    else:
        at = chance.randrange(len(stack))
        old = made.parts[stack[at].part]
        made.parts["900"] = replace(old, name="900", title="the other hand")
        stack[at] = replace(stack[at], part="900")
    return change(made, k, stack=tuple(stack), preparation=())


@fault("STACK-02")
def sheet_left_out(made: Assembly, chance: Random) -> Names:
    """A part not entered: one sheet is left."""
    rows = rows_of(made, ("universal ribs", "flush ribs", "blind", "ring", "counted"))
    k = chance.choice(rows)
    row = made.rows[k]
    if row.stack:
        return change(made, k, stack=row.stack[:1])
    face = face_of(made, k)
    spot = tuple(row.pattern.places_mm()[0].tolist())
    parts = {sheet.part for sheet in made.sheets[row.name][1:]}
    layers = enumerate(made.faces[face].layers)
    (at,) = [n for n, one in layers if one.part in parts and holds(one, spot)]
    put_layer(made, face, at, None)
    return names_of(row)


@fault("OPEN-01")
def later_part(made: Assembly, chance: Random) -> Names:
    """A later part over holes that nobody marked to stay open."""
    if chance.random() < 0.4:
        (opened,) = made.open_holes
        made.open_holes.clear()
        (span,) = opened.holes
        return frozenset(f"{span.row}:{n}" for n in range(span.first, span.last + 1))
    k = chance.choice(rows_of(made, PLACED_JOINTS))
    face, row = face_of(made, k), made.rows[k]
    at = chance.randrange(row.pattern.count - 1)
    pair = row.pattern.places_mm()[at : at + 2]
    room = 2 * shank_mm(row)
    (u0, v0), (u1, v1) = (pair.min(0) - room).tolist(), (pair.max(0) + room).tolist()
    outline = Outline.rectangle((u0, u1), (v0, v1))
    layer = Layer("901", outline, from_step=LATER)
    add_beside(made, face, layer, first=chance.random() < 0.5)
    spots = spots_on(made, face).items()
    return frozenset(name for name, (_, spot) in spots if holds(layer, spot))


@fault("TEXT-01")
def text_sets_all(made: Assembly, chance: Random) -> Names:
    """The words of the step set the whole row, open holes too."""
    (opened,) = made.open_holes
    (span,) = opened.holes
    made.text_sets = [f"{span.row}:1-{span.last}"]
    return frozenset(f"{span.row}:{n}" for n in range(span.first, span.last + 1))


@fault("PLACE-01")
def sketched(made: Assembly, chance: Random) -> Names:
    """A row placed by eye."""
    k = chance.choice(rows_of(made, (*PLACED_JOINTS, "later", "blind")))
    return change(made, k, places=SKETCHED)


@fault("REV-01")
def set_too_early(made: Assembly, chance: Random) -> Names:
    """Rivets set before a bulletin changed their row."""
    k = chance.choice(rows_of(made, (*PLACED_JOINTS, "counted")))
    last = chance.randint(1, made.rows[k].pattern.count)
    change(made, k, changed_by="SB-2")
    made.set_holes = [f"{made.rows[k].name}:1-{last}"]
    return names_of(made.rows[k], 1, last)
