"""The order of a step in words: cards, runs, minutes, bound, sheet holders."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rivetwright.bench.now import HoleIds
from rivetwright.bench.order import StepOrder
from rivetwright.engines.order.figures import RECORD, RIVET_WAYS
from rivetwright.engines.order.said import (
    EVENT,
    FIRST,
    MIX,
    RIG,
    SET,
    TURN,
    Card,
    Press,
)
from rivetwright.engines.order.setting import SetBy
from rivetwright.engines.order.stage import BARE
from rivetwright.engines.plan import WorkedPlan
from rivetwright.texts.bench_words import count_words
from rivetwright.texts.order_words import (
    MINUTE_S,
    order_word,
    say_box,
    say_first,
    say_holder_count,
    say_holder_use,
    say_in,
    say_leaves,
    say_minutes,
    say_reason,
    say_run,
)
from rivetwright.texts.say import System
from rivetwright.texts.set_up_words import length

RUN = "order_run"


@dataclass(frozen=True)
class PressWords:
    """One press: the sentence, where, minutes, why, and its holes by name.

    `names` are the holes one by one in their order, `holes` the same as ranges.
    """

    number: int
    kind: str
    row: str
    words: str
    leave: str
    reason: str
    minutes: str
    holes: str
    names: tuple[str, ...]
    face: str
    against: str


@dataclass(frozen=True)
class OrderCard:
    """A setup card, or an event, in words; `example` is a hole that it sets."""

    number: int
    title: str
    callout: str
    face: str
    minutes: str
    rivets: int
    notes: tuple[str, ...]
    presses: tuple[PressWords, ...]
    way: SetBy | None
    example: int

    @property
    def heading(self) -> str:
        """Callout and what is rigged, in one line."""
        return f"{self.callout}  {self.title}".strip()


def system_of_order(worked_plan: WorkedPlan) -> System:
    """The plan's own unit."""
    return "mm" if worked_plan.worked.plan.unit == "mm" else "in"


def say_order(order: StepOrder) -> list[OrderCard]:
    """Every card of an order, its presses numbered through."""
    made: list[OrderCard] = []
    number = 0
    for card in order.cards:
        presses = []
        for press in card.presses:
            number += 1
            presses.append(_press(order, card, press, number))
        made.append(_card(order, card, tuple(presses), len(made) + 1))
    return made


def _card(
    order: StepOrder, card: Card, presses: tuple[PressWords, ...], number: int
) -> OrderCard:
    way = order.set_by(card)
    return OrderCard(
        number=number,
        title=way_words(order, way) if way else presses[0].words,
        callout=way.callout if way else "",
        face=order.face_name(card) if way else "",
        minutes=say_minutes(card.time_s),
        rivets=card.rivets,
        notes=_notes(order, card, way),
        presses=presses,
        way=way,
        example=next((p.holes[0] for p in card.presses if p.kind == SET), BARE),
    )


def way_words(order: StepOrder, way: SetBy) -> str:
    """What is rigged, in a few words."""
    words = way.tool or say_in(RUN, "no_tool")
    if way.tool and not way.yoke:
        words = say_in(RUN, "setup_way", way=way.way, tool=way.tool)
    if way.yoke:
        words = say_in(RUN, "setup_yoke", tool=words, yoke=way.yoke)
    parts = [words]
    if way.gap_mm is not None:
        gap = length(way.gap_mm, system_of_order(order.worked_plan))
        parts.append(say_in(RUN, "setup_gap", gap=gap))
    if way.people > 1:
        parts.append(say_in(RUN, "setup_two"))
    return ", ".join(parts)


def _notes(order: StepOrder, card: Card, way: SetBy | None) -> tuple[str, ...]:
    if way is None:
        return ()
    found = []
    grips = order.grips_mm(card)
    if way.yoke and len(grips) > 1:
        system = system_of_order(order.worked_plan)
        said = ", ".join(length(one, system) for one in grips)
        found.append(order_word("one_gap", grips=said))
    if way.is_noisy:
        found.append(_noise(order))
    if way.is_tight:
        found.append(order_word("tight"))
    if way.holds is None and way.yoke:
        found.append(order_word("band_unknown"))
    elif way.holds is False:
        found.append(order_word("band_lost"))
    return tuple(found)


def _noise(order: StepOrder) -> str:
    """That a way is noisy, and until when that may be."""
    shop = order.worked_plan.worked.shop
    if shop is None or not shop.quiet_after:
        return order_word("noisy_plain")
    return order_word("noisy", time=shop.quiet_after)


def _press(order: StepOrder, card: Card, press: Press, number: int) -> PressWords:
    holes = order.worked_plan.worked.holes
    row = ""
    if press.row != BARE:
        name = holes.plan.rows[press.row].name
        row = count_words(name, order.row_end(press.row))
    faces = {holes.row_of(hole).face for hole in press.holes}
    return PressWords(
        number=number,
        kind=press.kind,
        row=row,
        words=press_words(order, card, press),
        leave=say_leaves(press.leaves),
        reason=why_words(order, press),
        minutes=say_minutes(press.time_s),
        holes=ranges_of(order, press.holes),
        names=tuple(holes.name(hole) for hole in press.holes),
        face=faces.pop() if len(faces) == 1 else order.face_name(card),
        against=ranges_of(order, press.against),
    )


