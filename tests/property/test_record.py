"""Laws of the record: order, fold, undo, chain, stored form."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.errors import ChainBroken, FactRefused
from rivetwright.record import follow
from rivetwright.record.chain import Entry, Head, link, read_entry, verify
from rivetwright.record.fact import Fact, as_json, canonical, read_fact
from rivetwright.record.fold import fold, taken_back
from rivetwright.record.kinds import (
    OPERATIONS,
    PART,
    STOCK,
    BulletinMet,
    BulletinReceived,
    Counted,
    Delivered,
    FindingAnswered,
    GateTicked,
    HeadChecked,
    HolderMoved,
    HoldLifted,
    HoldPut,
    HoleOpenedUp,
    HoleWorked,
    HoursBegun,
    HoursBooked,
    HoursEnded,
    InspectionSigned,
    Kind,
    LeftOpen,
    NoteWritten,
    Ordered,
    PhotoTaken,
    PlanIssued,
    QuestionAnswered,
    QuestionAsked,
    Received,
    RivetRemoved,
    RivetsSet,
    StepBegun,
    StepFinished,
    StepNoted,
    Undone,
)
from rivetwright.record.order import fold_order, placed_on
from rivetwright.record.ranges import named, read_range, write_ranges
from rivetwright.record.snapshots import dump_state, load_state

DEVICES = ("phone", "tablet", "laptop")
DAY = "2026-11-25T19:00"
ARRIVED = "2026-11-26T08:00:00.000Z"

words = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=20)
sizes = st.none() | st.floats(0.1, 30, allow_nan=False)
holes = st.tuples(st.sampled_from("ABC"), st.integers(1, 8), st.integers(0, 3)).map(
    lambda one: (f"row-{one[0]}:{one[1]}-{one[1] + one[2]}",)
)
shop = st.sampled_from((STOCK, PART))
SWAPPED = (("row-A", "row-B"), ("row-B", "row-A"))
bodies: st.SearchStrategy[Kind] = st.one_of(
    st.builds(HoleWorked, holes, st.sampled_from(OPERATIONS), size_mm=sizes),
    st.builds(HolderMoved, holes, st.booleans()),
    st.builds(RivetsSet, holes, st.sampled_from(("MS20470AD4-4", "BD4-2"))),
    st.builds(LeftOpen, holes, words, st.booleans()),
    st.builds(HeadChecked, holes, sizes, sizes, note=words),
    st.builds(RivetRemoved, holes, words),
    st.builds(HoldPut, st.sampled_from(("D1", "D2")), holes, words),
    st.builds(HoldLifted, st.sampled_from(("D1", "D2", "D3")), words),
    st.builds(GateTicked, st.just("ready:s"), words, st.booleans()),
    st.builds(Counted, st.just("stock"), st.just("BD4-2"), st.integers(0, 99)),
    st.builds(HoursBegun, words, st.booleans()),
    st.just(HoursEnded()),
    st.builds(NoteWritten, words, holes),
    st.builds(PhotoTaken, words, st.just("image/png"), st.just(9), holes),
    st.builds(QuestionAsked, st.sampled_from(("Q1", "Q2")), words, holes),
    st.builds(QuestionAnswered, st.sampled_from(("Q1", "Q2")), words),
    st.builds(FindingAnswered, st.just("EDGE-01"), holes, words, words),
    st.builds(HoleOpenedUp, holes, words, words, sizes),
    st.builds(StepBegun, st.just("s"), words),
    st.builds(StepFinished, st.just("s"), words),
    st.builds(StepNoted, st.just("s"), words),
    st.builds(InspectionSigned, st.just("s"), words, st.booleans()),
    st.builds(BulletinReceived, words),
    st.builds(BulletinMet, words, words, words),
    st.builds(Ordered, shop, st.sampled_from(("BD4-2", "a\tb")), st.integers(0, 9)),
    st.builds(Delivered, shop, st.sampled_from(("BD4-2", "a\tb")), words),
    st.builds(Received, shop, st.sampled_from(("BD4-2", "a\tb")), st.integers(0, 9)),
    st.builds(HoursBooked, st.just("2026-11-25"), words, st.integers(1, 60)),
    st.builds(
        PlanIssued,
        st.integers(2, 4),
        words,
        lineage=st.sampled_from(((), SWAPPED, (("row-A", "row-C"),))),
    ),
)


@st.composite
def days(draw: st.DrawFn, undo: bool = True) -> list[Fact]:
    """Facts of some devices, each counting for itself, with clocks that differ."""
    counted = dict.fromkeys(DEVICES, 0)
    made: list[Fact] = []
    for number in range(draw(st.integers(1, 14))):
        device = draw(st.sampled_from(DEVICES))
        counted[device] += 1
        minute = draw(st.integers(0, 59))
        body = draw(bodies)
        if undo and made and draw(st.integers(0, 4)) == 0:
            body = Undone(draw(st.sampled_from(made)).id)
        made.append(
            Fact(
                id=f"{number:032x}",
                project="p",
                assembly="a",
                person=draw(st.sampled_from(("builder", "friend"))),
                device=device,
                device_seq=counted[device],
                happened=f"2026-11-25T19:{minute:02}:00.000Z",
                body=body,
                clock_ms=draw(st.sampled_from((0, 0, -90_000, 240_000))),
                revision=draw(st.sampled_from((0, 1, 2, 3))),
            )
        )
    return made


def chained(facts: Sequence[Fact]) -> list[Entry]:
    """Entries in the order in which facts arrive."""
    head, entries = Head(), []
    for fact in facts:
        entry = link(head, ARRIVED, fact)
        head = Head(entry.seq, entry.digest)
        entries.append(entry)
    return entries


def without_arrival(entries: Sequence[Entry]) -> dict[str, Any]:
    """A state but for what tells of the order of arrival."""
    state = fold(entries)
    hidden = {"position": 0, "digest": "", "flags": [], "ends": {}}
    return vars(replace(state, **hidden, last_place=("", "", 0, 0)))


@given(days(), st.randoms(use_true_random=False))
def test_order_of_arrival_changes_nothing(facts: list[Fact], chance: Any) -> None:
    """The same facts in another order of arrival say the same."""
    mixed = list(facts)
    chance.shuffle(mixed)
    assert without_arrival(chained(facts)) == without_arrival(chained(mixed))


@given(days(undo=False), st.integers(0, 14))
def test_folding_goes_on_from_where_it_was(facts: list[Fact], cut: int) -> None:
    """fold(a + b) is fold(b, begun from fold(a)) where b counts after a."""
    ordered = [entry.fact for entry in fold_order(chained(facts))]
    entries = chained(ordered)
    first = fold(entries[:cut])
    assert fold(entries[cut:], first) == fold(entries)
    assert first == fold(entries[:cut]), "what it began from is left as it was"


@given(days())
def test_counting_of_each_device_is_kept(facts: list[Fact]) -> None:
    """No device's fact counts before one that it counted earlier."""
    last: dict[str, int] = {}
    for entry in fold_order(chained(facts)):
        assert entry.fact.device_seq > last.get(entry.fact.device, 0)
        last[entry.fact.device] = entry.fact.device_seq


