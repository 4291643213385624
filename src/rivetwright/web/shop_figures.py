"""Figures of the shop as a page shows them, and how each came about."""

from __future__ import annotations

import re

from rivetwright.engines.figure import Figure as Reckoned
from rivetwright.engines.rules import FORMULA, TABLE
from rivetwright.model.shop import Shop
from rivetwright.texts.say import System
from rivetwright.texts.shop_words import say_figure, say_shop_title
from rivetwright.web.figures import Figure
from rivetwright.web.workings import ShownWorking, plain

SHOP_FILE, RECKONED = "shop file", "reckoned"
_NAME = re.compile(r"[a-z][a-z0-9_]*")
_COUNTED = re.compile(r"_\d+(?=_)")


def system_of_shop(shop: Shop) -> System:
    """The shop's own unit."""
    return "mm" if shop.unit == "mm" else "in"


def shown_figure(figure: Reckoned, system: System) -> Figure:
    """A figure with its title, its range in both units, and its weakest status."""
    said = say_figure(figure, system)
    return Figure(figure.name, title_of(figure), said.main, said.other, figure.status)


def title_of(figure: Reckoned) -> str:
    """A figure's title; of some that are counted alike the one they share."""
    return say_shop_title(_COUNTED.sub("", figure.name))


def shown_law(figure: Reckoned, system: System) -> ShownWorking:
    """How a figure came about, down to the shop file and the tables."""
    return _shown(figure, system, set())


def _shown(figure: Reckoned, system: System, above: set[str]) -> ShownWorking:
    is_above = figure.name in above and bool(figure.inputs)
    above.add(figure.name)
    said = say_figure(figure, system)
    is_law = all(name in figure.formula for name in figure.inputs)
    kind = SHOP_FILE if not figure.row else TABLE
    if figure.formula:
        kind = FORMULA if is_law else RECKONED
    inputs = () if is_above else figure.inputs.values()
    return ShownWorking(
        name=figure.name,
        title=title_of(figure),
        main=said.main,
        other=said.other,
        kind=kind,
        formula=figure.formula or figure.row or str(figure.source.place),
        put_in=_put_in(figure) if kind == FORMULA else "",
        source=str(figure.source),
        note=figure.source.note,
        status=str(figure.status),
        witness="",
        is_above=is_above,
        inputs=tuple(_shown(one, system, above) for one in inputs),
    )


def _put_in(figure: Reckoned) -> str:
    """The formula with its usual figures in the place of their names."""
    values = {name: plain(one.central) for name, one in figure.inputs.items()}
    filled = _NAME.sub(lambda found: values.get(found[0], found[0]), figure.formula)
    return f"{filled} = {plain(figure.central)}"
