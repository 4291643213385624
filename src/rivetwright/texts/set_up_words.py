"""A set-up of the squeezer in words: what to put in, what it gives, what to watch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rivetwright.engines.squeeze.buying import ShimToBuy
from rivetwright.engines.squeeze.change import Swap
from rivetwright.engines.squeeze.first_rivet import Told
from rivetwright.engines.squeeze.set_up import Verdict
from rivetwright.engines.squeeze.stacking import FLAT, Pieces
from rivetwright.model.shop import Die
from rivetwright.standards.spread import Spread
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import Said, System, say_value
from rivetwright.units.wording import show_fraction, show_number

SET_UP, DIE, CHANGE = "set_up", "set_up_die", "set_up_change"
STEP, PEDAL, CAUTION = "set_up_step", "set_up_pedal", "set_up_caution"
MM_PER_32ND = 25.4 / 32
# A force is no better known than its model: it is told in steps of these [N].
FORCE_STEP_N: Mapping[System, float] = {"in": 4.4482216152605 * 10, "mm": 50.0}
STOPS = (
    *(Verdict.NO_DIE, Verdict.NO_METAL),
    *(Verdict.DOES_NOT_OPEN, Verdict.TOO_NARROW),
)


@dataclass(frozen=True)
class Fact:
    """One line of a card: what, how much, in the other unit, and what is right."""

    name: str
    main: str
    other: str = ""
    note: str = ""


def word(key: str, **values: object) -> str:
    """Words of the section on set-ups, filled in."""
    return say_in(SET_UP, key, **values)


def say_in(section: str, key: str, **values: object) -> str:
    """Words of one of the sections on set-ups, filled in."""
    return catalogue().word(section, key).format_map(values)


def said(name: str, value: float, system: System) -> Said:
    """One figure by the unit at the end of its name; forces in whole tens."""
    if not name.endswith("_n"):
        return say_value(name, value, system)
    other: System = "mm" if system == "in" else "in"
    main, beside = (
        say_value(name, round(value / FORCE_STEP_N[s]) * FORCE_STEP_N[s], s).main
        for s in (system, other)
    )
    return Said(main, beside)


def length(length_mm: float, system: System) -> str:
    """A length in the plan's unit."""
    return said("length_mm", length_mm, system).main


def said_range(name: str, spread: Spread, system: System) -> Said:
    """A range of figures; one figure where both ends read alike."""
    low, high = (said(name, end, system) for end in (spread.low, spread.high))
    return Said(_from_to(low.main, high.main), _from_to(low.other, high.other))


def _from_to(low: str, high: str) -> str:
    """Two figures with the unit said once."""
    if low == high:
        return high
    unit = high.rpartition(" ")[2]
    return word("range", low=low.removesuffix(f" {unit}"), high=high)


def die_words(die: Die, system: System) -> str:
    """A die: kind, the rivet it fits, its working length."""
    kind, long = say_in(DIE, die.kind), length(die.length_mm, system)
    if die.diameter_32nds is None or die.kind == FLAT:
        return word("die", kind=kind, length=long)
    size = show_fraction(die.diameter_32nds * MM_PER_32ND)
    return word("die_sized", kind=kind, size=size, length=long)


def shims_words(shims_mm: tuple[float, ...], system: System) -> str:
    """Shims in a row: `.063 + .032 in`."""
    if not shims_mm:
        return word("none")
    *others, last = (length(shim, system) for shim in shims_mm)
    unit = last.rpartition(" ")[2]
    return " + ".join([*(one.removesuffix(f" {unit}") for one in others), last])


def pin_words(pin_mm: float, system: System) -> str:
    """The ram pin, by how much longer it is than the shortest."""
    if not pin_mm:
        return word("pin_short")
    return word("pin_longer", length=length(pin_mm, system))


