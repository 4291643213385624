"""Public instances of the sequential ordering problem, all at best known.

TSPLIB, G. Reinelt, ORSA Journal on Computing 3(4), 376-384, 1991; best known values
from the list in github.com/IsaacRudich/PnB_SOP, src/examples/sop.jl (SECOND-HAND; see
data/sop/SOURCE.md). They check that cost tables, direction and precedence are read
right, and that the core which orders them is sound.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from rivetwright.engines.order.sop import Sequencing, shortest_path
from rivetwright.engines.order.sop_model import prove
from rivetwright.errors import PlanRefused
from rivetwright.intake.sop_file import read_sop

DATA = Path(__file__).parent / "data" / "sop"
BY_EXCHANGE = [
    ("ESC07", 2125, 50),
    ("ESC25", 1681, 200),
    ("br17.12", 55, 400),
    ("ft53.4", 14425, 400),
    ("rbg174a", 2033, 1500),
]
# Found and proven by the exact model, begun from what the exchange found.
BY_MODEL = [("ESC47", 1288, 8.0), ("rbg050c", 467, 2.0), ("rbg109a", 1038, 8.0)]


@pytest.mark.parametrize(("name", "best_known", "rounds"), BY_EXCHANGE)
def test_exchange_of_segments_reaches_best_known(
    name: str, best_known: int, rounds: int
) -> None:
    """The path keeps what comes first, costs what it says, and is as short as known."""
    problem = Sequencing.of(read_sop(DATA / f"{name}.sop"))
    path = shortest_path(problem, rounds)
    order = np.array(path.order)
    assert problem.keeps(order)
    assert problem.cost_of(order) == path.cost == best_known


@pytest.mark.parametrize(("name", "best_known", "work"), BY_MODEL)
def test_exact_model_reaches_best_known(
    name: str, best_known: int, work: float
) -> None:
    """The model makes the path as short as known, and its bound lies no higher."""
    problem = Sequencing.of(read_sop(DATA / f"{name}.sop"))
    path, bound = prove(problem, shortest_path(problem, 100), work)
    assert problem.keeps(np.array(path.order))
    assert path.cost == best_known
    assert bound <= best_known


def test_paths_begin_first_and_end_last() -> None:
    """The form says: from the first thing to the last, through all of them."""
    problem = Sequencing.of(read_sop(DATA / "ESC25.sop"))
    path = shortest_path(problem, 0)
    assert path.order[0] == 0
    assert path.order[-1] == len(problem.cost) - 1


def test_a_table_that_is_too_short_is_refused(tmp_path: Path) -> None:
    """Dimension 3 wants nine numbers; eight are told, and where to look."""
    file = tmp_path / "short.sop"
    file.write_text("EDGE_WEIGHT_SECTION\n3\n0 1 2\n-1 0 3\n-1 -1\nEOF\n")
    with pytest.raises(PlanRefused, match="8 numbers for dimension 3"):
        read_sop(file)
