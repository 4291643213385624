"""How a person wants to work tonight: asked in the order's form, kept for the bench.

What is kept stays in the browser for an evening, so that the bench goes by the same
wishes as the page. What only asks "what if" is never kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from urllib.parse import parse_qsl, urlencode

from fastapi import Response
from starlette.datastructures import QueryParams

from rivetwright.bench.order_wanted import Wanted
from rivetwright.web.sayings import Sayings

BEGINS = ("", "middle", "ends", "skip")
TICKS = ("alone", "quiet", "reminders")
YES = "yes"
WISHES = "order_wishes"
EVENING_S = 12 * 3600
NAMES_MAX, NAME_MAX = 20, 80


def read_wanted(query: QueryParams) -> Wanted:
    """What was chosen in the form; anything else counts as not chosen."""
    pairs = query.multi_items()
    held = query.get("held", "").replace(",", " ").split()
    return _wanted(pairs, held=held, as_if=query.get("as_if") == YES)


def is_asked(query: QueryParams) -> bool:
    """Whether the form was sent, if only to take every wish back."""
    return any(name in query for name in ("chosen", "begin", "out", "held", "as_if"))


def kept_wanted(cookies: Mapping[str, str]) -> Wanted:
    """What was chosen tonight, where it was kept."""
    return _wanted(parse_qsl(cookies.get(WISHES, "")[: NAMES_MAX * NAME_MAX]))


def keep_wanted(response: Response, wanted: Wanted) -> None:
    """Keep what was chosen for an evening."""
    pairs = [("begin", wanted.begin)] if wanted.begin else []
    pairs += [(name, YES) for name in TICKS if getattr(wanted, name)]
    pairs += [("out", name) for name in wanted.left_out]
    response.set_cookie(
        WISHES, urlencode(pairs), max_age=EVENING_S, httponly=True, samesite="strict"
    )


def wish_words(say: Sayings, wanted: Wanted) -> list[str]:
    """What was chosen, wish by wish; empty where nothing was."""
    words = [say(f"order.begun_{wanted.begin}")] if wanted.begin else []
    words += [say(f"order.{name}") for name in TICKS if getattr(wanted, name)]
    words += [say("order.without_tool", name=name) for name in wanted.left_out]
    return words


def _wanted(
    pairs: Iterable[tuple[str, str]], held: Iterable[str] = (), *, as_if: bool = False
) -> Wanted:
    known = list(pairs)
    chosen = dict(known)
    begin = chosen.get("begin", "")
    out = {value for name, value in known if name == "out" and value}
    return Wanted(
        begin=begin if begin in BEGINS else "",
        alone=chosen.get("alone") == YES,
        quiet=chosen.get("quiet") == YES,
        left_out=tuple(sorted(one[:NAME_MAX] for one in out)[:NAMES_MAX]),
        held=tuple(held)[:NAMES_MAX],
        reminders=chosen.get("reminders") == YES,
        as_if=as_if,
    )
