"""The command about the order of a step: setup cards, runs, holders, minutes."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from rivetwright.bench.open import open_plan
from rivetwright.bench.order import StepOrder, Wanted, order_of_step
from rivetwright.bench.order_result import order_result
from rivetwright.cli.screen import progress_bar, results
from rivetwright.cli.words import say
from rivetwright.record.state import State
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.order_card import (
    OrderCard,
    PressWords,
    holder_words,
    ranges_of,
    say_order,
    time_words,
)

INDENT, MINUTES = 4, 12


class Begin(StrEnum):
    """Where the setting of a row begins."""

    MIDDLE = "middle"
    ENDS = "ends"
    SKIP = "skip"


Out = Annotated[
    list[str] | None,
    typer.Option("--out", help="A tool that is broken or lent.", metavar="TOOL"),
]
Held = Annotated[
    list[str] | None,
    typer.Option("--hold", help="Holes that must wait.", metavar="HOLES"),
]
Reminders = Annotated[
    bool,
    typer.Option(
        "--reminders", help="A holder stays where a row changes to another rivet."
    ),
]


def step_order(
    file: Annotated[Path, typer.Argument(help="A plan file.", metavar="FILE")],
    step: Annotated[str, typer.Argument(help="A step of the plan.", metavar="STEP")],
    shop: Annotated[
        Path | None,
        typer.Option(
            help="The shop file; left out, shop.yaml beside the plan.", metavar="FILE"
        ),
    ] = None,
    begin: Annotated[
        Begin | None, typer.Option(help="Where a row begins; left out, as it is.")
    ] = None,
    alone: Annotated[bool, typer.Option("--alone", help="Without a helper.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Nothing noisy.")] = False,
    out: Out = None,
    hold: Held = None,
    reminders: Reminders = False,
    as_if: Annotated[
        bool, typer.Option("--as-if", help="As if every finding were answered.")
    ] = False,
    bulletin: Annotated[
        list[Path] | None,
        typer.Option("--bulletin", metavar="FILE", help="Apply a bulletin first."),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Write JSON, in mm and seconds.")
    ] = False,
) -> None:
    """Work out in which order to set a step: set-ups, runs, sheet holders.

    \b
    Examples:
      rivetwright order examples/ostrel/flap.yaml flap-4
      rivetwright order examples/ostrel/flap.yaml flap-4 --alone --out Y2
      rivetwright order examples/ostrel/flap.yaml flap-4 --hold C12:5
      rivetwright order flap.yaml flap-6 --shop shop.yaml --json
    """
    place = shop or file.parent / "shop.yaml"
    with progress_bar() as progress:
        worked_plan = open_plan(file, bulletin or (), progress, place)
    wanted = Wanted(begin or "", alone, quiet, tuple(sorted(out or ())))
    wanted = replace(wanted, held=tuple(hold or ()), reminders=reminders, as_if=as_if)
    shown = _json if as_json else _print
    shown(order_of_step(worked_plan, worked_plan.worked.shop, State(), step, wanted))


def _json(order: StepOrder) -> None:
    json.dump(order_result(order), sys.stdout, allow_nan=False)
    sys.stdout.write("\n")


def _tell(text: str, style: str = "") -> None:
    results().print(text, style=style, markup=False, soft_wrap=True)


def _print(order: StepOrder) -> None:
    """The whole order on the terminal."""
    _tell(say("step_order.title", step=order.step, title=order.title).strip(), "bold")
    for text in (*time_words(order), *holder_words(order)):
        _tell(text)
    waiting, without = (ranges_of(order, h) for h in (order.waiting, order.without))
    if order.waiting:
        _tell(say("step_order.waits", holes=waiting), "bold")
    if order.without:
        _tell(say("step_order.without", holes=without), "bold")
    if order.plan is None:
        _tell(say("step_order.nothing"), "bold")
        return
    for card in say_order(order):
        _card(card)
    _tell(f"\n{catalogue().word('caution', 'squeezer')}")


def _card(card: OrderCard) -> None:
    beside = ", ".join(text for text in (card.face, card.minutes, *card.notes) if text)
    _tell(f"\n{card.number}. {card.heading} ({beside})", "bold")
    for press in card.presses:
        _press(press)


def _press(press: PressWords) -> None:
    row = f"{press.row}. " if press.row else ""
    words = " ".join(text for text in (f"{row}{press.words}", press.leave) if text)
    _tell(f"{press.number:>{INDENT}}  {press.minutes:<{MINUTES}}{words}")
    holes = f"; {press.holes}" if press.holes and press.row else ""
    _tell(f"{'':>{INDENT + 2 + MINUTES}}{press.reason}{holes}", "dim")
