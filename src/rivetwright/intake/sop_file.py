"""Files of the sequential ordering problem, as the public collection has them.

After `EDGE_WEIGHT_SECTION` stand the dimension n and an n x n table: the cost of
going from i to j, -1 where j has to come before i, 1000000 for never.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rivetwright.intake.faults import Faults

_SECTION = "EDGE_WEIGHT_SECTION"
_END = "EOF"
_ALLOWED = f"a dimension and its table of whole numbers after {_SECTION}"


def read_sop(path: Path | str) -> NDArray[np.int64]:
    """Read the table of one file.

    Args:
        path: the file.

    Returns:
        The table, shape (things, things); -1 at (i, j): j comes before i.

    Raises:
        PlanRefused: the file is not there, or it holds no such table.
    """
    faults = Faults(str(path), described_in="its own heading")
    try:
        text = Path(path).read_text(encoding="ascii")
    except OSError as why:
        found = why.strerror or "a file that cannot be read"
        faults.add((), found, "a file that can be read", "Check its name and folder")
        raise faults.refusal() from None
    words = text.partition(_SECTION)[2].partition(_END)[0].split()
    if not words or not all(word.lstrip("-").isdecimal() for word in words):
        faults.add((), "no table, or words in it", _ALLOWED)
        raise faults.refusal()
    count, *table = (int(word) for word in words)
    if count < 1 or len(table) != count * count:
        faults.add((), f"{len(table)} numbers for dimension {count}", _ALLOWED)
        raise faults.refusal()
    return np.array(table, dtype=np.int64).reshape(count, count)
