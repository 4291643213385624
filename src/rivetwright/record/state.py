"""What the record says now: the fold's answer, as plain values.

Everything here follows from facts alone and can be thrown away and folded again.
Holes are keyed by permanent row id, then by number.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from rivetwright.record.kinds import HeadChecked, HeadDecided

Key = tuple[str, str]


@dataclass
class Done:
    """One thing done to a hole: by which fact, by whom, when (corrected, UTC)."""

    fact: str
    person: str
    at: str


@dataclass
class RivetIn:
    """The rivet that sits in a hole now."""

    fact: str
    callout: str
    at: str
    setup: str = ""
    people: tuple[str, ...] = ()
    reason: str = ""
    revision: int = 0


@dataclass
class HeadSeen:
    """One look at a head, with the rivet that was looked at; empty where none sat.

    `rivet` is the fact that set it, with its callout, set-up, people and time;
    `removed_count` rivets had come out of the hole before.
    """

    fact: str
    at: str
    person: str
    body: HeadChecked
    rivet: str = ""
    callout: str = ""
    setup: str = ""
    people: tuple[str, ...] = ()
    set_at: str = ""
    removed_count: int = 0

    @property
    def width_mm(self) -> float | None:
        """Width measured [mm]."""
        return self.body.width_mm

    @property
    def height_mm(self) -> float | None:
        """Height measured [mm]."""
        return self.body.height_mm

    @property
    def looks(self) -> tuple[str, ...]:
        """What was ticked."""
        return self.body.looks

    @property
    def note(self) -> str:
        """What was written beside it."""
        return self.body.note


@dataclass
class HeadSettled:
    """What was decided about a head; `rivet` is the fact that set it, empty if out."""

    fact: str
    at: str
    person: str
    body: HeadDecided
    rivet: str = ""


@dataclass
class HoleNow:
    """One hole: what was done to it and what sits in it.

    `worked` is keyed by operation, then by part (empty: every sheet).
    """

    worked: dict[str, dict[str, Done]] = field(default_factory=dict)
    rivet: RivetIn | None = None
    holder: str = ""
    is_marked_open: bool = False
    left_open: str = ""
    removed_count: int = 0
    removals: list[str] = field(default_factory=list)
    drill: str = ""
    size_mm: float | None = None
    heads: list[HeadSeen] = field(default_factory=list)
    settled: list[HeadSettled] = field(default_factory=list)


@dataclass
class HoldNow:
    """A hold, and why it was lifted (empty while it stands)."""

    id: str
    holes: tuple[str, ...]
    reason: str
    cause: str
    cause_name: str
    until: str
    stack: str
    callout: str
    put_at: str
    fact: str = ""
    lifted_at: str = ""
    lifted_because: str = ""


@dataclass
class QuestionNow:
    """A question and its answer."""

    id: str
    text: str
    holes: tuple[str, ...]
    asked_of: str
    asked_at: str
    answer: str = ""
    by: str = ""
    document: str = ""
    answered_at: str = ""


@dataclass
class StepNow:
    """How far a step is: not started, under way, done, or in words of its own."""

    state: str = "not started"
    begun_at: str = ""
    finished_at: str = ""
    left: str = ""
    note: str = ""


@dataclass
class Tick:
    """One line of a gate as it stands."""

    fact: str
    person: str
    at: str
    is_ticked: bool
    note: str = ""


@dataclass
class Signature:
    """An inspection signed, or refused."""

    fact: str
    step: str
    by: str
    is_passed: bool
    at: str
    text: str = ""


@dataclass
class Met:
    """What a bulletin asks for was done."""

    fact: str
    bulletin: str
    how: str
    by: str
    holes: tuple[str, ...]
    document: str
    at: str


@dataclass
class Answered:
    """An answer to a finding."""

    fact: str
    code: str
    holes: tuple[str, ...]
    answer: str
    by: str
    document: str
    at: str


@dataclass
class NoteNow:
    """A note."""

    fact: str
    text: str
    holes: tuple[str, ...]
    step: str
    person: str
    at: str


@dataclass
class PhotoNow:
    """A photo by its digest."""

    fact: str
    digest: str
    media: str
    holes: tuple[str, ...]
    step: str
    caption: str
    person: str
    at: str


@dataclass
class Timer:
    """What a person is at: since when, in which assembly."""

    fact: str
    operation: str
    assembly: str
    since: str
    is_bench: bool


@dataclass
class Booked:
    """Time at an operation: by timer (`began`) or written afterwards (`day`).

    `seconds` counts; `began` is empty for time written afterwards.
    """

    fact: str
    person: str
    assembly: str
    operation: str
    seconds: int
    is_bench: bool
    day: str = ""
    began: str = ""
    count: int | None = None
    counted: str = ""
    note: str = ""


@dataclass
class StockNow:
    """One code of stock: what was counted, and what came and went since.

    `lost` were in the tray and neither set nor left over. `spoilt` were set and taken
    out again, over the whole record: no count changes that.
    """

    counted: int | None = None
    counted_at: str = ""
    received: int = 0
    used: int = 0
    lost: int = 0
    spoilt: int = 0

    @property
    def on_hand(self) -> int | None:
        """What should be in the drawer; None where it was never counted."""
        if self.counted is None:
            return None
        return self.counted + self.received - self.used - self.lost


@dataclass
class RunTimed:
    """How long a run of rivets took, by the fact that told of it."""

    fact: str
    at: str
    assembly: str
    rivets: int
    seconds: int


@dataclass
class DeliveryNow:
    """Where a part, tool or stock code stands; `ordered` are still to come."""

    state: str
    due: str = ""
    note: str = ""
    received: int = 0
    at: str = ""
    ordered: int = 0


@dataclass
class Flag:
    """Something odd about a fact that was taken all the same.

    `code` is one of: older-revision, hole-unknown, overlapping-device, clock-back,
    far-clock, already-set, not-set, undone-unknown, hold-unknown, question-unknown.
    """

    code: str
    fact: str
    assembly: str
    text: str


@dataclass
class LastFact:
    """The last thing a person recorded: what can be taken back at once."""

    fact: str
    kind: str
    holes: tuple[str, ...]
    at: str


@dataclass
class AssemblyNow:
    """Everything the record says of one assembly; `last` is by person.

    `lineage` tells for each revision which row ids it renamed, old to new.
    """

    revision: int = 0
    revision_digest: str = ""
    rows: dict[str, dict[int, HoleNow]] = field(default_factory=dict)
    holds: dict[str, HoldNow] = field(default_factory=dict)
    questions: dict[str, QuestionNow] = field(default_factory=dict)
    steps: dict[str, StepNow] = field(default_factory=dict)
    gates: dict[str, dict[str, Tick]] = field(default_factory=dict)
    signatures: list[Signature] = field(default_factory=list)
    answers: list[Answered] = field(default_factory=list)
    notes: list[NoteNow] = field(default_factory=list)
    photos: list[PhotoNow] = field(default_factory=list)
    bulletins: dict[str, str] = field(default_factory=dict)
    met: dict[str, Met] = field(default_factory=dict)
    last: dict[str, LastFact] = field(default_factory=dict)
    lineage: list[tuple[int, dict[str, str]]] = field(default_factory=list)

    def hole(self, row_id: str, number: int) -> HoleNow:
        """A hole as it stands; untouched where no fact speaks of it."""
        return self.rows.get(row_id, {}).get(number) or HoleNow()

    def row_now(self, row_id: str, revision: int) -> str:
        """The id that a row of an older revision bears now."""
        for issued, names in self.lineage:
            if issued > revision:
                row_id = names.get(row_id, row_id)
        return row_id


@dataclass
class State:
    """What the record says now.

    `position` is the number of entries folded, `digest` the chain's head there.
    `ends` is, for each device, the counting and corrected time of its last fact;
    `last_place` where the last folded fact stands in the order of folding.
    `openings` are the assemblies (or "shop") whose opening was taken.
    `stock` and `deliveries` are keyed by what (part, tool, stock) and name, `timers`
    by person, `runs` by set-up and callout: the newest of each that were timed.
    """

    position: int = 0
    digest: str = ""
    assemblies: dict[str, AssemblyNow] = field(default_factory=dict)
    stock: dict[Key, StockNow] = field(default_factory=dict)
    deliveries: dict[Key, DeliveryNow] = field(default_factory=dict)
    timers: dict[str, Timer] = field(default_factory=dict)
    runs: dict[Key, list[RunTimed]] = field(default_factory=dict)
    booked: list[Booked] = field(default_factory=list)
    openings: list[str] = field(default_factory=list)
    flags: list[Flag] = field(default_factory=list)
    ends: dict[str, tuple[int, str]] = field(default_factory=dict)
    last_place: tuple[str, str, int, int] = ("", "", 0, 0)

    def assembly(self, key: str) -> AssemblyNow:
        """An assembly as it stands; untouched where no fact speaks of it."""
        return self.assemblies.get(key) or AssemblyNow()