@given(days())
def test_corrected_time_of_a_device_never_runs_back(facts: list[Fact]) -> None:
    """Places of one device are in order of time too."""
    last: dict[str, str] = {}
    for (at, device, _, _), _ in placed_on(chained(facts), {}):
        assert at >= last.get(device, "")
        last[device] = at


@given(days(undo=False), st.data())
def test_taken_back_fact_might_never_have_been(
    facts: list[Fact], data: st.DataObject
) -> None:
    """With its undo it leaves the state of a record without both."""
    target = data.draw(st.sampled_from(facts))
    last = (
        max(fact.device_seq for fact in facts if fact.device == "laptop")
        if any(fact.device == "laptop" for fact in facts)
        else 0
    )
    undo = replace(
        facts[0],
        id="f" * 32,
        device="laptop",
        device_seq=last + 1,
        happened="2026-11-25T23:00:00.000Z",
        body=Undone(target.id),
    )
    rest = [fact for fact in facts if fact.id != target.id]
    # The device's later facts keep their times, so only the target is missing.
    if target.clock_ms == 0 and all(fact.clock_ms == 0 for fact in facts):
        later = without_arrival(chained([*facts, undo]))
        assert later == without_arrival(chained(rest)) or _times_moved(facts, target)
    redo = replace(undo, id="e" * 32, device_seq=last + 2, body=Undone(undo.id))
    assert without_arrival(chained([*facts, undo, redo])) == without_arrival(
        chained(facts)
    )


