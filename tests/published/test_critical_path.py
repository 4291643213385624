"""Critical paths against worked examples of a handbook and a course.

- *Project Management for Construction* (a public handbook of construction, also on
  the web), chapter 10, Table 10-2 "Precedence relations and durations for a nine
  activity project example" and the calculation of earliest event times below it. Seen
  as quoted whole on another page: SECOND-HAND. Its event times are printed; the floats
  below follow from them by hand.
- A course module on project planning, "Network construction: critical path method",
  fourteen activities, lengths of all five paths printed: READ.
"""

from __future__ import annotations

import pytest

from rivetwright.engines.network.precedence import Precedence

# Activity: days, predecessors.
NINE = {
    "A": (4, ""),
    "B": (3, ""),
    "C": (8, "A"),
    "D": (7, "A"),
    "E": (9, "BC"),
    "F": (12, "BC"),
    "G": (2, "DE"),
    "H": (5, "DE"),
    "I": (6, "FG"),
}
FOURTEEN = {
    "A": (2, ""),
    "B": (10, "A"),
    "C": (13, "A"),
    "D": (12, "A"),
    "E": (12, "B"),
    "F": (7, "B"),
    "G": (10, "D"),
    "H": (16, "D"),
    "I": (6, "F"),
    "J": (12, "CG"),
    "K": (5, "I"),
    "L": (8, "EK"),
    "M": (5, "H"),
    "N": (3, "JLM"),
}
Table = dict[str, tuple[int, str]]


def _read(table: Table) -> tuple[Precedence, list[int]]:
    network = Precedence({name: tuple(needs) for name, (_, needs) in table.items()})
    return network, [days for days, _ in table.values()]


def test_nine_activities_take_thirty_days() -> None:
    """Events at 0, 4, 12, 21, 24 and 30 days, as printed step by step.

    Event 1 ends A, 2 ends B and C, 3 ends D and E, 4 ends F and G, 5 ends H and I: so
    C and D begin at 4, E and F at 12, G and H at 21, I at 24, and all is done at 30.
    """
    network, days = _read(NINE)
    found = network.passes(days)
    assert found.early_start.tolist() == [0, 0, 4, 4, 12, 12, 21, 21, 24]
    assert found.whole == 30
    assert network.critical(days) == ("A", "C", "F", "I")


def test_floats_of_the_nine_activities() -> None:
    """Latest starts by hand from the printed times, back from 30 days.

    H and I end at 30: late starts 25 and 24. F and G end at 24: 12 and 22. D and E end
    before G (22) and H (25): 22 - 7 = 15 and 22 - 9 = 13. B and C end before E (13) and
    F (12): 12 - 3 = 9 and 12 - 8 = 4. A ends before C (4) and D (15): 0.
    Slack is late less early start. Free: D ends at 11 before 21 (10), B at 3 before 12
    (9), E at 21 at once (0), G at 23 before 24 (1), H at 26 before the end (4).
    """
    network, days = _read(NINE)
    found = network.passes(days)
    assert found.late_start.tolist() == [0, 9, 4, 15, 13, 12, 22, 25, 24]
    assert found.slack.tolist() == [0, 9, 0, 11, 1, 0, 1, 4, 0]
    assert found.free_slack.tolist() == [0, 9, 0, 10, 0, 0, 1, 4, 0]


@pytest.mark.parametrize(
    ("path", "days"),
    [("ABELN", 35), ("ABFIKLN", 41), ("ACJN", 30), ("ADGJN", 39), ("ADHMN", 38)],
)
def test_paths_of_the_fourteen_activities(path: str, days: int) -> None:
    """Each printed path alone is as long as printed."""
    chain = {
        name: (FOURTEEN[name][0], path[k - 1 : k] if k else "")
        for k, name in enumerate(path)
    }
    network, took = _read(chain)
    assert network.passes(took).whole == days
    assert network.critical(took) == tuple(path)


def test_critical_path_of_the_fourteen_activities() -> None:
    """A-B-F-I-K-L-N of 41; the path of 39 leaves G and J two, that of 38 H and M three.

    C lies on the path of 30 alone, E on that of 35: slacks 11 and 6.
    """
    network, days = _read(FOURTEEN)
    assert network.critical(days) == tuple("ABFIKLN")
    slack = dict(zip(network.names, network.passes(days).slack.tolist(), strict=True))
    assert {name for name, left in slack.items() if not left} == set("ABFIKLN")
    assert [slack[name] for name in "DGJHMCE"] == [2, 2, 2, 3, 3, 11, 6]
