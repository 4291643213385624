"""What the books say about using another rivet than the one that is short.

Source: NAVEDTRA 14018 ch. 13 for cutting a longer one; FAA AC 43.13-1B para 4-57b
for a softer one, in standards.strength.
"""

from __future__ import annotations

from rivetwright.standards.source import Looked
from rivetwright.standards.table import read_table


def cut_from_longer() -> Looked[str]:
    """Say where it stands that a longer rivet may be cut to the length wanted.

    Returns:
        The name of the rule, with its source.

    Source:
        NAVEDTRA 14018 ch. 13, fig. 13-2; READ; stand_ins.csv.
    """
    row = read_table("stand_ins").where(rule="cut")[0]
    return row.looked(row.cells["rule"])