def _times_moved(facts: list[Fact], target: Fact) -> bool:
    """Whether the target held the time of a later fact of its device back."""
    return any(
        fact.device == target.device
        and fact.device_seq > target.device_seq
        and fact.happened < target.happened
        for fact in facts
    )


@given(st.lists(st.integers(0, 11), min_size=1, max_size=12), st.data())
def test_undo_counts_unless_one_that_counts_takes_it_back(
    targets: list[int], data: st.DataObject
) -> None:
    """In whatever order undos come; without rings the law settles each of them."""
    facts = [
        Fact(
            id=f"{number:032x}",
            project="p",
            assembly="a",
            person="builder",
            device="phone",
            device_seq=number + 1,
            happened="2026-11-25T19:00:00.000Z",
            body=Undone(f"{target % number if number else 99:032x}"),
        )
        for number, target in enumerate(targets)
    ]
    mixed = chained(data.draw(st.permutations(facts)))
    back = taken_back(mixed)
    counts = [entry.fact for entry in mixed if entry.fact.id not in back]
    assert back == {fact.body.fact for fact in counts if isinstance(fact.body, Undone)}


def test_undos_in_a_ring_do_nothing() -> None:
    """Two that take each other back, and one that takes itself back: a note stays."""
    bodies_of = [NoteWritten("x"), Undone(f"{2:032x}"), Undone(f"{1:032x}")]
    facts = [
        Fact(f"{k:032x}", "p", "a", "b", "phone", k + 1, f"{DAY}:00.000Z", body)
        for k, body in enumerate([*bodies_of, Undone(f"{3:032x}")])
    ]
    assert f"{0:032x}" not in taken_back(chained(facts))
    assert len(fold(chained(facts)).assembly("a").notes) == 1


@given(days())
def test_state_goes_to_bytes_and_back(facts: list[Fact]) -> None:
    """A snapshot reads as what was written; equal states give equal bytes."""
    state = fold(chained(facts))
    stored = dump_state(state)
    assert load_state(stored) == state
    assert dump_state(fold(chained(facts))) == stored


def test_snapshot_of_another_form_is_passed_over() -> None:
    """Nothing is made of bytes that are no snapshot."""
    assert load_state(b"") is None
    assert load_state(b"\x78\x9c\x03\x00\x00\x00\x00\x01") is None


@given(days())
def test_fact_reads_as_it_was_written(facts: list[Fact]) -> None:
    """Through JSON values and through stored bytes."""
    for entry in chained(facts):
        assert read_fact(as_json(entry.fact)) == entry.fact
        assert read_entry(entry.stored) == entry


plain = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(1 - 2**53, 2**53 - 1)
    | st.text(max_size=12),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text("abcdefgh_0123", max_size=6), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.text("abcdefgh_0123", max_size=6), plain, max_size=5))
def test_both_ways_to_canonical_bytes_agree(said: dict[str, Any]) -> None:
    """The quick way gives the library's bytes, on any values without fractions."""
    assert canonical(said) == rfc8785.dumps(said)


@given(days(), st.data())
@settings(max_examples=60)
def test_any_alteration_breaks_the_chain(
    facts: list[Fact], data: st.DataObject
) -> None:
    """One byte changed, an entry left out, or two swapped: the chain tells."""
    entries = chained(facts)
    head = verify(entries)
    k = data.draw(st.integers(0, len(entries) - 1))
    at = data.draw(st.integers(0, len(entries[k].stored) - 1))
    stored = bytearray(entries[k].stored)
    stored[at] ^= data.draw(st.integers(1, 127))
    try:
        altered = [*entries[:k], read_entry(bytes(stored)), *entries[k + 1 :]]
    except (ChainBroken, FactRefused):
        return
    with contextlib.suppress(ChainBroken):
        assert verify(altered) != head
    if k + 1 < len(entries):
        with pytest.raises(ChainBroken):
            verify([*entries[:k], *entries[k + 1 :]])
        swapped = [*entries[:k], entries[k + 1], entries[k], *entries[k + 2 :]]
        with pytest.raises(ChainBroken):
            verify(swapped)


