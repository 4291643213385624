"""The next size up for a spoilt hole, and how many of them one pattern bears.

Source: MIL-R-47196A 3.4.1 as a public summary has it (SECOND-HAND); rework.csv.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor

from rivetwright.standards.source import Looked
from rivetwright.standards.table import Row, read_table


def next_diameter_32nds(diameter_32nds: int) -> Looked[int]:
    """Give the largest next size for an enlarged hole.

    Pitch and edge minima must hold for the new size too.

    Args:
        diameter_32nds: present nominal diameter [1/32 in].

    Returns:
        Next diameter [1/32 in].

    Source:
        MIL-R-47196A 3.4.1, public summary; SECOND-HAND; rework.csv.
    """
    row = _row("step up to 1/4" if diameter_32nds <= 8 else "step above 1/4")
    return row.looked(diameter_32nds + int(row.number("value") * 32))


def oversize_most(pattern_count: int) -> Looked[int]:
    """Give how many rivets of a pattern may be oversize.

    Oversize holes and oversize countersinks count together.

    Args:
        pattern_count: rivets in the pattern [-].

    Returns:
        The lesser of 20 % of them, whole rivets only, and 10.

    Source:
        MIL-R-47196A 3.4.1, public summary; SECOND-HAND; rework.csv.
    """
    share, most = _row("share of a pattern"), _row("rivets of a pattern")
    by_share = floor(Fraction(pattern_count) * share.number("value"))
    by_count = int(most.number("value"))
    return share.looked(by_share) if by_share <= by_count else most.looked(by_count)


def adjacent_oversize_most() -> Looked[int]:
    """Give how many oversize rivets may stand side by side before one must ask.

    Returns:
        Adjacent oversize rivets.

    Source:
        MIL-R-47196A 3.4.1, public summary; SECOND-HAND; rework.csv.
    """
    row = _row("adjacent")
    return row.looked(int(row.number("value")))


def _row(quantity: str) -> Row:
    """Find one row of the rework rules."""
    return read_table("rework").where(quantity=quantity)[0]
