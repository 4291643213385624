"""The order of work in words: a run so that it is found on metal, and why it is now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rivetwright.bench.holders import HolderUse
from rivetwright.engines.order.boxes import Box
from rivetwright.engines.order.holders import HolderCount
from rivetwright.engines.order.said import (
    ENDS,
    EVERY,
    FREED,
    LIST,
    ONE,
    REST,
    STRETCH,
    WHOLE,
    Pattern,
    said_places,
)
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.counting import ordinal
from rivetwright.texts.say import System
from rivetwright.units.wording import show_fraction, show_length

RUN, NTH, REASON, SAY = "order_run", "order_nth", "order_reason", "order_say"
MINUTE_S = 60.0
MM_PER_32ND = 25.4 / 32


def say_in(section: str, key: str, **values: object) -> str:
    """Words of one section, filled in."""
    return catalogue().word(section, key).format_map(values)


def order_word(key: str, **values: object) -> str:
    """Words about an order as a whole, filled in."""
    return say_in(SAY, key, **values)


def say_minutes(time_s: float) -> str:
    """A time as one plans an evening: whole minutes."""
    minutes = round(time_s / MINUTE_S)
    if minutes < 1:
        return order_word("minutes_less")
    if minutes == 1:
        return order_word("minutes_one")
    return order_word("minutes", minutes=minutes)


def say_holes(patterns: Sequence[Pattern], count: int) -> str:
    """The holes of a run, counted along its row."""
    words = [_pattern(one, count) for one in _gathered(patterns)]
    said = words[0] if words else ""
    for one in words[1:]:
        said = say_in(RUN, "then", first=said, then=one)
    return said


def say_run(kind: str, patterns: Sequence[Pattern], count: int) -> str:
    """A run along a row: what is done with which holes."""
    return say_in(RUN, kind, holes=say_holes(patterns, count))


def say_first(places: Mapping[str, Sequence[int]], counts: Mapping[str, int]) -> str:
    """Sheet holders before the first rivet, rows that are held alike together.

    Args:
        places: places that get a holder, counted, by row.
        counts: holes of each row.
    """
    rows = " ".join(say_held_rows(places, counts))
    count = sum(len(inside) for inside in places.values())
    return say_in(RUN, "first_one" if count == 1 else "first", count=count, rows=rows)


def say_held_rows(
    places: Mapping[str, Sequence[int]], counts: Mapping[str, int]
) -> list[str]:
    """Where holders go in each row, rows that are held alike together.

    Args:
        places: places that get a holder, counted, by row.
        counts: holes of each row.
    """
    alike: dict[str, list[str]] = {}
    for row, inside in places.items():
        words = say_holes(said_places(inside, counts[row]), len(inside))
        alike.setdefault(words, []).append(row)
    return [
        say_in(RUN, "of_row", row=_and(names), holes=words)
        for words, names in alike.items()
    ]


def _and(words: Sequence[str]) -> str:
    """Words in a row: A, B and C."""
    if len(words) < 2:
        return "".join(words)
    return say_in(RUN, "and", first=", ".join(words[:-1]), last=words[-1])


def say_leaves(places: Sequence[int]) -> str:
    """Which holes of the row stay open; empty for none."""
    return say_in(RUN, "leave", holes=_places(places)) if places else ""


def say_reason(key: str, reach_mm: float, system: System) -> str:
    """Why a run is done now."""
    digits = 1 if system == "in" else 0
    reach = show_length(
        reach_mm, system=system, style="decimal", digits=digits, with_unit=True
    )
    return say_in(REASON, key, reach=reach)


def holder_size(diameter_32nds: int) -> str:
    """The size of a sheet holder as the trade writes it: `3/32`."""
    return show_fraction(diameter_32nds * MM_PER_32ND) or ""


def say_box(one: Box) -> str:
    """How many holders of a size an order puts in first, and what stays in the box."""
    values = {
        "first": one.first,
        "size": holder_size(one.diameter_32nds),
        "least": one.least,
        "short": one.short,
    }
    if one.least is None:
        return order_word("box_unknown", **values)
    return order_word("box_short" if one.short else "box", **values)


def say_holder_use(one: HolderUse) -> str:
    """Holders that are in another assembly."""
    size = holder_size(one.diameter_32nds)
    return order_word("holders_away", count=one.count, size=size, name=one.assembly)


def say_holder_count(one: HolderCount) -> str:
    """Whether there are enough sheet holders of one size."""
    values = {
        "wanted": one.wanted,
        "placed": one.placed,
        "size": holder_size(one.diameter_32nds),
        "free": one.free,
        "short": one.short,
    }
    if one.free is None:
        return order_word("holders_unknown", **values)
    return order_word("holders_short" if one.short else "holders_enough", **values)


def _gathered(patterns: Sequence[Pattern]) -> list[Pattern]:
    """Single holes that follow on one another as one list."""
    found: list[Pattern] = []
    for one in patterns:
        last = found[-1] if found else None
        if last and one.kind == ONE and last.kind in (ONE, LIST):
            both = (*last.places, *one.places)
            found[-1] = Pattern(LIST, min(both), max(both), places=both)
        else:
            found.append(one)
    return found


def _pattern(one: Pattern, count: int) -> str:
    if one.kind in (WHOLE, FREED, REST):
        return say_in(RUN, one.kind, count=count)
    if one.kind == ENDS:
        return say_in(RUN, "ends")
    first, last = ordinal(one.first), ordinal(one.last)
    if one.kind == ONE:
        return say_in(RUN, "one", place=first)
    if one.kind == LIST:
        return _places(one.places)
    if len(one.places) == 2:
        return say_in(RUN, "two", first=first, last=last)
    if one.kind == STRETCH:
        words = say_in(RUN, "stretch", first=first, last=last)
    else:
        assert one.kind == EVERY, one.kind
        words = say_in(RUN, "every", nth=_nth(one.step), first=first, last=last)
    if one.begin:
        words = say_in(RUN, "begun_at", holes=words, place=ordinal(one.begin))
    return words


def _nth(step: int) -> str:
    known = catalogue().section(NTH)
    key = str(step) if str(step) in known else "other"
    return say_in(NTH, key, step=step)


def _places(places: Sequence[int]) -> str:
    """Places in a row, neighbours gathered: the 18th to the 20th and the 37th."""
    ordered = sorted(set(places))
    stretches: list[list[int]] = []
    for place in ordered:
        if stretches and stretches[-1][-1] + 1 == place:
            stretches[-1].append(place)
        else:
            stretches.append([place])
    words = []
    for one in stretches:
        if len(one) > 2:
            first, last = ordinal(one[0]), ordinal(one[-1])
            words.append(say_in(RUN, "stretch", first=first, last=last))
        else:
            words += [say_in(RUN, "one", place=ordinal(place)) for place in one]
    return _and(words)
