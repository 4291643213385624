"""The mistakes of one file, gathered until the whole of it has been looked at."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from rivetwright.errors import Fault, PlanRefused, nearest_hint

Path = tuple[str | int, ...]

FAULTS_TOLD = 200

_FOUND_MOST = 60
_LOST_TO_COMMENT = re.compile(r":\s+#")


def show_path(path: Path) -> str:
    """Write where a value stands: `rows.A1.by[2]`, list places counted from 1."""
    shown = ""
    for step in path:
        if isinstance(step, int):
            shown += f"[{step + 1}]"
        else:
            shown += f".{step}" if shown else step
    return shown or "file"


def show_found(written: object) -> str:
    """Repeat what stood there, shortened."""
    if isinstance(written, str):
        short = " ".join(written.split())
        cut = short if len(short) <= _FOUND_MOST else f"{short[:_FOUND_MOST]}..."
        return cut or "an empty text"
    if isinstance(written, Mapping):
        return f"a group of {len(written)} field(s)"
    if isinstance(written, list):
        return f"a list of {len(written)} value(s)"
    return str(written)


class Faults:
    """Collects faults with their lines; a place is told once.

    A fault under a place that is already known to be wrong is left out, so that
    one slip gives one fault.
    """

    def __init__(
        self, file: str, text: str = "", described_in: str = "docs/plan-file.md"
    ) -> None:
        self.file = file
        self.described_in = described_in
        self.lines: dict[Path, int] = {}
        self._text = text.splitlines()
        self._told: dict[Path, Fault] = {}
        self._hushed: set[Path] = set()

    def __len__(self) -> int:
        """Number of faults so far."""
        return len(self._told)

    def line(self, path: Path) -> int:
        """Line of a value, or of the nearest group round it."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 0)

    def is_told(self, path: Path) -> bool:
        """Whether this place, or one round it, is already known to be wrong."""
        first = min(1, len(path))
        above = (path[:k] for k in range(first, len(path) + 1))
        return any(one in self._told or one in self._hushed for one in above)

    def hush(self, path: Path) -> None:
        """Tell nothing about a place: it was told under a misspelt name."""
        self._hushed.add(path)

    def add(
        self, path: Path, found: object, allowed: str, do: str = "", line: int = 0
    ) -> None:
        """Note one fault, unless its place was told already."""
        if self.is_told(path):
            return
        at = line or self.line(path)
        do = do[:1].upper() + do[1:].removesuffix(".")
        self._told[path] = Fault(
            self.file, at, show_path(path), show_found(found), allowed, do
        )

    def empty(self, path: Path) -> None:
        """Note a field with nothing in it; says so where a `#` swallowed it."""
        line = self.line(path)
        words = self._text[line - 1] if 0 < line <= len(self._text) else ""
        allowed, do = "a value", "Write it, or leave the field out"
        found = "nothing"
        if _LOST_TO_COMMENT.search(words):
            found = "nothing: after a bare # the file reads a comment"
            allowed = 'a value, with "#40" in quotes'
            do = "Put it in quotes, or write No. 40"
        elif path and str(path[-1]).isdecimal():
            do = "A decimal comma? Write .04 with a point"
        elif path and " " in str(path[-1]):
            do = "In braces a text with a comma needs quotes"
        self.add(path, found, allowed, do)

    def unknown(
        self, path: Path, what: str, name: str, known: Iterable[str], do: str = ""
    ) -> None:
        """Note a name that the file does not have, with the nearest right one."""
        names = list(known)
        some = ", ".join(names[:6]) + (", ..." if len(names) > 6 else "")
        article = "an" if what[0] in "aeiou" else "a"
        # The nearest name costs a comparison with every other: not for the untold.
        hint = nearest_hint(name, names) if len(self) < FAULTS_TOLD else ""
        self.add(
            path,
            f"{what} {name}",
            f"{article} {what} of this file ({some or 'it has none'}){hint}",
            do or f"Write the {what} as the file names it, or add it",
        )

    def refuse(self) -> None:
        """Raise everything found; nothing if all is well.

        Raises:
            PlanRefused: there is at least one fault.
        """
        if self._told:
            raise self.refusal()

    def refusal(self) -> PlanRefused:
        """The refusal with everything found, in the order of the lines."""
        told = sorted(self._told.values(), key=lambda fault: fault.line)
        more = len(told) - FAULTS_TOLD
        if more > 0:
            do = "Mend those above first, then read the file again"
            rest = Fault(self.file, 0, "file", f"{more:,} more faults", "none", do)
            told = [*told[:FAULTS_TOLD], rest]
        return PlanRefused(told, self.described_in)
