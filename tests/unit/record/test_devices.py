"""Codes and devices: used once, for a time, and nothing kept that lets one in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rivetwright.errors import NotAllowed
from rivetwright.record.devices import (
    CODE_BYTES,
    LINK_DAYS,
    MARKS,
    NAME_MAX,
    READS,
    TOKEN_BYTES,
    Doors,
)
from rivetwright.record.store import Store, open_store


class Clock:
    """A clock that a test moves."""

    time = datetime(2026, 11, 25, 19, tzinfo=UTC)

    def __call__(self) -> datetime:
        """The time on it."""
        return self.time


@pytest.fixture
def clock() -> Clock:
    """A clock that a test moves."""
    return Clock()


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Where the store lies."""
    return tmp_path / "record.sqlite"


@pytest.fixture
def store(place: Path, clock: Clock) -> Iterator[Store]:
    """An open store without a fact."""
    with open_store(place, clock=clock) as opened:
        yield opened


def test_code_is_good_until_the_last_second(store: Store, clock: Clock) -> None:
    """Ten minutes less a second: it pairs. Ten minutes: it does not."""
    doors = Doors(store)
    early, late = (doors.make_code(MARKS, "builder") for _ in range(2))
    clock.time += timedelta(minutes=10, seconds=-1)
    assert doors.pair(early, "phone")[0].person == "builder"
    clock.time += timedelta(seconds=1)
    assert not doors.is_open(late)
    with pytest.raises(NotAllowed):
        doors.pair(late, "phone")


def test_looking_at_a_code_does_not_use_it(store: Store) -> None:
    """The page that asks for a button may be fetched ahead by a telephone."""
    doors = Doors(store)
    code = doors.make_code(MARKS, "builder")
    assert doors.is_open(code)
    assert doors.is_open(code)
    doors.pair(code, "phone")
    assert not doors.is_open(code)


def test_codes_and_tokens_are_long_and_never_alike(store: Store) -> None:
    """128 bits and 256 bits in base 64: 22 and 43 letters."""
    doors = Doors(store)
    codes = {doors.make_code(MARKS, "builder") for _ in range(20)}
    tokens = {doors.pair(code, "phone")[1] for code in codes}
    assert (CODE_BYTES * 8, TOKEN_BYTES * 8) == (128, 256)
    assert {len(code) for code in codes} == {22}
    assert {len(token) for token in tokens} == {43}
    assert len(codes | tokens) == 40


def test_file_holds_no_secret(store: Store, place: Path) -> None:
    """Neither the code nor the token can be found in a byte of the database."""
    doors = Doors(store)
    code = doors.make_code(MARKS, "builder")
    _, token = doors.pair(code, "phone")
    store.close()
    for file in place.parent.iterdir():
        assert code.encode() not in file.read_bytes()
        assert token.encode() not in file.read_bytes()


def test_link_to_read_is_used_again_until_it_is_over(
    store: Store, clock: Clock
) -> None:
    """Thirty days less a second; then no longer."""
    doors = Doors(store)
    link, token = doors.add("judge", "", READS, LINK_DAYS)
    clock.time += timedelta(days=LINK_DAYS, seconds=-1)
    assert doors.device_of(token) == doors.device_of(token) == link
    clock.time += timedelta(seconds=1)
    assert doors.device_of(token) is None


def test_shut_device_stays_in_the_list(store: Store, clock: Clock) -> None:
    """Its facts name it; so does the list, with the moment it was shut out."""
    doors = Doors(store)
    device, token = doors.pair(doors.make_code(MARKS, "builder"), "phone")
    clock.time += timedelta(minutes=1)
    assert doors.shut_out(device.id)
    assert not doors.shut_out("nobody")
    assert doors.device_of(token) is None
    assert [one.shut_at for one in doors.devices()] == ["2026-11-25T19:01:00.000Z"]


def test_shutting_twice_keeps_the_first_moment(store: Store, clock: Clock) -> None:
    """Since when it was out is not to be moved by a second press."""
    doors = Doors(store)
    device, _ = doors.add("phone", "builder", MARKS)
    doors.shut_out(device.id)
    clock.time += timedelta(hours=1)
    doors.shut_out(device.id)
    assert doors.devices()[0].shut_at == "2026-11-25T19:00:00.000Z"


def test_last_seen_is_noted(store: Store, clock: Clock) -> None:
    """An hour later the device comes again."""
    doors = Doors(store)
    device, _ = doors.add("phone", "builder", MARKS)
    clock.time += timedelta(hours=1)
    doors.seen(device)
    assert doors.devices()[0].seen_at == "2026-11-25T20:00:00.000Z"


@pytest.mark.parametrize(
    ("said", "kept"),
    [("  my \n phone\t", "my phone"), ("", "a device"), ("x" * 200, "x" * NAME_MAX)],
)
def test_name_is_one_short_line(store: Store, said: str, kept: str) -> None:
    """Whatever a telephone calls itself."""
    assert Doors(store).add(said, "builder", MARKS)[0].name == kept


def test_odd_tokens_let_nobody_in(store: Store) -> None:
    """No token, a very long one, half a sign: unknown, and nothing breaks."""
    doors = Doors(store)
    for token in ("", "x" * 100_000, "\ud800", "' OR 1=1 --"):
        assert doors.device_of(token) is None
