"""Set-ups as the pages show them: lines of the list, cards with their picture."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from rivetwright.bench.dimple_set_ups import DimpleLine, dimple_card
from rivetwright.bench.open import Assembly
from rivetwright.bench.order import StepOrder
from rivetwright.bench.runs import Run
from rivetwright.bench.set_up_card import Choice, SetUpCard, set_up_card
from rivetwright.bench.set_ups import SetUpLine, line_of, step_set_ups, stop_codes
from rivetwright.drawing.die_stack import die_stack_svg
from rivetwright.drawing.dimple_stack import dimple_stack_svg
from rivetwright.engines.order.setting import SetBy
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.dimpling import DimpleSetUp
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.stacking import OnTool
from rivetwright.engines.squeeze.taught import Basis
from rivetwright.model.shop import Shop
from rivetwright.standards.spread import Spread
from rivetwright.texts.learning_words import say_alarm
from rivetwright.texts.say import System
from rivetwright.texts.set_up_card import (
    CardWords,
    rests_words,
    say_dimple,
    say_set_up,
    verdict_words,
)
from rivetwright.texts.set_up_words import (
    in_a_line,
    length,
    said,
    said_range,
    severity_of,
    word,
)
from rivetwright.units.wording import show_fraction
from rivetwright.web.addresses import (
    dimple_address,
    gap_asked,
    hole_words,
    set_up_address,
)
from rivetwright.web.figures import system_of
from rivetwright.web.pictures import for_page

MM_PER_32ND = 25.4 / 32


@dataclass(frozen=True)
class Line:
    """One line of the list of set-ups; `changes` is None where nothing is put in.

    `rests` is what it rests on other than physics, `warns` an alarm of its heads.
    """

    holes: str
    hole: str
    rivet: str
    stack: str
    tool: str
    yoke: str
    pieces: str
    gap: str
    gap_other: str
    verdict: str
    severity: str
    head: str
    keep: str
    rests: str
    warns: str
    stops: tuple[str, ...]
    is_tight: bool
    changes: int | None
    address: str


@dataclass(frozen=True)
class ShownCard:
    """A card ready for the page: words, picture, and the other ways to set it up."""

    words: CardWords
    picture: Markup | None
    holes: str
    hole: str
    others: tuple[Line, ...]
    stops: tuple[str, ...]
    address: str


def shop_of(assembly: Assembly, shop: Shop | None) -> Shop | None:
    """The shop that a plan was worked out with, else the folder's."""
    return assembly.worked_plan.worked.shop or shop


def line_of_list(assembly: Assembly, line: SetUpLine) -> Line:
    """A line of the list."""
    name = assembly.worked_plan.worked.holes.name(line.hole)
    one = line.set_up
    address = set_up_address(assembly.key, name)
    return _line(
        assembly.worked_plan,
        one,
        holes=hole_words(assembly.worked_plan, line.holes),
        hole=name,
        rivet=line.callout,
        stack=line.stack,
        is_tight=line.is_tight,
        changes=line.changes if one is not None and one.pieces else None,
        address=address,
        stops=stop_codes(assembly.worked_plan, line.holes),
    )


def _keep(one: SetUp, system: System) -> str:
    """Least and most height of the head."""
    band = Spread(one.band.min_mm, one.band.aim_mm, one.band.most_mm)
    return word("keep", range=said_range("head_mm", band, system).main)


def _rests(one: SetUp | DimpleSetUp | None) -> str:
    """What a set-up rests on, where that is not physics alone."""
    if not isinstance(one, SetUp) or one.taught.basis is Basis.PHYSICS:
        return ""
    return rests_words(one.taught)


def _warns(worked_plan: WorkedPlan, one: SetUp | DimpleSetUp | None) -> str:
    """The alarm that its heads raised and that still stands."""
    raised = worked_plan.told.of(one.dies).standing if isinstance(one, SetUp) else None
    if raised is None:
        return ""
    return say_alarm(raised.alarm, raised.since, system_of(worked_plan))[0]


def _line(
    worked_plan: WorkedPlan,
    one: SetUp | DimpleSetUp | None,
    *,
    holes: str,
    hole: str,
    rivet: str,
    stack: str,
    address: str,
    is_tight: bool = False,
    changes: int | None = None,
    stops: tuple[str, ...] = (),
) -> Line:
    """A line with what a set-up puts in and makes; empty where there is none."""
    system = system_of(worked_plan)
    pieces = in_a_line(one.pieces, system) if one and one.pieces else ""
    gap = said("gap_mm", one.gap_mm, system) if one and one.gap_mm is not None else None
    head = one.head_mm if isinstance(one, SetUp) else None
    return Line(
        holes=holes,
        hole=hole,
        rivet=rivet,
        stack=stack,
        tool=one.squeezer.title if one else "",
        yoke=one.yoke.id if one else "",
        pieces=pieces,
        gap=gap.main if gap else "",
        gap_other=gap.other if gap else "",
        verdict=verdict_words(one.verdict) if one else "",
        severity=severity_of(one.verdict) if one else "",
        head=said_range("head_mm", head, system).main if head else "",
        keep=_keep(one, system) if isinstance(one, SetUp) and head else "",
        rests=_rests(one),
        warns=_warns(worked_plan, one),
        stops=stops,
        is_tight=is_tight,
        changes=changes,
        address=address,
    )


