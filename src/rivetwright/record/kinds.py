"""Every kind of fact, in the past tense: what was done, found, asked or decided.

Observations (`is_decision` False) are what happened; they are always taken, at most
flagged. Decisions need the present position of the record and are refused when
somebody else's fact of the same assembly came in between.

Holes are written by permanent row id and number, `<row id>:1-17`, so that a rename
changes no fact. A kind is never changed: a new form gets a new version, and
`record.upcast` reads the older ones.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import ClassVar

# Devices that stand for files read when the record was begun start with this.
OPENING_DEVICE = "opening-"
PART, TOOL, STOCK = "part", "tool", "stock"
SUPPLIES = (PART, TOOL, STOCK)
# What may be seen on a solid rivet's heads, low and high by eye alone.
SOLID_LOOKS = (
    *("cracked", "gap under the manufactured head", "gap under the shop head"),
    *("tool mark", "tool mark, shallow to the eye", "sheets open", "leans"),
    *("tail bent over", "stepped", "off centre", "manufactured head proud"),
    *("loose", "head cut", "low", "high"),
)
# What may be seen on a blind rivet.
BLIND_LOOKS = (
    *("gap under the head", "collar off the head's top", "stem moves"),
    *("stem not broken flush", "mandrel not pulled through"),
    *("stretch marks or slight flash", "hole out of size"),
)
LOOKS = (*SOLID_LOOKS, *BLIND_LOOKS)
GAUGE_SIDES = ("least width", "most width", "least height", "most height")
# What a person may decide about a head, or about a hole whose rivet is out.
DECISIONS = (
    *("leave", "measure first", "squeeze again", "remove and replace", "next size"),
    *("oversize shank, same head", "ask the supplier", "have the inspector see it"),
)

# What is done to a hole, or to one sheet of it, before a rivet goes in.
DRILLED, DEBURRED, DIMPLED = "drilled", "deburred", "dimpled"
COUNTERSUNK, PRIMED, CLEANED = "countersunk", "primed", "cleaned"
OPERATIONS = (DRILLED, DEBURRED, DIMPLED, COUNTERSUNK, PRIMED, CLEANED)


class Kind:
    """What all kinds share: a name, a version, and whether it is a decision."""

    name: ClassVar[str]
    version: ClassVar[int] = 1
    is_decision: ClassVar[bool] = False


@dataclass(frozen=True)
class HoleWorked(Kind):
    """Holes were drilled, deburred, dimpled, countersunk, primed or cleaned.

    `part` names the sheet it was done to; empty: every sheet of the stack.
    """

    name = "hole-worked"
    holes: tuple[str, ...]
    operation: str
    part: str = ""
    size_mm: float | None = None
    note: str = ""


@dataclass(frozen=True)
class HolderMoved(Kind):
    """Sheet holders were put in or taken out of holes."""

    name = "holder-moved"
    holes: tuple[str, ...]
    is_in: bool


@dataclass(frozen=True)
class RivetsSet(Kind):
    """Rivets were set, with the code really used.

    `reason` is why, where the code differs from the plan's or a hole had to wait.
    `tray_count` were counted into the tray before the run, `left_over` lay there
    after it. `run_s` is how long the run took, where it was begun and ended.
    """

    name = "rivets-set"
    holes: tuple[str, ...]
    callout: str
    setup: str = ""
    people: tuple[str, ...] = ()
    reason: str = ""
    tray_count: int | None = None
    left_over: int | None = None
    run_s: int | None = None
    note: str = ""


@dataclass(frozen=True)
class LeftOpen(Kind):
    """Holes were left open on purpose; `is_marked`: marked so at the work."""

    name = "left-open"
    holes: tuple[str, ...]
    reason: str = ""
    is_marked: bool = False


@dataclass(frozen=True)
class HeadChecked(Kind):
    """A head was looked at or measured; a size is None where it was not measured.

    `looks` are the words ticked. `gauge` are a go/no-go gauge's answers, each its side
    (least width, most height ...), whether the head keeps to it, and that side's size
    or None. `offset_mm` is how far the shop head stands off centre, `lean_deg` its
    lean, `proud_mm` how far the manufactured head stands up, `gap_mm` the thickest
    feeler under a head and `gap_share` over how much of its rim, `mark_mm` the depth
    of a tool mark; `collar_mm` and `hole_mm` are a blind rivet's. `is_confirmed`: a
    person stands by sizes that were asked about.

    What the head was set with, as far as it was told: `squeezer` by its title, `yoke`
    by its id, `dies` (those of jaw and ram, and the pin) and `shims_mm`, `die_gap_mm`
    the closed gap with no load on it, `pressure_kpa` at the tool, `is_stalled`: the
    ram stopped short of its end; `tin` is what the rivets came out of. Set-up and
    people are those of the rivet's own fact.
    """

    name = "head-checked"
    version = 2
    holes: tuple[str, ...]
    width_mm: float | None = None
    height_mm: float | None = None
    looks: tuple[str, ...] = ()
    note: str = ""
    gauge: tuple[tuple[str, bool, float | None], ...] = ()
    offset_mm: float | None = None
    lean_deg: float | None = None
    proud_mm: float | None = None
    gap_mm: float | None = None
    gap_share: float | None = None
    mark_mm: float | None = None
    collar_mm: float | None = None
    hole_mm: float | None = None
    is_confirmed: bool = False
    squeezer: str = ""
    yoke: str = ""
    dies: tuple[str, ...] = ()
    shims_mm: tuple[float, ...] = ()
    die_gap_mm: float | None = None
    pressure_kpa: float | None = None
    is_stalled: bool = False
    tin: str = ""


@dataclass(frozen=True)
class HeadDecided(Kind):
    """A person decided what is done about a head, and why.

    `decision` is one of the words for it, `advised` what the program advised then.
    `reason` is the person's, or the advice's where it was followed. `check` is the id
    of the fact that told of the head; empty for a hole whose rivet is out. `causes`
    are the likely causes shown, the likeliest first, `sources` what the advice rested
    on. `shim_more_mm` belongs to squeezing again, `hole_mm` to an empty hole, `by` to
    what a supplier or inspector said.
    """

    name = "head-decided"
    holes: tuple[str, ...]
    decision: str
    reason: str
    advised: str = ""
    check: str = ""
    causes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    by: str = ""
    shim_more_mm: float | None = None
    hole_mm: float | None = None


@dataclass(frozen=True)
class RivetRemoved(Kind):
    """Set rivets were taken out again."""

    name = "rivet-removed"
    holes: tuple[str, ...]
    reason: str
    note: str = ""


@dataclass(frozen=True)
class HoleOpenedUp(Kind):
    """Holes were opened up to a larger size."""

    name = "hole-opened-up"
    holes: tuple[str, ...]
    drill: str
    reason: str
    size_mm: float | None = None


@dataclass(frozen=True)
class HoldPut(Kind):
    """Holes must wait, and for what.

    `cause` is question, part, tool, bulletin or other; `cause_name` names it.
    `until` is a day (2026-12-09) or empty.
    """

    name = "hold-put"
    hold: str
    holes: tuple[str, ...]
    reason: str
    cause: str = "other"
    cause_name: str = ""
    until: str = ""
    stack: str = ""
    callout: str = ""


@dataclass(frozen=True)
class HoldLifted(Kind):
    """Holes need wait no longer."""

    name = "hold-lifted"
    is_decision = True
    hold: str
    reason: str


@dataclass(frozen=True)
class QuestionAsked(Kind):
    """A question went to the kit supplier or the inspector."""

    name = "question-asked"
    question: str
    text: str
    holes: tuple[str, ...] = ()
    asked_of: str = ""


@dataclass(frozen=True)
class QuestionAnswered(Kind):
    """An answer came, from whom and in which document."""

    name = "question-answered"
    question: str
    answer: str
    by: str = ""
    document: str = ""


@dataclass(frozen=True)
class FindingAnswered(Kind):
    """Somebody answered for a finding: it stays visible and no longer stops."""

    name = "finding-answered"
    is_decision = True
    code: str
    holes: tuple[str, ...]
    answer: str
    by: str
    document: str = ""


@dataclass(frozen=True)
class StepBegun(Kind):
    """Work on a step of the manual began."""

    name = "step-begun"
    step: str
    note: str = ""


@dataclass(frozen=True)
class StepFinished(Kind):
    """A step is done; `left` says what was knowingly left in it."""

    name = "step-finished"
    step: str
    left: str = ""
    note: str = ""


@dataclass(frozen=True)
class StepNoted(Kind):
    """Where a step stands, in words: not booked, later."""

    name = "step-noted"
    step: str
    state: str
    note: str = ""


@dataclass(frozen=True)
class GateTicked(Kind):
    """One line of a list was ticked before going on: `gate` is the list, `line` it."""

    name = "gate-ticked"
    gate: str
    line: str
    is_ticked: bool = True
    note: str = ""


@dataclass(frozen=True)
class InspectionSigned(Kind):
    """An inspector signed a step, or found it not yet fit to close."""

    name = "inspection-signed"
    is_decision = True
    step: str
    by: str
    is_passed: bool
    text: str = ""


@dataclass(frozen=True)
class BulletinReceived(Kind):
    """A bulletin came in."""

    name = "bulletin-received"
    bulletin: str
    title: str = ""
    issued: str = ""
    digest: str = ""


@dataclass(frozen=True)
class BulletinMet(Kind):
    """What a bulletin asks for was done: how, by whom, at which holes."""

    name = "bulletin-met"
    is_decision = True
    bulletin: str
    how: str
    by: str
    holes: tuple[str, ...] = ()
    document: str = ""


@dataclass(frozen=True)
class Ordered(Kind):
    """Parts, tools or stock were ordered, so many; `due` a day or empty."""

    name = "ordered"
    what: str
    named: str
    count: int
    due: str = ""
    note: str = ""


@dataclass(frozen=True)
class Delivered(Kind):
    """Where a part, tool or stock code stands: on hand, on order, back order, ...

    `what` is part, tool or stock; `due` a day or empty.
    """

    name = "delivered"
    what: str
    named: str
    state: str
    due: str = ""
    note: str = ""


@dataclass(frozen=True)
class Received(Kind):
    """Parts, tools or stock arrived, so many."""

    name = "received"
    what: str
    named: str
    count: int
    note: str = ""


@dataclass(frozen=True)
class Counted(Kind):
    """Stock was counted; from here on the count holds."""

    name = "counted"
    is_decision = True
    what: str
    named: str
    count: int


@dataclass(frozen=True)
class HoursBegun(Kind):
    """A person began an operation, which ends what that person did before.

    `is_bench` is False for reading, tidying, ordering, filming.
    """

    name = "hours-begun"
    operation: str
    is_bench: bool = True


@dataclass(frozen=True)
class HoursEnded(Kind):
    """A person stopped work."""

    name = "hours-ended"


@dataclass(frozen=True)
class HoursBooked(Kind):
    """Minutes at an operation on a day, written afterwards.

    `instead_of` is the id of the begun fact that it corrects (a timer forgotten).
    """

    name = "hours-booked"
    day: str
    operation: str
    minutes: int
    is_bench: bool = True
    count: int | None = None
    counted: str = ""
    note: str = ""
    instead_of: str = ""


@dataclass(frozen=True)
class NoteWritten(Kind):
    """A note on holes, a step, or the assembly as a whole."""

    name = "note-written"
    text: str
    holes: tuple[str, ...] = ()
    step: str = ""


@dataclass(frozen=True)
class PhotoTaken(Kind):
    """A photo, by the digest of its file, of holes, a step or the assembly."""

    name = "photo-taken"
    digest: str
    media: str
    byte_count: int
    holes: tuple[str, ...] = ()
    step: str = ""
    caption: str = ""


@dataclass(frozen=True)
class Undone(Kind):
    """A fact was taken back; it stays in the record and no longer counts."""

    name = "undone"
    fact: str
    reason: str = ""


@dataclass(frozen=True)
class PlanIssued(Kind):
    """A revision of the plan was stored; `digest` is that of its file.

    `lineage` tells which row id became which, where a person confirmed it.
    """

    name = "plan-issued"
    is_decision = True
    revision: int
    digest: str
    drawing: str = ""
    lineage: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class OpeningTaken(Kind):
    """The opening of a file became facts; it is never taken a second time."""

    name = "opening-taken"
    file: str
    digest: str
    day: str = ""


ALL_KINDS: tuple[type[Kind], ...] = (
    *(HoleWorked, HolderMoved, RivetsSet, LeftOpen, HeadChecked, HeadDecided),
    *(RivetRemoved, HoleOpenedUp, HoldPut, HoldLifted, QuestionAsked, QuestionAnswered),
    *(FindingAnswered, StepBegun, StepFinished, StepNoted, GateTicked),
    *(InspectionSigned, BulletinReceived, BulletinMet),
    *(Ordered, Delivered, Received, Counted),
    *(HoursBegun, HoursEnded, HoursBooked, NoteWritten, PhotoTaken, Undone),
    *(PlanIssued, OpeningTaken),
)
KINDS: dict[str, type[Kind]] = {kind.name: kind for kind in ALL_KINDS}


def field_names(kind: type[Kind]) -> tuple[str, ...]:
    """The fields of a kind, in the order of its page."""
    return tuple(one.name for one in fields(kind))  # type: ignore[arg-type]
