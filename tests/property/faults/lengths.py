"""Faults of the rivet that is called for, and of how its sheets are prepared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from random import Random

from rivetwright.model.plan import Callout, Sheet
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import RivetCode, rivet_code
from tests.property.faults.assemblies import IN, WHOLE_ONLY, Assembly
from tests.property.faults.drawing_office import (
    FLUSH_JOINTS,
    PLACED_JOINTS,
    Names,
    alike,
    call_out,
    change,
    fault,
    rows_of,
    solid_uses,
)
from tests.property.faults.figures import (
    COUNTERSINK,
    COUNTERSINK_SHEET_IN,
    DIMPLE,
    HOLE_IN,
    PLAIN,
    handbook_length,
    metal,
    nested_land_in,
)


def slip_in_length(made: Assembly, chance: Random, verdict: str) -> Names:
    """A length whose metal has this verdict, wherever the joint is used."""
    uses = solid_uses(made)
    chance.shuffle(uses)
    for use in uses:
        fit = [n for n in use.lengths if metal(use.joint, n).verdict == verdict]
        if fit:
            nearest = fit[-3:] if verdict == "short" else fit[:3]
            return call_out(made, alike(made, use), chance.choice(nearest))
    raise AssertionError(f"no joint takes a rivet that is {verdict}")


@fault("LENGTH-01")
def too_short(made: Assembly, chance: Random) -> Names:
    """A callout too short to make a legal head."""
    return slip_in_length(made, chance, "short")


@fault("LENGTH-02")
def too_long(made: Assembly, chance: Random) -> Names:
    """A callout that is over-driven in any case."""
    return slip_in_length(made, chance, "long")


@fault("LENGTH-03")
def straddling(made: Assembly, chance: Random) -> Names:
    """A callout at an end of the window."""
    return slip_in_length(made, chance, "straddles")


@fault("LENGTH-05")
def twins_apart(made: Assembly, chance: Random) -> Names:
    """One of several like rows with another length; who is further off is named."""
    uses = [use for use in solid_uses(made) if len(alike(made, use)) > 1]
    use = chance.choice(uses)
    fit = [n for n in use.lengths if metal(use.joint, n).verdict == "inside"]
    fit.remove(float(use.callout.length_16ths))
    call_out(made, [use], chance.choice(fit))
    wanted = handbook_length(use.joint, WHOLE_ONLY)
    lengths = {one: one.callout.length_16ths for one in alike(made, use)}
    named = [
        one.holes
        for one, mine in lengths.items()
        if any(
            n != mine and abs(n - wanted) <= abs(mine - wanted)
            for n in lengths.values()
        )
    ]
    return frozenset().union(*named)


@fault("LENGTH-06")
def half_size(made: Assembly, chance: Random) -> Names:
    """A half size in a diameter that comes in whole lengths only."""
    uses = [u for u in solid_uses(made) if u.callout.diameter_32nds in WHOLE_ONLY]
    use = chance.choice(uses)
    whole = float(use.callout.length_16ths)
    halves = [whole - 0.5, whole + 0.5]
    fit = [n for n in halves if metal(use.joint, n).verdict == "inside"]
    return call_out(made, alike(made, use), chance.choice(fit))


@fault("GRIP-01")
def other_blind_code(made: Assembly, chance: Random) -> Names:
    """A blind rivet of the kit whose range does not hold the stack."""
    k = chance.choice(rows_of(made, ("blind", "blind flush")))
    called = made.rows[k].callout
    assert isinstance(called, KitBlindCode)
    others = [
        code
        for code in made.plan().blind_codes
        if code.head == called.head and code.code != called.code
    ]
    return change(made, k, callout=chance.choice(others))


@fault("HOLE-01")
def wrong_drill(made: Assembly, chance: Random) -> Names:
    """A drill written that belongs to another diameter."""
    k = chance.choice(rows_of(made, (*PLACED_JOINTS, "counted", "later")))
    callout = made.rows[k].callout
    assert isinstance(callout, RivetCode)
    sizes = [hole for n, hole in HOLE_IN.items() if n != callout.diameter_32nds]
    return change(made, k, drill_mm=chance.choice(sizes) * IN)


@fault("TABLE-01")
def unknown_head(made: Assembly, chance: Random) -> Names:
    """A reduced head or an oversize shank, whose figures no table has."""
    k = chance.choice(rows_of(made, FLUSH_JOINTS))
    callout = made.rows[k].callout
    assert isinstance(callout, RivetCode)
    standard = chance.choice(("NAS1097", "NAS1241"))
    called = rivet_code(standard, "AD", callout.diameter_32nds, callout.length_16ths)
    return change(made, k, callout=called)


def prepare(made: Assembly, k: int, hows: Sequence[str]) -> Names:
    """Prepare the sheets of a row anew, with the rivet that fits that."""
    row = made.rows[k]
    sheets = [(s.part, h) for s, h in zip(made.sheets[row.name], hows, strict=True)]
    stack = tuple(Sheet(*sheet) for sheet in sheets)
    made.sheets[row.name] = stack
    callout = row.callout
    if isinstance(callout, RivetCode):
        callout = made.rivet(sheets, callout.diameter_32nds, flush=callout.is_flush)
    if row.stack:
        return change(made, k, stack=stack, callout=callout)
    return change(made, k, preparation=tuple(sheets), callout=callout)


@fault("FLUSH-01")
def countersunk_thin(made: Assembly, chance: Random) -> Names:
    """A countersink asked for in a skin that should be dimpled."""
    k = chance.choice(rows_of(made, ("flush ribs",)))
    return prepare(made, k, (COUNTERSINK, PLAIN))


@fault("FLUSH-02")
def nested_too_deep(made: Assembly, chance: Random) -> Names:
    """A cap just thick enough for a countersink, not for one that takes a dimple."""
    k = chance.choice(rows_of(made, ("nested",)))
    skin, cap, plate = made.sheets[made.rows[k].name]
    callout = made.rows[k].callout
    assert isinstance(callout, RivetCode)
    n = callout.diameter_32nds
    thin_in = COUNTERSINK_SHEET_IN[n]
    made.parts[cap.part] = replace(made.parts[cap.part], thickness_mm=thin_in * IN)
    joint = made.joint_of((skin, cap, plate), n, True)
    assert nested_land_in(joint) < 0.0075
    return prepare(made, k, (DIMPLE, COUNTERSINK, PLAIN))


@fault("FLUSH-03")
def cones_that_do_not_meet(made: Assembly, chance: Random) -> Names:
    """Sheets whose preparation does not go with the head or with each other."""
    k = chance.choice(rows_of(made, ("flush ribs", "universal ribs", "blind flush")))
    if made.rows[k].callout.is_flush:
        hows = chance.choice(((DIMPLE, PLAIN), (PLAIN, DIMPLE), (PLAIN, PLAIN)))
    else:
        hows = chance.choice(((DIMPLE, PLAIN), (PLAIN, DIMPLE), (DIMPLE, DIMPLE)))
    if made.joints[made.rows[k].name] == "blind flush":
        # One dimple fewer, so the head height counts no longer as grip.
        loose = _loose_code(made.rows[k].callout)
        made.rows[k] = replace(made.rows[k], callout=loose)
    return prepare(made, k, hows)


def _loose_code(callout: Callout) -> KitBlindCode:
    """A code of the kit whose range holds a stack with and without its head."""
    assert isinstance(callout, KitBlindCode)
    return KitBlindCode(
        "BF4-9", "flush", callout.diameter_mm, Fraction(0), callout.grip_most_mm
    )
