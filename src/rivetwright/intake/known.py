"""The names of one file, for looking up what other parts of it refer to."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from rivetwright.errors import CodeRefused, nearest_hint
from rivetwright.intake.faults import Faults, Path
from rivetwright.model.plan import (
    PLAIN,
    PREPARATIONS,
    Callout,
    HoleRange,
    Row,
    Sheet,
)
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import parse_rivet_code

_RANGE = re.compile(r"(?P<row>[^:]+)(?::(?P<first>\d+)(?:-(?P<last>\d+))?)?")
NUMBERS_SHOWN = 6


@dataclass(frozen=True)
class Numbers:
    """Which hole numbers a row has."""

    count: int
    skip: frozenset[int] = frozenset()
    extra: frozenset[int] = frozenset()

    @classmethod
    def of(cls, row: Row) -> Numbers:
        """The numbers of a row."""
        extra = frozenset(hole.number for hole in row.extra)
        return cls(row.pattern.count, frozenset(row.skip), extra)

    def has(self, number: int) -> bool:
        """Whether the row has this hole."""
        in_pattern = 1 <= number <= self.count and number not in self.skip
        return in_pattern or number in self.extra

    @property
    def first(self) -> int:
        """The lowest number."""
        pattern = next((k for k in range(1, self.count + 1) if k not in self.skip), 0)
        return min([k for k in (pattern, *self.extra) if k], default=0)

    @property
    def last(self) -> int:
        """The highest number."""
        down = range(self.count, 0, -1)
        pattern = next((k for k in down if k not in self.skip), 0)
        return max((pattern, *self.extra))

    def __len__(self) -> int:
        """How many holes there are."""
        return self.count - len(self.skip) + len(self.extra)


@dataclass
class Known:
    """Names that may be referred to; also those whose own lines had faults."""

    faults: Faults
    parts: set[str] = field(default_factory=set)
    faces: set[str] = field(default_factory=set)
    steps: set[str] = field(default_factory=set)
    open_holes: set[str] = field(default_factory=set)
    rows: set[str] = field(default_factory=set)
    numbers: dict[str, Numbers] = field(default_factory=dict)
    blind_codes: Mapping[str, KitBlindCode | None] = field(default_factory=dict)
    shanks_mm: Mapping[str, Fraction] = field(default_factory=dict)

    def check(self, what: str, name: str, path: Path) -> bool:
        """Whether a part, face, step, row or open hole exists; notes it where not."""
        section = "open_holes" if what == "open hole" else f"{what}s"
        names: set[str] = getattr(self, section)
        if name in names:
            return True
        if self.faults.is_told((section,)):
            return False
        self.faults.unknown(path, what, name, sorted(names))
        return False

    def range(self, written: str, path: Path) -> HoleRange | None:
        """Read a range of holes that the rows have; notes it where they have not."""
        match = _RANGE.fullmatch(written)
        row = match["row"] if match else written
        if match is None or not self.check("row", row, path):
            return None
        numbers = self.numbers.get(row)
        if numbers is None:
            return None
        if match["first"] is None:
            return HoleRange(row, numbers.first, numbers.last)
        first = int(match["first"])
        last = int(match["last"] or first)
        if first <= last and numbers.has(first) and numbers.has(last):
            return HoleRange(row, first, last)
        self.faults.add(
            path,
            written,
            f"numbers that row {row} has, {numbers.first} to {numbers.last}",
            "Check the number along the row",
        )
        return None

    def ranges(self, written: Iterable[str], path: Path) -> tuple[HoleRange, ...]:
        """Read several ranges."""
        found = (self.range(text, (*path, k)) for k, text in enumerate(written))
        return tuple(holes for holes in found if holes is not None)

    def callout(self, written: str, path: Path) -> Callout | None:
        """Read a rivet's part number or a blind code that the file declares."""
        code = " ".join(written.split())
        if code in self.blind_codes:
            return self.blind_codes[code]
        try:
            rivet = parse_rivet_code(code)
        except CodeRefused as why:
            hint = nearest_hint(code, self.blind_codes)
            self.faults.add(
                path,
                f"callout {code}",
                f"{why.allowed}, or a code under blind_codes{hint}",
                why.do,
            )
            return None
        shank_mm = self.shanks_mm.get(rivet.kind)
        return rivet if shank_mm is None else rivet.with_shank(shank_mm)

    def stack(self, written: Iterable[str], path: Path) -> tuple[Sheet, ...]:
        """Read a stack, manufactured-head side first: `503 dimple`."""
        sheets = []
        for k, text in enumerate(written):
            part, _, preparation = " ".join(text.split()).partition(" ")
            at = (*path, k)
            if preparation and preparation not in PREPARATIONS:
                allowed = " or ".join(PREPARATIONS)
                hint = nearest_hint(preparation, PREPARATIONS)
                self.faults.add(
                    at, text, f"a part, then {allowed}{hint}", f"Write {part} dimple"
                )
            elif self.check("part", part, at):
                sheets.append(Sheet(part, preparation or PLAIN))
        return tuple(sheets)
