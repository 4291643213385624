"""Lines of text in columns, fitted to a width; long cells go on below themselves."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len

GAP = 2
NOTHING = "-"


@dataclass(frozen=True)
class Column:
    """A column: its heading, its cells, and how little room it can do with.

    `narrow` is the width its cells may be folded to; 0: never folded. `goes` says
    in which order columns are left out where room is short; 0: it stays.
    """

    heading: str
    cells: Sequence[str]
    right: bool = False
    narrow: int = 0
    goes: int = 0

    @property
    def width(self) -> int:
        """Width of the widest cell, or of the heading."""
        return max(map(cell_len, (self.heading, *self.cells)))

    @property
    def least(self) -> int:
        """Width it can be folded to."""
        if not self.narrow:
            return self.width
        return min(self.width, max(self.narrow, cell_len(self.heading)))

    @property
    def is_empty(self) -> bool:
        """Whether no cell says anything."""
        return all(cell in ("", NOTHING) for cell in self.cells)


@dataclass(frozen=True)
class Laid:
    """A laid-out table: its lines, the heading first, and what found no room."""

    lines: tuple[str, ...]
    left_out: tuple[str, ...]


def lay_out(columns: Sequence[Column], width: int) -> Laid:
    """Lay columns beside each other; empty ones, and those without room, are left out.

    Args:
        columns: the columns, each with as many cells.
        width: width of the terminal, in letters.
    """
    kept = [one for one in columns if not one.is_empty]
    going = sorted((one for one in kept if one.goes), key=lambda one: one.goes)
    while going and _needed([one.least for one in kept]) > width:
        kept.remove(going.pop(0))
    left_out = [c.heading for c in columns if c not in kept and not c.is_empty]
    widths = _widths(kept, width)
    heading = _line([one.heading for one in kept], kept, widths)
    lines = [heading]
    for cells in zip(*(one.cells for one in kept), strict=True):
        lines += _folded(cells, kept, widths)
    return Laid(tuple(lines), tuple(left_out))


def _needed(widths: Sequence[int]) -> int:
    """Width of columns with the gaps between them."""
    return sum(widths) + GAP * (len(widths) - 1)


def _widths(columns: Sequence[Column], width: int) -> list[int]:
    """Widths that fit: folded columns give way from the widest on."""
    widths = [one.width for one in columns]
    while _needed(widths) > width:
        spare = [w - one.least for w, one in zip(widths, columns, strict=True)]
        most = max(range(len(spare)), key=spare.__getitem__)
        if spare[most] == 0:
            break
        widths[most] -= 1
    return widths


def _folded(
    cells: Sequence[str], columns: Sequence[Column], widths: Sequence[int]
) -> list[str]:
    """One row of the table as one line or more."""
    if all(cell_len(c) <= w for c, w in zip(cells, widths, strict=True)):
        return [_line(cells, columns, widths)]
    folded = [
        textwrap.wrap(cell, w, break_on_hyphens=False) or [""]
        for cell, w in zip(cells, widths, strict=True)
    ]
    height = max(map(len, folded))
    padded = [lines + [""] * (height - len(lines)) for lines in folded]
    return [_line(parts, columns, widths) for parts in zip(*padded, strict=True)]


def _line(
    cells: Sequence[str], columns: Sequence[Column], widths: Sequence[int]
) -> str:
    """Cells beside each other, without blanks at the end."""
    made = []
    for cell, column, width in zip(cells, columns, widths, strict=True):
        blanks = " " * (width - cell_len(cell))
        made.append(blanks + cell if column.right else cell + blanks)
    return (" " * GAP).join(made).rstrip()


def hanging(label: str, text: str, width: int, *, indent: int) -> str:
    """A labelled paragraph whose further lines begin under its first word."""
    start = f"{label:<{indent}}"
    return textwrap.fill(
        text,
        max(width, indent + 20),
        initial_indent=start,
        subsequent_indent=" " * indent,
        break_on_hyphens=False,
        break_long_words=False,
    )
