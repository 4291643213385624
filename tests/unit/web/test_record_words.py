"""Every kind of fact as a sentence of the trade, without ids."""

from __future__ import annotations

import pytest

from rivetwright.bench.diary import Line
from rivetwright.record.kinds import (
    ALL_KINDS,
    BulletinMet,
    BulletinReceived,
    Counted,
    Delivered,
    FindingAnswered,
    GateTicked,
    HeadChecked,
    HeadDecided,
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
    OpeningTaken,
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
from rivetwright.web.record_words import TOLD, fact_words
from rivetwright.web.sayings import sayings

HOLES = ("60dfe2ec:1-3",)
ID = "0f" * 16
CODE = "MS20470AD4-4"


def words(body: Kind, *holes: str, about: str = "") -> str:
    """A fact of the aileron in words."""
    said = ("The builder", "aileron", body, holes, about, (), False, False)
    return fact_words(Line(1, "", "2026-11-25", "19:00", *said), sayings())


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (HoleWorked(HOLES, "dimpled", "503"), "A1:1-3 dimpled; sheet 503"),
        (HoleWorked(HOLES, "blessed", note="old"), "A1:1-3 blessed; old"),
        (HolderMoved(HOLES, True), "Sheet holders put into A1:1-3"),
        (HolderMoved(HOLES, False), "Sheet holders taken out of A1:1-3"),
        (
            RivetsSet(HOLES, CODE, "S|x|Y1", reason="ran out", tray_count=4, run_s=9),
            f"A1:1-3 set with {CODE}; because: ran out; 4 counted into the tray",
        ),
        (RivetsSet(HOLES, CODE, left_over=1), f"A1:1-3 set with {CODE}; 1 left over"),
        (LeftOpen(HOLES, "for 512"), "A1:1-3 left open; for 512"),
        (LeftOpen(HOLES, is_marked=True), "A1:1-3 left open and marked at the work"),
        (HeadChecked(HOLES), "Heads looked at: A1:1-3"),
        (
            HeadChecked(HOLES, looks=("leans", "gap under the shop head")),
            "Heads found wanting: A1:1-3: leans, gap under the shop head",
        ),
        (
            HeadChecked(HOLES, 5.08, 1.27),
            "Heads looked at: A1:1-3; .200 in (5.08 mm) wide; .050 in (1.27 mm) high",
        ),
        (
            HeadChecked(HOLES, looks=("off centre",), offset_mm=0.254),
            "Heads found wanting: A1:1-3: off centre; .010 in (0.25 mm) off centre",
        ),
        (
            HeadDecided(HOLES, "leave", "they wrote yes", by="the supplier"),
            "Head of A1:1-3: Leave it; because: they wrote yes; from the supplier",
        ),
        (
            RivetRemoved(HOLES, "leans"),
            "Rivets taken out of A1:1-3; because: leans",
        ),
        (
            HoleOpenedUp(HOLES, "No. 27", "oval"),
            "A1:1-3 opened up with No. 27; because: oval",
        ),
        (
            HoldPut(ID, HOLES, "no bar", "tool", "BB3", "2026-12-04"),
            "A1:1-3 must wait: no bar; waits for BB3; until 2026-12-04",
        ),
        (QuestionAsked(ID, "which?", HOLES), "Asked: which?; A1:1-3"),
        (
            QuestionAsked(ID, "which?", HOLES, "the supplier"),
            "Asked of the supplier: which?; A1:1-3",
        ),
        (
            FindingAnswered("EDGE-01", HOLES, "leave it", "he", "letter 7"),
            "Finding EDGE-01 answered: leave it; A1:1-3; from he, letter 7",
        ),
        (StepBegun("aileron-3"), "Step aileron-3 begun"),
        (
            StepFinished("aileron-3", "A1:1"),
            "Step aileron-3 is done; left in it: A1:1",
        ),
        (StepNoted("aileron-3", "later"), "Step aileron-3: later"),
        (
            GateTicked("ready:aileron-3", "film_off"),
            "Ready to rivet, aileron-3: Film off",
        ),
        (
            GateTicked("ready:aileron-3", f"proof_head {CODE}|501 + 502|Y1"),
            "Ready to rivet, aileron-3: Proof head on scrap passed; "
            f"{CODE}, 501 + 502, Y1",
        ),
        (
            GateTicked("close:aileron-8", "unset", is_ticked=False),
            "Last chance, aileron-8: seen: not set; tick taken away",
        ),
        (
            GateTicked("begin:aileron-4", "step aileron-3"),
            "Begin of aileron-4: seen that aileron-3 is not there",
        ),
        (
            InspectionSigned("aileron-7", "A. Person", True),
            "Step aileron-7 passed by A. Person: may be closed",
        ),
        (
            InspectionSigned("aileron-7", "A. Person", False, "chips"),
            "Step aileron-7 looked at by A. Person: not yet fit to close; chips",
        ),
        (BulletinReceived("SB-07", "rib"), "Bulletin SB-07 came in; rib"),
        (
            BulletinMet("SB-07", "621 set", "A. Person", HOLES, "letter 4"),
            "Bulletin SB-07 done: 621 set; A1:1-3; from A. Person, letter 4",
        ),
        (
            Ordered("stock", CODE, 100, "2026-12-04"),
            f"{CODE}: 100 ordered; due 2026-12-04",
        ),
        (
            Delivered("part", "513", "back order", "2026-12-09"),
            "part 513: back order; due 2026-12-09",
        ),
        (Received("tool", "BB3", 1), "tool BB3: 1 arrived"),
        (Counted("stock", CODE, 40), f"{CODE}: counted, 40 there"),
        (HoursBegun("drilling"), "Timer begun: drilling"),
        (HoursEnded(), "Timer stopped"),
        (HoursBooked("2026-11-24", "drilling", 40), "40 min drilling on 2026-11-24"),
        (NoteWritten("tight", HOLES), "Note: tight; A1:1-3"),
        (PhotoTaken("ab" * 32, "image/png", 9, HOLES, "", "in"), "Photo of A1:1-3; in"),
        (PlanIssued(2, "d" * 64), "Revision 2 of the plan counts"),
        (
            OpeningTaken("x.yaml", "d" * 64),
            "What the file says had happened was taken over",
        ),
    ],
)
def test_fact_is_a_sentence(body: Kind, said: str) -> None:
    """What was done first, then what belongs to it."""
    holes = ("A1:1-3",) if getattr(body, "holes", ()) else ()
    assert words(body, *holes) == said


@pytest.mark.parametrize(
    ("body", "about", "said"),
    [
        (
            QuestionAnswered(ID, "that", "he"),
            "which?",
            'Answer to "which?": that; from he',
        ),
        (HoldLifted(ID, "here"), "A1:1", "A1:1 need wait no longer; because: here"),
        (Undone(ID, "slip"), "rivets-set", "Taken back: the rivets; because: slip"),
        (Undone(ID), "", "Taken back: what is not here"),
    ],
)
def test_fact_that_speaks_of_another(body: Kind, about: str, said: str) -> None:
    """By what it speaks of, never by its id."""
    assert words(body, about=about) == said


def test_every_kind_has_its_words() -> None:
    """None is left to be shown as its fields."""
    assert set(TOLD) == set(ALL_KINDS)


def test_holes_that_are_gone_are_told() -> None:
    """The plan has them no more: no id is shown in their place."""
    assert words(RivetRemoved(HOLES, "x")) == (
        "Rivets taken out of holes the plan has no more; because: x"
    )
