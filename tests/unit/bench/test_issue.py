"""Revisions are stored for good; doubtful rows wait for a person."""

from __future__ import annotations

import pytest

from rivetwright.bench.issue import issue, pending
from rivetwright.bench.keep import OWNER, Sender
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import FactRefused

SENDER = Sender("laptop-00000000", "builder", OWNER)


def rewrite(workshop: Workshop, *changes: tuple[str, str]) -> None:
    """Change the aileron's file, each text that must be there once or more."""
    file = workshop.folder / "aileron.yaml"
    text = file.read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    file.write_text(text, "utf-8")


NEXT = ("revision: 1\n", "revision: 2\nbased_on: 1\n")
NEW_ID = "11111111-2222-4333-8444-555555555555"
A3_ANEW = ("  A3:  {face", f"  A3:  {{id: {NEW_ID}, face")


def test_file_as_issued_has_nothing_pending(workshop: Workshop) -> None:
    """Begun a moment ago: revision 1 is the file."""
    assert pending(workshop, "aileron") is None
    with pytest.raises(FactRefused) as refused:
        issue(workshop, SENDER, "aileron", {}, workshop.position())
    assert "issued already" in refused.value.found


def test_changed_file_needs_a_higher_number(workshop: Workshop) -> None:
    """The same number for another file would be two truths."""
    rewrite(workshop, ("name: Aileron}", "name: Aileron left}"))
    change = pending(workshop, "aileron")
    assert change is not None
    assert not change.is_new_number
    with pytest.raises(FactRefused) as refused:
        issue(workshop, SENDER, "aileron", {}, workshop.position())
    assert "revision 1, and 1 was issued" in refused.value.found


def test_revision_is_stored_and_counts(workshop: Workshop) -> None:
    """The very bytes of the file are kept; nothing is pending then."""
    rewrite(workshop, NEXT)
    answer = issue(workshop, SENDER, "aileron", {}, workshop.position())
    assert not answer.refused
    now = workshop.state().assembly("aileron")
    stored = workshop.document(now.revision_digest)
    assert now.revision == 2
    assert stored is not None
    assert stored[1] == (workshop.folder / "aileron.yaml").read_bytes()
    assert pending(workshop, "aileron") is None


def test_stale_issue_is_refused(workshop: Workshop) -> None:
    """Issued without having seen what was recorded since: nothing changes."""
    rewrite(workshop, NEXT)
    answer = issue(workshop, SENDER, "aileron", {}, 1)
    ((_, refusal),) = answer.refused
    assert "decide again" in refusal.do
    assert workshop.state().assembly("aileron").revision == 1


@pytest.mark.parametrize(("is_same", "sits"), [(True, True), (False, False)])
def test_doubtful_row_waits_for_a_person(
    workshop: Workshop, is_same: bool, sits: bool
) -> None:
    """Row A3 under a new id: its two rivets move with it only when it is the same."""
    rewrite(workshop, NEXT, A3_ANEW)
    change = pending(workshop, "aileron")
    assert change is not None
    ((name, old_id),) = [(one.name, one.old_id) for one in change.doubtful]
    assert name == "A3"
    with pytest.raises(FactRefused) as refused:
        issue(workshop, SENDER, "aileron", {}, workshop.position())
    assert "A3" in refused.value.found
    same = {old_id: is_same}
    assert not issue(workshop, SENDER, "aileron", same, workshop.position()).refused
    found = workshop.state().assembly("aileron").hole(NEW_ID, 1)
    assert (found.rivet is not None) is sits


def test_row_that_is_gone_is_told(workshop: Workshop) -> None:
    """A17 leaves the drawing; its holes had been drilled, so it is named."""
    text = (workshop.folder / "aileron.yaml").read_text("utf-8")
    start = text.index("  A17:")
    whole = text[start : text.index("  A18:")]
    rewrite(workshop, NEXT, (whole, ""), ("A17, ", ""), (" A17,", ""))
    change = pending(workshop, "aileron")
    assert change is not None
    assert change.gone == ("A17",)
