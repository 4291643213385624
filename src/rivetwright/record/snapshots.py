"""A folded state as bytes and back, so that a long record opens at once.

A snapshot is marked with the version of the program that folded it and the shape of
the state. One that bears another mark is folded anew: it may say something that the
facts, read by this program, do not.
"""

from __future__ import annotations

import json
import types
import zlib
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from hashlib import sha256
from operator import attrgetter
from typing import Any, Union, get_args, get_origin, get_type_hints

from rivetwright import __version__
from rivetwright.record.rings import no_search_for_rings
from rivetwright.record.state import State

Step = Callable[[Any], Any]


def dump_state(state: State) -> bytes:
    """A state as bytes; equal states give equal bytes."""
    write = _way(State)[0]
    assert write is not None
    with no_search_for_rings():
        said = {"snapshot": mark(), "state": write(state)}
        text = json.dumps(said, sort_keys=True, separators=(",", ":"))
    return zlib.compress(text.encode(), level=1)


def load_state(stored: bytes) -> State | None:
    """A state from its bytes; None where they bear another mark."""
    read = _way(State)[1]
    assert read is not None
    with no_search_for_rings():
        try:
            said = json.loads(zlib.decompress(stored))
        except (zlib.error, ValueError):
            return None
        if not isinstance(said, dict) or said.get("snapshot") != mark():
            return None
        state: State = read(said["state"])
        return state


@cache
def mark() -> str:
    """What snapshots of this program bear: its version, and the shape of a state."""
    shape = "\n".join(sorted(_shapes(State, set())))
    return f"{__version__} {sha256(shape.encode()).hexdigest()[:16]}"


def _shapes(hint: Any, seen: set[type]) -> Iterator[str]:
    """Every class that a state is made of, with the names and types of its fields."""
    if is_dataclass(hint) and isinstance(hint, type) and hint not in seen:
        seen.add(hint)
        hints = get_type_hints(hint)
        named = [f"{one.name}: {hints[one.name]}" for one in fields(hint)]
        yield f"{hint.__name__}({', '.join(named)})"
        for inner in hints.values():
            yield from _shapes(inner, seen)
    for inner in get_args(hint):
        yield from _shapes(inner, seen)


@cache
def _way(hint: Any) -> tuple[Step | None, Step | None]:
    """How a value of this type is written and read; None: it is JSON as it stands.

    Classes become lists of their fields, keys of two words are written as JSON.
    """
    origin, inner = get_origin(hint), get_args(hint)
    if is_dataclass(hint) and isinstance(hint, type):
        return _way_of_fields(hint)
    if origin in (Union, types.UnionType):
        return _perhaps(*_way(inner[0]))
    if origin is dict:
        return _way_of_dict(inner[0], *_way(inner[1]))
    if origin is list:
        return _way_of_list(list, *_way(inner[0]))
    if origin is tuple and inner[-1] is Ellipsis:
        return _way_of_list(tuple, *_way(inner[0]))
    return None, tuple if origin is tuple else None


def _perhaps(write: Step | None, read: Step | None) -> tuple[Step | None, Step | None]:
    """The same, where there may be nothing."""

    def unless_nothing(step: Step | None) -> Step | None:
        return step and (lambda value: None if value is None else step(value))

    return unless_nothing(write), unless_nothing(read)


def _way_of_fields(kind: type) -> tuple[Step, Step]:
    names = [one.name for one in fields(kind)]
    hints = get_type_hints(kind)
    ways = [(at, *_way(hints[name])) for at, name in enumerate(names)]
    writes = [(at, write) for at, write, _ in ways if write is not None]
    reads = [(at, read) for at, _, read in ways if read is not None]
    values_of = attrgetter(*names)

    def write_fields(value: Any) -> list[Any]:
        said = list(values_of(value))
        for at, write in writes:
            said[at] = write(said[at])
        return said

    def read_fields(said: list[Any]) -> Any:
        for at, read in reads:
            said[at] = read(said[at])
        return kind(*said)

    return write_fields, read_fields


def _way_of_dict(
    key: Any, write: Step | None, read: Step | None
) -> tuple[Step | None, Step | None]:
    if get_origin(key) is tuple:
        write_key: Step = json.dumps
        read_key: Step = _two_words
    elif key is int:
        write_key, read_key = str, int
    elif write is None and read is None:
        return None, None
    else:
        write_key = read_key = _same
    write_one, read_one = write or _same, read or _same
    return (
        lambda value: {write_key(k): write_one(v) for k, v in value.items()},
        lambda said: {read_key(k): read_one(v) for k, v in said.items()},
    )


def _way_of_list(
    kind: type, write: Step | None, read: Step | None
) -> tuple[Step | None, Step | None]:
    write_all = write and (lambda value: [write(one) for one in value])
    if read is None:
        return write_all, tuple if kind is tuple else None
    return write_all, lambda said: kind(read(one) for one in said)


def _two_words(text: str) -> tuple[str, ...]:
    return tuple(json.loads(text))


def _same(value: Any) -> Any:
    return value
