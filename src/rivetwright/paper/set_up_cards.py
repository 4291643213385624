"""Set-up cards on paper: half a sheet each, two to a page, to lie beside the tool."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.dimple_set_ups import dimple_card, dimple_lines
from rivetwright.bench.set_up_card import set_up_card
from rivetwright.bench.set_ups import step_set_ups
from rivetwright.drawing.die_stack import die_stack_svg
from rivetwright.drawing.dimple_stack import dimple_stack_svg
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.shop import Shop
from rivetwright.paper.words import hole_ranges, say
from rivetwright.texts.set_up_card import CardWords, say_dimple, say_set_up
from rivetwright.texts.set_up_words import Fact


def set_up_cards(worked_plan: WorkedPlan) -> list[dict[str, Any]]:
    """A card for every set-up, in the order of the steps, then those for dimples.

    None where the plan was worked out without a shop.
    """
    shop = worked_plan.worked.shop
    if shop is None:
        return []
    return [*_rivets(worked_plan, shop), *_dimples(worked_plan, shop)]


def _rivets(worked_plan: WorkedPlan, shop: Shop) -> list[dict[str, Any]]:
    """The cards of rivets."""
    holes = worked_plan.worked.holes
    made = []
    for step in step_set_ups(worked_plan, shop):
        for line in step.lines:
            card = set_up_card(worked_plan, shop, holes.name(line.hole))
            picture = die_stack_svg(worked_plan, line.hole, card.set_up, for_paper=True)
            words = say_set_up(card, worked_plan)
            made.append(
                _card(
                    words,
                    title=hole_ranges(holes, line.holes),
                    under=f"{words.callout}   {line.stack}",
                    picture=picture,
                    stops=", ".join(card.stops),
                    step=say("set_up.step", step=step.name) if step.name else "",
                )
            )
    return made


def _dimples(worked_plan: WorkedPlan, shop: Shop) -> list[dict[str, Any]]:
    """The cards of dimples."""
    holes = worked_plan.worked.holes
    made = []
    for line in dimple_lines(worked_plan, shop):
        if line.set_up is None:
            continue
        name, one = holes.name(line.hole), line.set_up
        asked = {"yoke": one.yoke.id, "squeezer": one.squeezer.title}
        card = dimple_card(worked_plan, shop, name, line.part, **asked)
        picture = dimple_stack_svg(
            worked_plan, line.hole, line.part, one, for_paper=True
        )
        made.append(
            _card(
                say_dimple(card, worked_plan),
                title=say("set_up.dimple", parts=", ".join(line.parts)),
                under=card.callout,
                picture=picture,
                stops="",
                step="",
            )
        )
    return made


def _card(
    words: CardWords, *, title: str, under: str, picture: str | None, **more: str
) -> dict[str, Any]:
    """One card as the template lays it out."""
    verdict = f"{words.verdict}. {words.do}" if words.do else words.verdict
    return {
        "title": title,
        "under": under,
        "tool": words.tool,
        "severity": words.severity,
        "verdict": verdict,
        "reach": words.reach,
        "look_at": " ".join(words.look_at),
        "svg": picture or "",
        "put_in": _facts(words.put_in),
        "makes": _facts(words.makes),
        "needs": _facts(words.needs),
        "changes": " ".join(words.changes),
        "steps": list(words.steps),
        "heads": bool(words.trust),
        "trust": f"{words.trust} {words.status}".strip(),
        "cautions": " ".join(words.cautions),
        **more,
    }


def _facts(facts: tuple[Fact, ...]) -> list[list[str]]:
    """Lines of a card: name, figure, in the other unit, what is right."""
    return [[one.name, one.main, one.other, one.note] for one in facts]
