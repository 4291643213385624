"""A form of the bench screen read as a mark: what the server does without a script.

Hidden fields hold the mark; fields named `text.`, `whole.`, `list.` and `yes.` fill
its body, `but` takes holes out of it, `names` puts holes in by their names.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any

from starlette.datastructures import FormData

from rivetwright.bench.now import HoleIds
from rivetwright.errors import FactRefused
from rivetwright.model.columns import parse_hole_range
from rivetwright.record.order import write_utc
from rivetwright.record.ranges import named, write_ranges

BODY_MAX = 60_000


def read_form(
    form: FormData, ids: HoleIds | None, assembly: str, now: datetime
) -> dict[str, Any]:
    """The mark that a form makes, without the device's count.

    Args:
        form: the fields that were sent.
        ids: the holes of the plan that was looked at; None for the whole shop.
        assembly: the plan's id.
        now: the time on this machine.

    Raises:
        NotFound: a hole is named that the plan does not have.
        FactRefused: the form has another shape.
    """
    body = _body(form)
    for name in dict.fromkeys(form):
        _fill(body, name, [str(one) for one in form.getlist(name)], ids)
    but = [str(one) for one in form.getlist("but")]
    if but:
        left = set(named(but))
        kept = [hole for hole in named(body["holes"]) if hole not in left]
        body["holes"] = list(write_ranges(kept))
    begun = str(form.get("begun", ""))
    if begun and body.get("holes"):
        body["run_s"] = max(0, round((now - _moment(begun)).total_seconds()))
    return {
        "fact": 1,
        "id": str(form.get("id", "")),
        "kind": str(form.get("kind", "")),
        "version": _whole("version", str(form.get("version", "1"))),
        "assembly": assembly,
        "happened": write_utc(now.astimezone(UTC)),
        "offset_min": _offset_min(now),
        "revision": _whole("revision", str(form.get("revision", "0"))),
        "saw": _whole("saw", str(form.get("saw", "0"))),
        "body": body,
    }


def _body(form: FormData) -> dict[str, Any]:
    written = str(form.get("body", "{}"))
    try:
        body = json.loads(written) if len(written) <= BODY_MAX else None
    except ValueError:
        body = None
    if not isinstance(body, dict):
        raise _refused("body", written[:80], "the JSON that the page put there")
    return body


def _fill(
    body: dict[str, Any], field: str, written: list[str], ids: HoleIds | None
) -> None:
    """Put what was typed into the body."""
    form, dot, name = field.partition(".")
    last = written[-1].strip()
    if field == "names" and ids is not None:
        body["holes"] = list(holes_named(last, ids))
    elif not dot:
        return
    elif form == "list":
        body[name] = [one for one in written if one.strip()]
    elif form == "yes":
        body[name] = last == "yes"
    elif form == "text" and last:
        body[name] = last
    elif form == "whole" and last:
        body[name] = _whole(name, last)


def holes_named(written: str, ids: HoleIds) -> tuple[str, ...]:
    """Holes typed by name, `A12:18-20, A13:1`, as facts write them.

    Raises:
        NotFound: the plan has no such hole.
    """
    ranges = [parse_hole_range(one) for one in written.replace(",", " ").split()]
    columns = ids.holes
    found: Iterable[int] = (at for one in ranges for at in columns.indices(one))
    return ids.ranges(found)


def _whole(name: str, written: str) -> int:
    if not written.isascii() or not written.isdigit() or len(written) > 15:
        raise _refused(name, written[:80], "a whole number")
    return int(written)


def _moment(written: str) -> datetime:
    try:
        when = datetime.fromisoformat(written)
    except ValueError as problem:
        allowed = "the time that the page put there"
        raise _refused("begun", written[:80], allowed) from problem
    return when if when.tzinfo else when.replace(tzinfo=UTC)


def _offset_min(now: datetime) -> int:
    """How far the clock on the wall here stands ahead of UTC [min]."""
    offset = now.astimezone().utcoffset()
    return round(offset.total_seconds() / 60) if offset else 0


def _refused(name: str, found: str, allowed: str) -> FactRefused:
    return FactRefused(
        asked=f"read {name} of a mark",
        found=repr(found),
        allowed=allowed,
        do="go back, load the page again and press once more",
    )
