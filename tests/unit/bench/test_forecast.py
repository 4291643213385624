"""The outlook of a folder: kept until a fact or a day comes, its log from either."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rivetwright.bench.forecast import Outlook, log_of, outlook, weeks_of
from rivetwright.bench.work import work_now
from rivetwright.bench.workshop import Workshop

EVENING = datetime(2026, 11, 25, 18, tzinfo=UTC)


class _Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.at = EVENING

    def __call__(self) -> datetime:
        return self.at


@pytest.fixture(scope="module")
def clock() -> _Clock:
    """The shop's clock."""
    return _Clock()


@pytest.fixture(scope="module")
def workshop(
    root: Path, tmp_path_factory: pytest.TempPathFactory, clock: _Clock
) -> Iterator[Workshop]:
    """The demo without a record."""
    folder = tmp_path_factory.mktemp("forecast") / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    opened = Workshop(folder, clock=clock)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def found(workshop: Workshop) -> Outlook:
    """What is told of it."""
    return outlook(workshop)


def test_asked_again_it_is_the_same(workshop: Workshop, found: Outlook) -> None:
    """Nothing came in between: no future is drawn again."""
    assert outlook(workshop) is found


def test_another_day_is_another_outlook(
    workshop: Workshop, found: Outlook, clock: _Clock
) -> None:
    """A week later with nothing done, the day is later and a week fewer are kept."""
    clock.at = EVENING + timedelta(days=7)
    later = outlook(workshop)
    clock.at = EVENING
    assert later is not found
    assert later.today == found.today + timedelta(days=7)
    assert later.told.known.pace.week_minutes < found.told.known.pace.week_minutes


def test_files_speak_where_there_is_no_record(
    workshop: Workshop, found: Outlook
) -> None:
    """Twenty lines of the plans' and the shop's openings, oldest first."""
    log = log_of(work_now(workshop), workshop.state(), "UTC")
    assert len(log) == 20
    assert [day for day, _ in log] == sorted(day for day, _ in log)
    assert not found.has_record
    assert (found.told.known.rework.removed_count, len(found.replay.lines)) == (3, 15)


def test_weeks_add_up(found: Outlook) -> None:
    """Every future ends in one week, each of which begins on a Monday."""
    weeks = weeks_of(found.told)
    assert sum(weeks.values()) == pytest.approx(1)
    assert {day.weekday() for day in weeks} == {0}
