"""Statuses in their order, and sources on one line."""

from __future__ import annotations

from rivetwright.standards.source import Looked, Source, Status, weakest


def test_statuses_are_the_one_list_in_order() -> None:
    """Eight statuses from the strongest to the weakest."""
    assert [status.value for status in Status] == [
        "READ",
        "SECOND-HAND",
        "DERIVED",
        "COMMON PRACTICE",
        "OWN TEST",
        "JUDGEMENT",
        "FROM MEMORY",
        "INVENTED",
    ]
    assert [status.rank for status in Status] == list(range(8))


def test_weakest_of_several() -> None:
    """A result rests on its weakest figure, whatever the order."""
    assert weakest(Status.READ) is Status.READ
    mixed = weakest(Status.DERIVED, Status.FROM_MEMORY, Status.READ)
    assert mixed is Status.FROM_MEMORY


def test_source_is_written_with_its_status_last() -> None:
    """Document, place if there is one, status."""
    assert str(Source("a note", "p. 3", Status.READ)) == "a note, p. 3; READ"
    assert str(Source("a note", "", Status.DERIVED)) == "a note; DERIVED"


def test_looked_value_knows_its_status() -> None:
    """The status of a value is its row's."""
    looked = Looked(3, "t.csv:2", Source("a note", "", Status.READ))
    assert looked.status is Status.READ
