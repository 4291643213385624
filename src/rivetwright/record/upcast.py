"""Read the body of a fact; older versions of a kind are read as the present one.

The stored bytes stay as they were written. `OLDER` says, for a kind and an older
version, what its fields are called and worth one version later.
"""

from __future__ import annotations

import types
from collections.abc import Callable
from dataclasses import MISSING, fields
from datetime import date
from typing import Any, Union, get_args, get_origin, get_type_hints

from rivetwright.errors import FactRefused, nearest_hint
from rivetwright.record.kinds import KINDS, Kind
from rivetwright.record.ranges import stretches

TEXT_MAX, LIST_MAX = 4000, 5000
# Fields that name a day, in every kind that has them.
DAYS = frozenset({"day", "until", "due", "issued"})
# Fields that name holes, in every kind that has them.
HOLES = "holes"
OneLater = Callable[[dict[str, Any]], dict[str, Any]]
# A head's looks of version 1 that have another word now.
_LOOKS_OF_1 = {"gap": "gap under the shop head", "cut": "head cut"}


def _head_of_1(body: dict[str, Any]) -> dict[str, Any]:
    """A head check of version 1: fewer fields, and two looks by shorter words."""
    looks = body.get("looks")
    if not isinstance(looks, list | tuple):
        return body
    words = [
        _LOOKS_OF_1.get(one, one) if isinstance(one, str) else one for one in looks
    ]
    return {**body, "looks": words}


OLDER: dict[tuple[str, int], OneLater] = {("head-checked", 1): _head_of_1}
_HINTS = {
    kind: {
        name: hint
        for name, hint in get_type_hints(kind).items()
        if name in {one.name for one in fields(kind)}  # type: ignore[arg-type]
    }
    for kind in KINDS.values()
}


def read_body(said: dict[str, Any]) -> Kind:
    """The body of a fact, from the JSON values of the whole fact.

    Raises:
        FactRefused: the kind or its version is unknown, or a field is missing,
            unknown, or of another type or length.
    """
    name, version, body = said.get("kind"), said.get("version"), said.get("body")
    kind = KINDS.get(name) if isinstance(name, str) else None
    if kind is None:
        near = nearest_hint(str(name), KINDS)
        raise _refused("kind", name, f"a kind of fact{near}")
    if not isinstance(body, dict):
        raise _refused(f"body of {name}", body, "its fields")
    body = _as_present(kind, version, body)
    hints = _HINTS[kind]
    for unknown in set(body) - set(hints):
        near = nearest_hint(str(unknown), hints)
        raise _refused(f"{name}.{unknown}", body[unknown], f"no such field{near}")
    taken = {}
    for one in fields(kind):  # type: ignore[arg-type]
        if one.name in body:
            taken[one.name] = _read(
                hints[one.name], body[one.name], f"{name}.{one.name}"
            )
        elif one.default is MISSING:
            raise _refused(f"{name}.{one.name}", "nothing", "a value; it is needed")
    _check_days(kind.name, taken)
    for _ in stretches(taken.get(HOLES, ())):
        pass  # each is of the form, and all together are not too many
    return kind(**taken)


def _as_present(
    kind: type[Kind], version: object, body: dict[str, Any]
) -> dict[str, Any]:
    """The fields as the present version has them, one version after the other."""
    known = type(version) is int and 1 <= version <= kind.version
    at = version if known and isinstance(version, int) else kind.version + 1
    while at < kind.version and (kind.name, at) in OLDER:
        body = OLDER[kind.name, at](body)
        at += 1
    if at != kind.version:
        where = f"version of {kind.name}"
        raise _refused(where, version, f"{kind.version}, or an older one")
    return body


def is_text(value: object, most: int) -> bool:
    """Whether a value is text of at most so many characters that can be stored."""
    if not isinstance(value, str) or len(value) > most or "\0" in value:
        return False
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


def _check_days(name: str, taken: dict[str, Any]) -> None:
    """Days are read by every page, so none may be without one that can be read."""
    for field in DAYS & set(taken):
        try:
            if taken[field]:
                date.fromisoformat(taken[field])
        except ValueError:
            allowed = "a day as 2026-11-25, or nothing"
            raise _refused(f"{name}.{field}", taken[field], allowed) from None


def _read(hint: Any, value: Any, where: str) -> Any:
    """One value of a field, as its type says."""
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        if value is None:
            return None
        return _read(get_args(hint)[0], value, where)
    if origin is tuple:
        if not isinstance(value, list | tuple) or len(value) > LIST_MAX:
            raise _refused(where, value, f"a list of at most {LIST_MAX}")
        inner = get_args(hint)
        kinds = [inner[0]] * len(value) if inner[-1] is Ellipsis else list(inner)
        if len(kinds) != len(value):
            raise _refused(where, value, f"a list of {len(kinds)}")
        return tuple(
            _read(one, part, where) for one, part in zip(kinds, value, strict=True)
        )
    if hint is bool:
        fits = isinstance(value, bool)
    elif hint is float:
        fits = isinstance(value, int | float) and not isinstance(value, bool)
        fits = fits and 0 <= value < 1e9
    elif hint is int:
        fits = isinstance(value, int) and not isinstance(value, bool)
        fits = fits and 0 <= value < 2**53
    else:
        fits = is_text(value, TEXT_MAX)
    if not fits:
        raise _refused(where, value, _WORDS[hint])
    return float(value) if hint is float else value


_WORDS = {
    bool: "true or false",
    float: "a number, not below 0",
    int: "a whole number, not below 0",
    str: f"text of at most {TEXT_MAX} characters",
}


def _refused(where: str, found: object, allowed: str) -> FactRefused:
    return FactRefused(
        asked=f"read {where}",
        found=repr(found)[:120],
        allowed=allowed,
        do="send the fact as docs/record.md describes it",
    )
