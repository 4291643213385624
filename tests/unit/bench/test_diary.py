"""The record as it is read: by day, by name, with what each fact speaks of."""

from __future__ import annotations

from rivetwright.bench.diary import Line, diary
from rivetwright.bench.supplies import supply_names
from rivetwright.bench.workshop import Workshop
from tests.unit.bench.conftest import Clock, Phone


def lines(workshop: Workshop) -> list[Line]:
    """Every line that no file said, the newest first."""
    every = [line for day in diary(workshop).days for line in day.lines]
    return [line for line in every if not line.is_from_file]


def test_newest_day_stands_first(
    workshop: Workshop, phone: Phone, clock: Clock
) -> None:
    """A late mark of yesterday stands under yesterday, whenever it arrived."""
    today = phone.record("note-written", text="today")
    yesterday = phone.mark("note-written", text="late")
    tablet = Phone(workshop, "tablet-1")
    tablet.send(yesterday | {"happened": "2026-11-24T20:00:00.000Z"})
    days = diary(workshop).days
    assert [day.day for day in days[:2]] == ["2026-11-25", "2026-11-24"]
    assert [line.seq for line in days[1].lines] == [workshop.position()]
    assert today.taken[0].seq in {line.seq for line in days[0].lines}


def test_wild_clock_makes_no_day_to_come(
    workshop: Workshop, phone: Phone, clock: Clock
) -> None:
    """Told at 2099: it stands under the day on which it arrived."""
    mark = phone.mark("note-written", text="x")
    phone.send(mark | {"happened": "2099-01-01T00:00:00.000Z"})
    assert diary(workshop).days[0].day == "2026-11-25"
    assert lines(workshop)[0].flags == ("far-clock",)


def test_person_is_called_by_name(workshop: Workshop, phone: Phone) -> None:
    """As the shop file has it; one it does not have, by id."""
    phone.record("note-written", text="x")
    Phone(workshop, "phone-9", "somebody").record("note-written", text="y")
    assert [line.person for line in lines(workshop)] == ["somebody", "The builder"]


def test_line_says_what_its_fact_speaks_of(workshop: Workshop, phone: Phone) -> None:
    """The question answered, the holes of the hold lifted, the kind taken back."""
    phone.record("question-asked", question="Q-x1", text="which?")
    phone.record("question-answered", question="Q-x1", answer="this")
    phone.record("hold-put", "A17:1-2", hold="H-x1", reason="dent")
    phone.record("hold-lifted", hold="H-x1", reason="flat")
    noted = phone.record("note-written", text="x").taken[0].id
    phone.record("undone", fact=noted)
    phone.record("undone", fact="f" * 32)
    about = {line.body.name: line.about for line in lines(workshop)[1:]}
    assert about["question-answered"] == "which?"
    assert about["hold-lifted"] == "A17:1-2"
    assert about["undone"] == "note-written"
    assert lines(workshop)[0].about == ""
    taken_back = [line.body.name for line in lines(workshop) if line.is_taken_back]
    assert taken_back == ["note-written"]


def test_names_of_what_may_arrive(workshop: Workshop, phone: Phone) -> None:
    """Parts of every plan, tools of the shop, codes of rows and of the stock."""
    phone.record("received", key="", what="stock", named="MS20470AD6-9", count=1)
    names = supply_names(workshop)
    assert {"513", "709B", "621"} <= set(names["part"])
    assert "BB3" in names["tool"]
    assert {"BD4-2", "MS20470AD6-9"} <= set(names["stock"])
    assert all(list(some) == sorted(set(some)) for some in names.values())
