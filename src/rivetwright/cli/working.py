"""The working of one hole as a tree in the terminal."""

from __future__ import annotations

import re

from rich.console import Console
from rich.text import Text
from rich.tree import Tree

from rivetwright.bench.hole import HoleCard, hole_card, open_working
from rivetwright.cli.tables import unit_system
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import FORMULA
from rivetwright.engines.worked import Working
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import System, say_title, say_value, say_witness


def said_value(working: Working, system: System) -> str:
    """A value with the other unit beside it; several values for several sheets."""
    value = working.value
    if isinstance(value, str):
        return str(say_value(working.name, value, system))
    if getattr(value, "ndim", 0):
        known = [float(v) for v in value if v == v]
        return ", ".join(str(say_value(working.name, v, system)) for v in known) or "-"
    said = say_value(working.name, float(value), system)
    return f"{said.main} ({said.other})" if said.other else said.main


def put_in(working: Working, system: System) -> str:
    """The formula with its figures put in."""
    values = {needed.name: said_value(needed, system) for needed in working.inputs}
    values = {name: text.partition(" (")[0] for name, text in values.items()}
    pattern = re.compile(r"\b(" + "|".join(map(re.escape, values)) + r")\b")
    return pattern.sub(lambda match: values[match[1]], working.formula)


def _branch(tree: Tree, working: Working, system: System, seen: set[str]) -> None:
    """One quantity with everything it rests on; each is spelt out once."""
    head = Text.assemble(
        (say_title(working.name), "bold"), f" = {said_value(working, system)}"
    )
    branch = tree.add(head)
    kind = catalogue().word("kind", working.kind)
    if working.name in seen:
        branch.add(Text("(see above)", style="dim"))
        return
    seen.add(working.name)
    branch.add(Text(f"{kind}: {working.name} = {working.formula}", style="dim"))
    if working.kind == FORMULA and working.inputs:
        branch.add(Text(f"figures: {put_in(working, system)}", style="dim"))
    if working.witness is not None:
        branch.add(Text(say_witness(working.witness, system)))
    note = f" ({working.source.note})" if working.source.note else ""
    branch.add(Text(f"source: {working.source}{note}; rests on {working.status}"))
    for needed in working.inputs:
        _branch(branch, needed, system, seen)


def _head(card: HoleCard) -> Text:
    """The first lines about a hole."""
    words = catalogue()
    lines = [
        f"{card.name}  {card.callout}  {words.word('state', card.state)}",
        f"face {card.face or '-'}, step {card.step or '-'}, manufactured head on the "
        f"{words.word('head_side', card.head_side)}; weakest figure {card.status}",
    ]
    if card.open_holes is not None:
        lines.append(f"left open: {card.open_holes.reason}")
    if card.hold is not None:
        lines.append(f"on hold: {card.hold.reason}")
    return Text("\n".join(lines), style="bold")


def print_why(
    console: Console, worked_plan: WorkedPlan, hole: int, quantity: str | None
) -> None:
    """Everything known of one hole with its working, or one quantity alone."""
    system = unit_system(worked_plan)
    card = hole_card(worked_plan, hole)
    console.print(_head(card))
    seen: set[str] = set()
    if quantity is not None:
        tree = Tree(card.name)
        _branch(tree, open_working(worked_plan, hole, quantity), system, seen)
        console.print(tree)
        return
    for title, figures in card.groups:
        tree = Tree(Text(catalogue().word("group", title), style="bold underline"))
        for figure in figures:
            opened = open_working(worked_plan, hole, figure.name)
            _branch(tree, opened, system, seen)
        console.print(tree)
