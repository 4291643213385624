"""JSON read strictly, with every fault of its fields told by its place.

Refuses what hides a slip: a field twice, NaN and infinity, text that is no JSON, a
file over 64 MB. A value is checked as it is taken; one that is refused comes back as
something harmless, so that the rest of the file is still looked at.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

from rivetwright.errors import nearest_hint
from rivetwright.intake.faults import Faults
from rivetwright.intake.faults import Path as Place

BYTES_MOST = 64_000_000
WHOLE_MOST = 2**31 - 1

_Value = TypeVar("_Value")


class _Slip(ValueError):
    """What the JSON itself must not hold."""


def _no_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    fields = dict(pairs)
    if len(fields) < len(pairs):
        names = [name for name, _ in pairs]
        twin = next(name for name in names if names.count(name) > 1)
        raise _Slip(f"the field {twin} twice")
    return fields


def _no_constant(name: str) -> float:
    raise _Slip(f"the number {name}")


def load_json(path: Path, faults: Faults) -> dict[str, Any]:
    """Read a JSON file whose outermost value is a group of fields.

    Raises:
        PlanRefused: there is no such file, or it holds no such JSON.
    """
    allowed = "JSON with a group of fields, each once"
    try:
        raw = path.read_bytes()
        if len(raw) > BYTES_MOST:
            raise _Slip(f"{len(raw):,} bytes")
        loaded = json.loads(
            raw.decode("utf-8-sig"),
            object_pairs_hook=_no_twins,
            parse_constant=_no_constant,
        )
        if not isinstance(loaded, dict):
            raise _Slip("JSON of another kind")
    except OSError as why:
        found = why.strerror or "a file that cannot be read"
        faults.add((), found, "a file that can be read", "Check its name and folder")
    except json.JSONDecodeError as why:
        faults.add((), why.msg, allowed, "Mend the line", line=why.lineno)
    except UnicodeDecodeError:
        faults.add((), "bytes that are no text", allowed, "Write it as UTF-8")
    except RecursionError:
        faults.add((), "groups too deep in one another", allowed, "Write it flat")
    except _Slip as why:
        faults.add((), str(why), allowed, "Write it once, or mend the number")
    else:
        return loaded
    raise faults.refusal()


class Reader:
    """Takes values out of loaded JSON; what is not allowed becomes a fault."""

    def __init__(self, faults: Faults) -> None:
        self.faults = faults

    def fields(
        self, place: Place, written: Any, needed: Sequence[str], more: Sequence[str]
    ) -> dict[str, Any]:
        """A group with these fields; further ones are told with the nearest name."""
        if not isinstance(written, dict):
            self.faults.add(place, written, f"a group with {', '.join(needed)}")
            return {}
        known = [*needed, *more]
        for name in written:
            if name not in known:
                allowed = f"one of {', '.join(known)}{nearest_hint(name, known)}"
                self.faults.add((*place, name), "a field of this name", allowed)
        for name in needed:
            if name not in written:
                self.faults.add((*place, name), "nothing", "a value", "Write it")
        return written

    def number(self, place: Place, written: Any, least: float = -math.inf) -> float:
        """A number, not below the least."""
        is_number = isinstance(written, int | float) and not isinstance(written, bool)
        if is_number and math.isfinite(written) and written >= least:
            return float(written)
        bound = "" if least == -math.inf else f" of {least:g} or more"
        self.faults.add(place, written, f"a number{bound}")
        return 1.0

    def whole(
        self, place: Place, written: Any, below: int = WHOLE_MOST, least: int = 0
    ) -> int:
        """A whole number from the least up to, but not at, the bound."""
        is_whole = isinstance(written, int) and not isinstance(written, bool)
        if is_whole and least <= written < below:
            return int(written)
        allowed = f"a whole number from {least} to {below - 1}"
        self.faults.add(place, written, allowed if below > least else "nothing here")
        return least

    def flag(self, place: Place, written: Any) -> bool:
        """0 or 1."""
        return bool(self.whole(place, written, 2))

    def text(self, place: Place, written: Any) -> str:
        """A text that is not empty."""
        if isinstance(written, str) and written:
            return written
        self.faults.add(place, written, "a text")
        return ""

    def maybe(
        self, place: Place, written: Any, take: Callable[[Place, Any], _Value]
    ) -> _Value | None:
        """A value, or null."""
        return None if written is None else take(place, written)

    def each(
        self,
        place: Place,
        written: Any,
        take: Callable[[Place, Any], _Value],
        count: int | None = None,
    ) -> list[_Value]:
        """A list, each value taken by itself; `count` of them where it is given."""
        if not isinstance(written, list):
            self.faults.add(place, written, "a list")
            return []
        if count is not None and len(written) != count:
            self.faults.add(place, written, f"a list of {count} value(s)")
            return []
        return [take((*place, k), value) for k, value in enumerate(written)]