def put_in(pieces: Pieces, system: System) -> list[Fact]:
    """What goes on the squeezer, from the ram to the fixed jaw."""
    other: System = "mm" if system == "in" else "in"

    def both(name: str, write: str, again: str) -> Fact:
        return Fact(word(name), write, again if again != write else "")

    fixed = pieces.fixed
    facts = [
        both("pin", *(pin_words(pieces.pin_mm, s) for s in (system, other))),
        both("shims", *(shims_words(pieces.shims_mm, s) for s in (system, other))),
        both("ram_die", *(die_words(pieces.ram, s) for s in (system, other))),
        Fact(word("fixed_die"), word("jaw_is_die"))
        if fixed is None
        else both("fixed_die", *(die_words(fixed, s) for s in (system, other))),
    ]
    if pieces.turned_mm:
        facts.append(
            both("turned", *(length(pieces.turned_mm, s) for s in (system, other)))
        )
    return facts


def bare(length_mm: float, system: System) -> str:
    """A length without its unit."""
    return length(length_mm, system).rpartition(" ")[0]


def in_a_line(pieces: Pieces, system: System) -> str:
    """All pieces in one line, from the ram to the fixed jaw, without units."""
    parts = []
    if pieces.pin_mm:
        parts.append(word("pin_short_form", length=bare(pieces.pin_mm, system)))
    if pieces.shims_mm:
        shims = " + ".join(bare(shim, system) for shim in pieces.shims_mm)
        parts.append(say_in(CHANGE, "shim", length=shims))
    dies = [pieces.ram, *([pieces.fixed] if pieces.fixed else [])]
    parts += [short_die(die, system) for die in dies]
    if pieces.fixed is None:
        parts.append(word("jaw_short_form"))
    return ", ".join(parts)


def short_die(die: Die, system: System) -> str:
    """A die as a drawing writes it: `cup 1/8 .230`."""
    size = ""
    if die.diameter_32nds is not None and die.kind != FLAT:
        size = f"{show_fraction(die.diameter_32nds * MM_PER_32ND)} "
    kind = say_in("set_up_die_short", die.kind)
    return f"{kind} {size}{bare(die.length_mm, system)}"


def change_words(change: Swap, yoke: str, system: System) -> list[str]:
    """What to take out and put in, a sentence each."""
    taken = _pieces(change.dies_out, change.shims_out_mm, system)
    put = _pieces(change.dies_in, change.shims_in_mm, system)
    made = []
    if change.is_new_yoke:
        made.append(say_in(CHANGE, "yoke", yoke=yoke))
    if taken:
        made.append(say_in(CHANGE, "out", pieces=", ".join(taken)))
    if put:
        made.append(say_in(CHANGE, "into", pieces=", ".join(put)))
    if change.pin_mm is not None:
        made.append(say_in(CHANGE, "pin", pin=pin_words(change.pin_mm, system)))
    return made or [say_in(CHANGE, "nothing")]


def _pieces(
    dies: tuple[Die, ...], shims_mm: tuple[float, ...], system: System
) -> list[str]:
    """Dies and shims, each in words."""
    made = [short_die(die, system) for die in dies]
    shims = (bare(shim, system) for shim in shims_mm)
    return made + [say_in(CHANGE, "shim", length=shim) for shim in shims]


def told_words(section: str, told: Told, system: System, **more: str) -> str:
    """A step or fact with its figures put in."""
    figures = {
        name: said(name, value, system).main
        if name.endswith(("_mm", "_n"))
        else show_number(value, digits=1, trim=True)
        for name, value in told.figures.items()
    }
    return say_in(section, told.key, **figures, **more)


def buy_words(buy: ShimToBuy | None, system: System) -> str:
    """Which shim would hold the limits, or that none does."""
    if buy is None:
        return say_in("set_up_buy", "none")
    low, best, high = (
        length(one, system) for one in (buy.low_mm, buy.best_mm, buy.high_mm)
    )
    return say_in("set_up_buy", "shim", low=low, best=best, high=high)


def severity_of(verdict: Verdict) -> str:
    """How grave a verdict is: stop, check, or nothing."""
    if verdict is Verdict.IN_BAND:
        return ""
    return "stop" if verdict in STOPS else "check"