def why_words(order: StepOrder, press: Press) -> str:
    """Why a press is done now, and of a wet run how much of the mix's time it takes."""
    words = reason_words(order, press.reason)
    if press.kind != SET or not press.open_s:
        return words
    wet = say_in(
        "order_reason",
        "wet",
        minutes=f"{press.time_s / MINUTE_S:.0f}",
        open=f"{press.open_s / MINUTE_S:.0f}",
    )
    return f"{wet}; {words}"


def run_words(order: StepOrder, press: Press) -> str:
    """How long a run takes, and why it is next."""
    return f"{say_minutes(press.time_s)}: {why_words(order, press)}"


def reason_words(order: StepOrder, reason: str) -> str:
    """Why a run is done now."""
    assert order.plan is not None
    reach_mm = order.plan.staged.stage.clamp.reach_mm
    return say_reason(reason, reach_mm, system_of_order(order.worked_plan))


def ranges_of(order: StepOrder, holes: tuple[int, ...]) -> str:
    """Holes as ranges: `A11:1-17, A11:19-36`."""
    ids = HoleIds(order.worked_plan.worked.holes)
    return ", ".join(ids.names(ids.ranges(sorted(holes))))


def press_words(order: StepOrder, card: Card, press: Press) -> str:
    """What one press is, in a sentence."""
    if press.row != BARE:
        return say_run(press.kind, press.patterns, len(press.holes))
    if press.kind == FIRST:
        return first_words(order, press.holes)
    if press.kind == TURN:
        return say_in(RUN, TURN, face=order.face_name(card))
    assert order.plan is not None
    staged = order.plan.staged
    if press.kind == RIG:
        way = staged.ways[press.index]
        return f"{way_words(order, way)}: {way.callout}"
    if press.kind == MIX:
        return mix_words(order, card, press)
    assert press.kind == EVENT, press.kind
    event = staged.events[press.index]
    return say_in(RUN, event.kind, name=event.name)


def mix_words(order: StepOrder, card: Card, press: Press) -> str:
    """What has to be ready before sealant is mixed, and how long it can be worked."""
    assert order.plan is not None
    count, way = len(press.holes), order.set_by(card)
    mixes = [p for p in order.presses if (p.kind, p.index) == (MIX, press.index)]
    # Holders go in on the first mix of a row; on a later one they are in.
    laid = set(press.holes if press is mixes[0] else ())
    holders = sum(hole in laid for hole in order.plan.staged.to_put_in)
    ready = [say_in(RUN, "mix_tray_one" if count == 1 else "mix_tray", count=count)]
    key = "mix_holders" if holders else "mix_pliers"
    ready.append(say_in(RUN, key, count=holders))
    if way is not None and way.people > 1:
        ready.append(say_in(RUN, "mix_helper"))
    return say_in(
        RUN,
        MIX,
        ready="; ".join(ready),
        row=order.worked_plan.worked.plan.rows[press.index].name,
        minutes=round(press.open_s / MINUTE_S),
    )


def first_words(order: StepOrder, first: tuple[int, ...]) -> str:
    """Holders that go in before the first rivet, row by row."""
    return say_first(*places_of_rows(order.worked_plan, first))


def places_of_rows(
    worked_plan: WorkedPlan, chosen: Iterable[int]
) -> tuple[dict[str, list[int]], dict[str, int]]:
    """Places of some holes, counted along each row, and how many each row has."""
    holes = worked_plan.worked.holes
    places: dict[str, list[int]] = {}
    counts: dict[str, int] = {}
    for hole in chosen:
        row = int(holes.row[hole])
        start, stop = (int(k) for k in holes.row_start[row : row + 2])
        name = holes.plan.rows[row].name
        places.setdefault(name, []).append(hole - start + 1)
        counts[name] = stop - start
    return places, counts


def time_words(order: StepOrder) -> list[str]:
    """Planned minutes beside the kit's, the bound, and what the minutes rest on."""
    plan = order.plan
    if plan is None:
        return []
    said = [order_word("planned", minutes=say_minutes(plan.time_s))]
    if order.kit_minutes is not None:
        kit = say_minutes(order.kit_minutes * MINUTE_S)
        said.append(order_word("kit", minutes=kit))
    return ["; ".join(said) + ".", _bound_words(order), *_figure_words(order)]


def _bound_words(order: StepOrder) -> str:
    plan = order.plan
    assert plan is not None
    percent = plan.gap_percent
    if percent is None:
        return order_word("no_bound")
    first_s = plan.time_s - plan.ordered.cost.time_s
    bound = f"{(plan.ordered.bound_s + first_s) / MINUTE_S:.1f}"
    return order_word("bound", bound=bound, percent=f"{percent:.1f}")


def _figure_words(order: StepOrder) -> list[str]:
    """Whose seconds the minutes rest on."""
    figures = order.figures
    said = []
    for way in RIVET_WAYS:
        if figures.known_from[way] == RECORD:
            runs = figures.own[way].runs
            said.append(order_word("own_times", way=way, runs=runs))
    said.append(order_word("table_times", status=figures.status))
    plan = order.plan
    if plan is not None and plan.staged.widest_mm:
        pitch = length(plan.staged.widest_mm, system_of_order(order.worked_plan))
        said.append(order_word("widened", pitch=pitch))
    return said


def holder_words(order: StepOrder) -> list[str]:
    """Whether there are enough sheet holders, size by size, and where others are."""
    left = ranges_of(order, order.reminders)
    return [
        *(say_holder_count(one) for one in order.holders.counts),
        *(say_holder_use(one) for one in order.uses),
        *(say_box(one) for one in order.boxes),
        *([order_word("reminders", holes=left)] if left else []),
    ]