@given(
    plain | st.dictionaries(st.sampled_from(["kind", "body", "id", "version"]), plain)
)
def test_anything_else_is_refused_in_words(said: Any) -> None:
    """Arbitrary values are no fact, and nothing but a refusal comes of them."""
    values = said if isinstance(said, dict) else {"kind": said}
    with pytest.raises(FactRefused):
        read_fact(values)


@given(days(undo=False), st.data())
def test_fact_with_one_field_spoilt_is_refused(
    facts: list[Fact], data: st.DataObject
) -> None:
    """A field of another type, or one too many."""
    said = json.loads(canonical(as_json(facts[0])))
    name = data.draw(st.sampled_from(sorted(said)))
    spoilt = said | {name: {"nested": [1.5]}}
    with pytest.raises(FactRefused):
        read_fact(spoilt)
    with pytest.raises(FactRefused):
        read_fact(said | {"extra": 1})


@given(st.lists(st.tuples(st.sampled_from("AB"), st.integers(1, 40)), unique=True))
def test_ranges_name_the_holes_they_were_written_for(
    wanted: list[tuple[str, int]],
) -> None:
    """Gathered into stretches and read again: the same holes, each once."""
    assert sorted(named(write_ranges(wanted))) == sorted(wanted)


@pytest.mark.parametrize(
    "text", ["", "A", "A:", "A:0", "A:5-3", "A:1-99999", "A:x", "A:1-", ":1", "A:-1"]
)
def test_range_of_another_form_is_refused(text: str) -> None:
    """Each is told what is allowed; a huge one takes no memory."""
    with pytest.raises(FactRefused):
        read_range(text)


class Shelf:
    """A store in memory: as much of it as following needs."""

    is_read_only = False

    def __init__(self) -> None:
        self.kept: list[Entry] = []
        self.snapshots: dict[int, tuple[str, str, bytes]] = {}

    def head(self, project: str) -> Head:
        """Where the chain ends."""
        last = self.kept[-1:]
        return Head(last[0].seq, last[0].digest) if last else Head()

    def entries(self, project: str, after: int = 0, upto: int = 2**53) -> list[Entry]:
        """Entries between two places."""
        return self.kept[after:upto]

    def position_of(self, project: str, fact: str) -> int | None:
        """Where a fact stands."""
        return next((one.seq for one in self.kept if one.fact.id == fact), None)

    def digest_at(self, project: str, seq: int) -> str:
        """The digest at a place."""
        return self.kept[seq - 1].digest

    def snapshot_places(self, project: str) -> list[tuple[int, str, str]]:
        """Newest first."""
        found = sorted(self.snapshots.items(), reverse=True)
        return [(seq, digest, place) for seq, (digest, place, _) in found]

    def snapshot(self, project: str, seq: int) -> bytes:
        """The content of one."""
        return self.snapshots[seq][2]

    def save_snapshot(
        self, project: str, head: Head, last_place: str, content: bytes
    ) -> None:
        """Keep one."""
        self.snapshots[head.seq] = (head.digest, last_place, content)

    def drop_snapshots(self, project: str, seqs: Sequence[int]) -> None:
        """Throw some away."""
        for seq in seqs:
            del self.snapshots[seq]


@given(days(), st.randoms(use_true_random=False), st.integers(1, 4))
@settings(max_examples=150)
def test_following_is_folding(facts: list[Fact], chance: Any, every: int) -> None:
    """However facts arrive, late and in batches: the state of the whole fold."""
    mixed = list(facts)
    chance.shuffle(mixed)
    entries = chained(mixed)
    shelf = Shelf()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(follow, "SNAPSHOT_EVERY", every)
        patch.setattr(follow, "TAIL_MAX", 5)
        follower = follow.Follower(shelf, "p")  # type: ignore[arg-type]
        while len(shelf.kept) < len(entries):
            shelf.kept = entries[: len(shelf.kept) + chance.randint(1, 3)]
            assert follower.state() == fold(shelf.kept)
        again = follow.Follower(shelf, "p")  # type: ignore[arg-type]
        assert again.state() == fold(entries)
