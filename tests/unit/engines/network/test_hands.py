"""One pair of hands: hand-worked sittings, and a plain loop beside many trials."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.engines.network.chain import Because, chain, idle_sittings
from rivetwright.engines.network.hands import NEVER, Done, Sittings, Tasks, by_hand
from rivetwright.engines.network.precedence import Precedence

HOUR = 60.0
Needs = dict[str, tuple[str, ...]]


def _sittings(*days: int, second: tuple[int, ...] = ()) -> Sittings:
    """An hour on each of some days."""
    day = np.array(days, dtype=np.int64)
    return Sittings(day, np.full((1, len(days)), HOUR), np.isin(day, second))


def _tasks(
    needs: Needs,
    minutes: list[float],
    from_day: list[float] | None = None,
    lag: list[float] | None = None,
    two: list[bool] | None = None,
) -> Tasks:
    """One trial; what is named first is the most urgent."""
    count = len(minutes)
    return Tasks(
        Precedence(needs),
        np.array([minutes]),
        np.array([from_day or [0.0] * count]),
        np.array([lag or [0.0] * count]),
        np.array(two or [False] * count),
        -np.arange(count, dtype=float),
    )


def _days(done: Done) -> list[tuple[float, float]]:
    return list(zip(done.begin_day[0].tolist(), done.end_day[0].tolist(), strict=True))


def test_work_goes_on_in_the_next_sitting() -> None:
    """90 and 60 minutes in hours on days 0, 2, 4: to day 2, then to day 4.

    The first fills day 0 and half of day 2; the second takes the other half and half
    of day 4.
    """
    done = by_hand(_tasks({"a": (), "b": ("a",)}, [90, 60]), _sittings(0, 2, 4))
    assert _days(done) == [(0, 2), (2, 4)]
    assert done.last_day.tolist() == [4]


def test_what_waits_for_a_day_is_passed_over() -> None:
    """The first waits for day 3: the other is done meanwhile, then day 2 is idle.

    It is begun at the next sitting, on day 4, which has its whole hour.
    """
    tasks = _tasks({"late": (), "free": ()}, [60, 30], from_day=[3, 0])
    sittings = _sittings(0, 2, 4, 6)
    done = by_hand(tasks, sittings)
    assert _days(done) == [(4, 4), (0, 0)]
    assert idle_sittings(sittings, done) == 1
    links = chain(tasks, sittings, done)
    assert [(one.place, one.because) for one in links] == [(0, Because.DAY)]


def test_a_visit_comes_days_after_what_it_looks_at() -> None:
    """Done on day 0, a visit 10 days after it: day 12 is the first sitting then."""
    tasks = _tasks({"work": (), "visit": ("work",)}, [60, 60], lag=[0, 10])
    sittings = _sittings(0, 2, 4, 6, 8, 12, 14)
    done = by_hand(tasks, sittings)
    assert _days(done) == [(0, 0), (12, 12)]
    links = chain(tasks, sittings, done)
    assert [one.because for one in links] == [Because.TODAY, Because.VISIT]


def test_two_people_meet_on_their_days() -> None:
    """A second person comes on day 5 alone; what needs none is done before."""
    tasks = _tasks(
        {"pair": (), "alone": (), "rest": ()}, [30, 60, 60], two=[True, False, False]
    )
    sittings = _sittings(1, 3, 5, second=(5,))
    assert _days(by_hand(tasks, sittings)) == [(5, 5), (1, 1), (3, 3)]


def test_alone_until_the_second_person_comes() -> None:
    """Nothing else to do: days 1 and 3 pass, and the chain says why."""
    tasks = _tasks({"alone": (), "pair": ("alone",)}, [60, 30], two=[False, True])
    sittings = _sittings(0, 1, 3, 5, second=(5,))
    done = by_hand(tasks, sittings)
    assert _days(done) == [(0, 0), (5, 5)]
    assert chain(tasks, sittings, done)[-1].because is Because.SECOND


def test_too_few_sittings_are_no_date() -> None:
    """Two hours of work and one sitting: no day is told."""
    done = by_hand(_tasks({"a": ()}, [120]), _sittings(0))
    assert _days(done) == [(0, NEVER)]


def test_the_chain_is_hands_where_they_never_rest() -> None:
    """Three of an hour on end: the second for its need, the third for the hands."""
    tasks = _tasks({"a": (), "b": ("a",), "c": ()}, [60, 60, 60])
    sittings = _sittings(0, 1, 2)
    done = by_hand(tasks, sittings)
    links = chain(tasks, sittings, done)
    assert [one.place for one in links] == [0, 1, 2]
    assert [one.because for one in links] == [
        Because.TODAY,
        Because.NEED,
        Because.HANDS,
    ]


@pytest.mark.parametrize("seed", range(25))
def test_many_trials_are_a_plain_loop_each(seed: int) -> None:
    """Twelve trials at once against a loop over tasks and minutes, one by one."""
    rng = np.random.default_rng(seed)
    count, trials, sits = 9, 12, 60
    names = [f"t{k}" for k in range(count)]
    needs: Needs = {
        name: tuple(one for one in names[:k] if rng.random() < 0.25)
        for k, name in enumerate(names)
    }
    day = np.cumsum(rng.integers(1, 4, sits))
    tasks = Tasks(
        Precedence(needs),
        rng.integers(1, 200, (trials, count)).astype(float),
        rng.choice([0.0, 0.0, 15.0, 40.0], (trials, count)),
        rng.choice([0.0, 0.0, 7.0], (trials, count)),
        rng.random(count) < 0.2,
        rng.permutation(count).astype(float),
    )
    second = rng.random(sits) < 0.4
    second[-1] = True
    minutes = rng.choice([0.0, 45.0, 90.0], (trials, sits))
    sittings = Sittings(day, minutes, second)
    done = by_hand(tasks, sittings)
    for trial in range(trials):
        assert done.end_day[trial].tolist() == _plainly(tasks, sittings, trial)


def _plainly(tasks: Tasks, sittings: Sittings, trial: int) -> list[float]:
    """End of every task, one decision after the other."""
    before = tasks.precedence.before
    end = [NEVER] * len(before)
    is_done = [False] * len(before)
    days = [*sittings.day.tolist(), NEVER]
    room = [*sittings.minutes[trial].tolist(), NEVER]
    pairs = [*sittings.has_second.tolist(), True]
    at = 0

    def ready(k: int) -> float:
        if not all(is_done[one] for one in before[k]):
            return NEVER
        latest = max((end[one] for one in before[k]), default=0.0)
        lag = float(tasks.lag_days[trial, k]) if before[k] else 0.0
        return max(latest + lag, float(tasks.from_day[trial, k]))

    def can(k: int, sitting: int) -> bool:
        is_free = not is_done[k] and all(is_done[one] for one in before[k])
        comes = pairs[sitting] or not tasks.takes_two[k]
        return is_free and comes and ready(k) <= days[sitting]

    order = sorted(range(len(before)), key=lambda k: -tasks.urgency[k])
    while not all(is_done):
        found = [k for k in order if can(k, at)]
        if not found or not room[at]:
            at += 1
            continue
        left = float(tasks.minutes[trial, found[0]])
        while left > room[at]:
            left -= room[at]
            room[at] = 0.0
            at += 1
        room[at] -= left
        end[found[0]], is_done[found[0]] = days[at], True
    return end
