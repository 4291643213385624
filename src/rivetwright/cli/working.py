"""Everything known of one hole in the terminal, each figure with its working."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text
from rich.tree import Tree

from rivetwright.bench.hole import HoleCard, hole_card, open_working
from rivetwright.cli.columns import Column, lay_out
from rivetwright.cli.tables import finding_block, print_table, unit_system
from rivetwright.cli.words import say
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import FORMULA
from rivetwright.engines.worked import Working
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.figures import put_in, say_working
from rivetwright.texts.say import NOTHING, System, say_title, say_value, say_witness


def _branch(tree: Tree, working: Working, system: System, seen: set[str]) -> None:
    """One quantity with everything it rests on; each is spelt out once."""
    said = say_working(working, system)
    other = f" ({said.other})" if said.other else ""
    head = Text.assemble((say_title(working.name), "bold"), f" = {said}{other}")
    branch = tree.add(head)
    kind = catalogue().word("kind", working.kind)
    if working.name in seen:
        branch.add(Text(say("why.above"), style="dim"))
        return
    seen.add(working.name)
    branch.add(Text(f"{kind}: {working.name} = {working.formula}", style="dim"))
    if working.kind == FORMULA and working.inputs:
        branch.add(Text(say("why.figures", figures=put_in(working)), style="dim"))
    if working.witness is not None:
        branch.add(Text(say_witness(working.witness, system)))
    note = f" ({working.source.note})" if working.source.note else ""
    source = f"{working.source}{note}"
    branch.add(Text(say("why.source", source=source, status=working.status)))
    for needed in working.inputs:
        _branch(branch, needed, system, seen)


def _head(card: HoleCard) -> Text:
    """The first lines about a hole."""
    words = catalogue()
    lines = [
        f"{card.name}  {card.callout}  {words.word('state', card.state)}",
        say(
            "why.head",
            face=card.face or NOTHING,
            step=card.step or NOTHING,
            side=words.word("head_side", card.head_side),
            status=card.status,
        ),
        say("why.verdict", verdict=words.word("verdict", card.verdict)),
    ]
    if card.open_holes is not None:
        lines.append(say("why.left_open", reason=card.open_holes.reason))
    if card.hold is not None:
        lines.append(say("why.on_hold", reason=card.hold.reason))
    return Text("\n".join(lines), style="bold")


def _print_sheets(console: Console, card: HoleCard, system: System) -> None:
    """The sheets at a hole, each with the edge that is nearest on it."""
    words = catalogue()
    sheets = card.sheets

    def away(k: int) -> str:
        edge = sheets[k].edge
        if edge is None:
            return NOTHING
        distance = say_value("distance_mm", edge.distance_mm, system)
        return say("why.edge", distance=distance, edge=edge.name)

    laid = lay_out(
        (
            Column(say("heading.sheet"), [one.sheet.part for one in sheets]),
            Column(
                say("heading.thickness"),
                [
                    str(say_value("thickness_mm", one.thickness_mm, system))
                    for one in sheets
                ],
                right=True,
            ),
            Column(
                say("heading.material"), [one.material or NOTHING for one in sheets]
            ),
            Column(
                say("heading.preparation"),
                [words.word("preparation", one.sheet.preparation) for one in sheets],
            ),
            Column(
                say("heading.nearest_edge"),
                [away(k) for k in range(len(sheets))],
                narrow=12,
            ),
        ),
        console.width,
    )
    print_table(console, laid)


def print_why(
    console: Console, worked_plan: WorkedPlan, hole: int, quantity: str | None
) -> None:
    """Everything known of one hole with its working, or one quantity alone."""
    system = unit_system(worked_plan)
    if quantity is not None:
        tree = Tree(worked_plan.worked.holes.name(hole))
        _branch(tree, open_working(worked_plan, hole, quantity), system, set())
        console.print(tree)
        return
    card = hole_card(worked_plan, hole)
    console.print(_head(card))
    for finding in card.findings:
        console.print()
        block = finding_block(worked_plan, [finding], console.width)
        console.print(block, soft_wrap=True)
    console.print()
    _print_sheets(console, card, system)
    seen: set[str] = set()
    for title, figures in card.groups:
        heading = Text(catalogue().word("group", title), style="bold underline")
        tree = Tree(heading)
        for figure in figures:
            opened = open_working(worked_plan, hole, figure.name)
            _branch(tree, opened, system, seen)
        console.print()
        console.print(tree)
    if worked_plan.worked.at("is_flush", hole):
        console.print(f"\n{catalogue().word('caution', 'flush_next')}", soft_wrap=True)
    console.print(f"\n{catalogue().word('caution', 'advice')}", soft_wrap=True)
