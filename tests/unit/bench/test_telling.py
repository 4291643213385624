"""What a live page is told of each new fact."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.telling import told
from rivetwright.bench.workshop import Workshop
from tests.unit.bench.conftest import Phone


def last_told(workshop: Workshop) -> dict[str, Any]:
    """What is told of the newest fact."""
    (entry,) = workshop.entries(workshop.position() - 1)
    return told(workshop, entry)


def test_set_rivets_are_painted(workshop: Workshop, phone: Phone) -> None:
    """Two holes of A17, by the plan's names, and who sent it."""
    phone.record("rivets-set", "A17:1-2", callout="MS20426AD3-3")
    assert last_told(workshop) == {
        "seq": workshop.position(),
        "assembly": "aileron",
        "kind": "rivets-set",
        "device": "phone-1",
        "painted": {"A17:1": "set", "A17:2": "set"},
    }


def test_taking_back_tells_of_every_hole(workshop: Workshop, phone: Phone) -> None:
    """172 holes of the aileron; A17:1 is drilled again, A3:1 still set."""
    fact = phone.record("rivets-set", "A17:1", callout="MS20426AD3-3").taken[0].id
    phone.record("undone", fact=fact)
    painted = last_told(workshop)["painted"]
    assert len(painted) == 172
    assert (painted["A17:1"], painted["A3:1"]) == ("drilled", "set")


def test_lifted_hold_is_painted(workshop: Workshop, phone: Phone) -> None:
    """A hold that is put paints its holes, and lifting it paints them back."""
    phone.record("hold-put", "A17:1", hold="H1", reason="dent")
    assert last_told(workshop)["painted"] == {"A17:1": "hold"}
    phone.record("hold-lifted", hold="H1", reason="flattened")
    assert last_told(workshop)["painted"]["A17:1"] == "drilled"


def test_fact_of_no_assembly_paints_nothing(workshop: Workshop, phone: Phone) -> None:
    """A tool arrived: pages are told, no hole changes."""
    phone.record("received", key="", what="tool", named="BB3", count=1)
    said = last_told(workshop)
    assert (said["assembly"], said["painted"]) == ("", {})
