"""The page Record: what a person writes there, and how it reads."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest

from rivetwright.record.devices import READS
from rivetwright.record.kinds import STOCK, PlanIssued
from tests.unit.web.site import PHONE, Site


def write(site: Site, kind: str, assembly: str = "", **fields: str) -> int:
    """Send a form of the page as a browser does; gives the answer's status."""
    page = site.ask("GET", "/record").text
    (saw,) = set(re.findall(r'name="saw" value="(\d+)"', page))
    body = fields.pop("body", "{}")
    said = {"id": f"{site.workshop.position() + 1:032x}", "kind": kind, "saw": saw}
    data = said | {"body": body} | fields
    if assembly:
        data["assembly"] = assembly
    return site.ask("POST", "/record/mark", data=data).status_code


COUNTED = {"body": '{"what": "stock"}'}


def stock_of(site: Site) -> int | None:
    """Rivets BD4-2 there by the record."""
    return site.workshop.state().stock[STOCK, "BD4-2"].on_hand


def test_question_is_answered(site: Site) -> None:
    """From the list of open questions: what, by whom, in which letter."""
    (asked, *_) = site.workshop.state().assembly("aileron").questions.values()
    body = json.dumps({"question": asked.id})
    said = {"text.answer": "a blind one", "text.by": "supplier"}
    fields = said | {"text.document": "letter 7", "body": body}
    assert write(site, "question-answered", "aileron", **fields) == 303
    now = site.workshop.state().assembly("aileron").questions[asked.id]
    assert (now.answer, now.by, now.document) == ("a blind one", "supplier", "letter 7")
    assert 'Answer to "' in site.ask("GET", "/record").text.replace("&#34;", '"')


def test_part_arrives(site: Site) -> None:
    """For the whole shop: part 513, one of it."""
    body = json.dumps({"what": "part"})
    fields = {"text.what": "part", "text.named": "513", "whole.count": "1"}
    assert write(site, "received", body=body, **fields) == 303
    assert site.workshop.state().deliveries["part", "513"].state == "on hand"


def test_part_is_late(site: Site) -> None:
    """Back order, with its day."""
    fields = {"text.what": "tool", "text.named": "BB3", "text.state": "back order"}
    more = {"text.due": "2026-12-24", "body": '{"what": "part"}'}
    assert write(site, "delivered", **(fields | more)) == 303
    there = site.workshop.state().deliveries["tool", "BB3"]
    assert (there.state, there.due) == ("back order", "2026-12-24")


def test_rivets_are_counted(site: Site) -> None:
    """A decision: with the position of the page it is taken, with an older not."""
    fields = {"text.named": "BD4-2", "whole.count": "31", "body": '{"what": "stock"}'}
    assert write(site, "counted", **fields) == 303
    assert site.workshop.state().stock[STOCK, "BD4-2"].on_hand == 31
    stale = {"id": "e" * 32, "kind": "counted", "saw": "1"} | fields
    answer = site.ask("POST", "/record/mark", data=stale)
    assert answer.status_code == 409
    assert site.workshop.state().stock[STOCK, "BD4-2"].on_hand == 31


def test_bulletin_comes_in(site: Site) -> None:
    """For the assembly chosen."""
    fields = {"text.bulletin": "SB-09", "text.title": "made up"}
    assert write(site, "bulletin-received", "flap", **fields) == 303
    assert "SB-09" in site.workshop.state().assembly("flap").bulletins


def test_word_that_means_nothing_is_told_on_a_page(site: Site) -> None:
    """A part no plan has: what was found and what is allowed, nothing kept."""
    before = site.workshop.position()
    said = {"id": "a" * 32, "kind": "received", "saw": str(before)}
    fields = {"body": '{"what": "part"}', "text.named": "no such", "whole.count": "1"}
    answer = site.ask("POST", "/record/mark", data=said | fields)
    assert answer.status_code == 422
    assert "no such" in answer.text
    gone = site.ask("POST", "/record/mark", data=said | {"assembly": "wing"})
    assert gone.status_code == 404
    assert site.workshop.position() == before


def test_link_that_reads_sees_no_form(site: Site) -> None:
    """It reads every line and writes none."""
    token = site.phone(READS)
    page = site.ask("GET", "/record", by=PHONE, token=token).text
    assert "/record/mark" not in page
    assert "Newest facts" in page


@pytest.mark.parametrize("kind", ["received", "counted", "bulletin-received"])
def test_bench_writes_it_too(site: Site, kind: str) -> None:
    """With the screen's own forms, so that it waits for the link like every mark."""
    page = site.ask("GET", "/bench/aileron").text
    assert f'data-kind="{kind}"' in page
    assert 'data-kind="question-answered"' in page


def test_page_reads_as_sentences(site: Site) -> None:
    """Newest day open, older ones folded, no field names and no ids."""
    gate = {"kind": "gate-ticked", "body": {"gate": "ready:aileron-3", "line": "x_y"}}
    assert site.send(site.mark() | gate, token=site.phone()).json()["kept"]
    page = site.ask("GET", "/record").text
    days = re.findall(r'<details class="day"( open)?>', page)
    assert days[0] == " open"
    assert set(days[1:]) == {""}
    assert "A17" not in page.partition("Newest facts")[0]
    for field in ("is ticked", "gate-ticked", "gate:", "line:"):
        assert field not in page


def test_fact_is_taken_back_and_counts_again(site: Site) -> None:
    """A count of stock, found by its place; then its taking back is taken back."""
    write(site, "counted", **{"text.named": "BD4-2", "whole.count": "31"} | COUNTED)
    counted = site.workshop.position()
    page = site.ask("GET", f"/record/fact/{counted}").text
    assert "31 there" in page
    (fact,) = set(re.findall(r'"fact": "([0-9a-f]{32})"', unescape(page)))
    back = {"body": json.dumps({"fact": fact}), "text.reason": "another tin"}
    assert write(site, "undone", **back) == 303
    assert stock_of(site) != 31
    assert "Take it back" not in site.ask("GET", f"/record/fact/{counted}").text
    undone = site.workshop.position()
    page = site.ask("GET", f"/record/fact/{undone}").text
    (fact,) = set(re.findall(r'"fact": "([0-9a-f]{32})"', unescape(page)))
    again = {"body": json.dumps({"fact": fact}), "text.reason": "the same tin"}
    assert write(site, "undone", **again) == 303
    assert stock_of(site) == 31


def test_fact_that_is_not_there_is_refused(site: Site) -> None:
    """Places go from 1 to the last."""
    last = site.workshop.position()
    for seq in (0, last + 1, "abc", "9" * 30):
        answer = site.ask("GET", f"/record/fact/{seq}")
        assert answer.status_code == 404
        assert f"1 to {last}" in answer.text


def test_plan_issued_is_not_taken_back(site: Site) -> None:
    """A further revision says what holds then."""
    entries = site.workshop.entries(0)
    seq = next(one.seq for one in entries if isinstance(one.fact.body, PlanIssued))
    assert "Take it back" not in site.ask("GET", f"/record/fact/{seq}").text