def dimple_line(assembly: Assembly, line: DimpleLine) -> Line:
    """A line of the list of dimpling set-ups."""
    worked_plan, one = assembly.worked_plan, line.set_up
    name = worked_plan.worked.holes.name(line.hole)
    callout = worked_plan.worked.holes.callout(line.hole)
    size = show_fraction(getattr(callout, "diameter_32nds", 0) * MM_PER_32ND)
    thick = {part.name: part.thickness_mm for part in worked_plan.worked.plan.parts}
    return _line(
        worked_plan,
        one,
        holes=", ".join(line.parts),
        hole=name,
        rivet=size or "",
        stack=length(thick[line.part], system_of(worked_plan)),
        address=dimple_address(assembly.key, name, line.part),
    )


def shown_card(
    assembly: Assembly, card: SetUpCard, choices: Iterable[Choice] = (), gap: str = ""
) -> ShownCard:
    """The card of a rivet's set-up, with other ways to set it up; `gap`: as asked."""
    worked_plan = assembly.worked_plan
    picture = die_stack_svg(worked_plan, card.hole, card.set_up)
    holes = hole_words(worked_plan, card.line.holes) if card.line else ""
    others = tuple(
        _line(
            worked_plan,
            one.set_up,
            holes="",
            hole=card.name,
            rivet="",
            stack=one.fit.fit if one.fit else "",
            address=set_up_address(
                assembly.key,
                card.name,
                yoke=one.set_up.yoke.id,
                squeezer=one.set_up.squeezer.title,
            ),
        )
        for one in choices
    )
    return ShownCard(
        words=say_set_up(card, worked_plan),
        picture=for_page(picture) if picture else None,
        holes=holes,
        hole=card.name,
        others=others,
        stops=card.stops,
        address=set_up_address(
            assembly.key,
            card.name,
            yoke=card.set_up.yoke.id,
            squeezer=card.set_up.squeezer.title,
            gap=gap,
        ),
    )


def shown_dimple(
    assembly: Assembly, shop: Shop | None, hole: str, part: str, **asked: str
) -> ShownCard:
    """The card of a dimpling set-up."""
    worked_plan = assembly.worked_plan
    card = dimple_card(worked_plan, shop, hole, part, **asked)
    picture = dimple_stack_svg(worked_plan, card.hole, part, card.set_up)

    def address(one: DimpleSetUp) -> str:
        names = {"yoke": one.yoke.id, "squeezer": one.squeezer.title}
        return dimple_address(assembly.key, card.name, part, **names)

    others = tuple(
        _line(
            worked_plan,
            one,
            holes="",
            hole=card.name,
            rivet="",
            stack="",
            address=address(one),
        )
        for one in card.choices
    )
    return ShownCard(
        words=say_dimple(card, worked_plan),
        picture=for_page(picture) if picture else None,
        holes="",
        hole=card.name,
        others=others,
        stops=(),
        address=address(card.set_up),
    )


def bench_cards(
    assembly: Assembly,
    shop: Shop | None,
    runs: Iterable[Run],
    order: StepOrder | None = None,
) -> dict[str, tuple[ShownCard, ...]]:
    """The cards of each run of a bench screen, in the order its holes meet them.

    Empty for a run that no squeezer sets, and where no shop is known. A run of a
    worked-out order is set up as the order says.
    """
    if shop is None:
        return {}
    steps = step_set_ups(assembly.worked_plan, shop)
    holes = assembly.worked_plan.worked.holes
    made: dict[tuple[int, SetBy | None], ShownCard] = {}
    found: dict[str, tuple[ShownCard, ...]] = {}
    before: OnTool | None = None
    for run in runs:
        way = order.set_by(run.card) if order and run.card else None
        lines = (line_of(steps, holes.index(name)) for name in run.names)
        firsts = dict.fromkeys(line.hole for line in lines if line)
        if way is not None and not way.yoke:
            firsts = {}
        for hole in firsts:
            if (hole, way) not in made:
                card = _bench_card(assembly, shop, holes.name(hole), way, before)
                gap = gap_asked(way) if way else ""
                made[hole, way] = shown_card(assembly, card, gap=gap)
        found[run.key] = tuple(made[hole, way] for hole in firsts)
        if way is not None and way.pieces is not None:
            before = OnTool(way.tool, way.yoke, way.pieces)
    return found


def _bench_card(
    assembly: Assembly, shop: Shop, name: str, way: SetBy | None, before: OnTool | None
) -> SetUpCard:
    """The card of a hole, set up by a way where an order says so."""
    if way is None:
        return set_up_card(assembly.worked_plan, shop, name)
    return set_up_card(
        assembly.worked_plan,
        shop,
        name,
        yoke=way.yoke,
        squeezer=way.tool,
        gap_mm=way.gap_mm,
        before=before,
    )
