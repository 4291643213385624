"""A folded state as bytes and back, so that a long record opens at once."""

from __future__ import annotations

import json
import types
import zlib
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from rivetwright.record.state import State

FORM = 1


def dump_state(state: State) -> bytes:
    """A state as bytes; equal states give equal bytes."""
    said = {"snapshot": FORM, "state": _plain(state)}
    text = json.dumps(said, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return zlib.compress(text.encode(), level=1)


def load_state(stored: bytes) -> State | None:
    """A state from its bytes; None where another form was written."""
    try:
        said = json.loads(zlib.decompress(stored))
    except (zlib.error, ValueError):
        return None
    if said.get("snapshot") != FORM:
        return None
    state: State = _read(State, said["state"])
    return state


def _plain(value: Any) -> Any:
    """Dataclasses as lists of their fields, keys of two words joined by a tab."""
    if is_dataclass(value):
        return [_plain(getattr(value, one.name)) for one in fields(value)]
    if isinstance(value, dict):
        return {_key(name): _plain(one) for name, one in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(one) for one in value]
    return value


def _key(name: Any) -> str:
    return "\t".join(name) if isinstance(name, tuple) else str(name)


@cache
def _hints(kind: type) -> tuple[Any, ...]:
    """The types of a dataclass's fields, in their order."""
    hints = get_type_hints(kind)
    return tuple(hints[one.name] for one in fields(kind))


@cache
def _shape(hint: Any) -> tuple[str, Any]:
    """How a value of this type is read, and the types inside it."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return "maybe", inner[0]
    if origin is dict:
        return "dict", inner
    if origin is list:
        return "list", inner[0]
    if origin is tuple:
        return ("tuple", inner[0]) if inner[-1] is Ellipsis else ("places", inner)
    if is_dataclass(hint):
        return "fields", _hints(hint)  # type: ignore[arg-type]
    return "plain", None


def _read(hint: Any, value: Any) -> Any:
    shape, inner = _shape(hint)
    if shape == "plain" or value is None:
        return value
    if shape == "fields":
        pairs = zip(inner, value, strict=True)
        return hint(*[_read(one, part) for one, part in pairs])
    if shape == "maybe":
        return _read(inner, value)
    if shape == "dict":
        return {_name(inner[0], k): _read(inner[1], v) for k, v in value.items()}
    if shape == "list":
        return [_read(inner, part) for part in value]
    if shape == "tuple":
        return tuple(_read(inner, part) for part in value)
    return tuple(_read(one, part) for one, part in zip(inner, value, strict=True))


def _name(hint: Any, text: str) -> Any:
    if hint is int:
        return int(text)
    return tuple(text.split("\t")) if get_origin(hint) is tuple else text
