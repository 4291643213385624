"""The chain: what it proves, and that each way to alter it is seen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rivetwright.errors import ChainBroken, FactRefused
from rivetwright.record.chain import FIRST, Entry, Head, read_entry, verify
from rivetwright.record.kinds import NoteWritten, RivetsSet, StepBegun
from tests.unit.record.made import told


@pytest.fixture
def entries() -> list[Entry]:
    """Three facts of one phone."""
    return told(StepBegun("s"), RivetsSet(("a:1",), "BD4-2"), NoteWritten("½ tight"))


def test_each_entry_holds_the_digest_before(entries: list[Entry]) -> None:
    """The first one 64 noughts; the end is the last digest."""
    assert [entry.previous for entry in entries] == [
        FIRST,
        entries[0].digest,
        entries[1].digest,
    ]
    assert verify(entries) == Head(3, entries[2].digest)
    assert verify([]) == Head()


def test_chain_is_followed_on_from_a_head(entries: list[Entry]) -> None:
    """In two stretches it ends where it ends in one."""
    assert verify(entries[1:], verify(entries[:1])) == verify(entries)
    with pytest.raises(ChainBroken):
        verify(entries[2:], verify(entries[:1]))


@pytest.mark.parametrize("place", [0, 1, 2])
def test_every_altered_byte_is_seen(entries: list[Entry], place: int) -> None:
    """Each byte of each entry, one bit turned: never the same end."""
    end = verify(entries)
    stored = entries[place].stored
    for at in range(len(stored)):
        altered = stored[:at] + bytes([stored[at] ^ 1]) + stored[at + 1 :]
        try:
            entry = read_entry(altered)
            found = verify([*entries[:place], entry, *entries[place + 1 :]])
        except (ChainBroken, FactRefused):
            continue
        assert found != end, f"byte {at}"


@pytest.mark.parametrize("order", [(0, 2), (1, 2), (1, 0, 2), (0, 2, 1), (0, 0, 1, 2)])
def test_entry_left_out_moved_or_doubled_is_seen(
    entries: list[Entry], order: tuple[int, ...]
) -> None:
    """Told with the entry that was looked for."""
    with pytest.raises(ChainBroken) as broken:
        verify([entries[k] for k in order])
    assert broken.value.asked.startswith("follow the chain at entry ")


def test_digest_beside_the_bytes_is_not_believed(entries: list[Entry]) -> None:
    """A digest column that was written anew does not save altered bytes."""
    altered = entries[1].stored.replace(b"BD4-2", b"BD4-3")
    with pytest.raises(ChainBroken):
        verify([entries[0], replace(entries[1], stored=altered), entries[2]])


@pytest.mark.parametrize("stored", [b"", b"[]", b"{}", b"\xff", b'{"seq":1}', b"7"])
def test_bytes_that_are_no_entry_are_refused(stored: bytes) -> None:
    """Told how many bytes, and what to do."""
    with pytest.raises(ChainBroken) as broken:
        read_entry(stored)
    assert broken.value.found.startswith(f"{len(stored)} bytes")
