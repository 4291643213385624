"""The pages that compare revisions, and the entry that a bulletin was done."""

from __future__ import annotations

import html
import re
from pathlib import Path

from rivetwright.bench.revision import offered
from tests.unit.web.conftest import Ask
from tests.unit.web.site import Site

PAGE = "/revision/root-rib-sb-07"


def words(page: str) -> str:
    """A page's words, without its tags."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def test_list_names_the_bulletin(ask: Ask) -> None:
    """With the day on which it came in."""
    said = words(ask("/revision").text)
    assert "Bulletin SB-07: Root rib, rear attach" in said
    assert "came in on 2026-11-16" in said


def test_comparison_says_what_to_do(ask: Ask) -> None:
    """Counts, order, needs, differences with both units."""
    said = words(ask(PAGE).text)
    for text in (
        "8 holes changed, 5 added, 0 gone. 4 rivets must come out.",
        "Take out 4 MS20470AD4-4.5 at B9:1-4, without enlarging the holes. 53 min",
        "20 in kit SB-07K, due 2026-12-09, enough with the spare",
        "Stack 602 + 611 621 + 602 + 611",
        "Grip .095 in 2.41 mm .135 in 3.43 mm",
        "Part 621 is new",
    ):
        assert text in said


def test_nothing_of_that_name(ask: Ask) -> None:
    """The nearest one is told."""
    page = ask("/revision/root-rib-sb-08")
    assert page.status_code == 404
    assert "root-rib-sb-07" in page.text


def test_compliance_is_recorded(site: Site) -> None:
    """How and by whom; afterwards the page says so, and asks no more."""
    page = site.ask("GET", PAGE).text
    hidden = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', page))
    data = {name: html.unescape(value) for name, value in hidden.items()} | {
        "text.how": "621 set, four rivets replaced",
        "text.by": "The builder",
        "text.document": "entry 12",
    }
    assert site.ask("POST", f"{PAGE}/met", data=data).status_code == 303
    (met,) = site.workshop.state().assembly("root-rib").met.values()
    assert (met.bulletin, met.by, met.document) == ("SB-07", "The builder", "entry 12")
    assert len(met.holes) == 2
    said = words(site.ask("GET", PAGE).text)
    assert "Done: 621 set, four rivets replaced. By The builder" in said
    assert "Record that it was done" not in said


def test_compliance_without_a_word_is_refused(site: Site) -> None:
    """How it was done and by whom are both needed."""
    page = site.ask("GET", PAGE).text
    hidden = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', page))
    data = {name: html.unescape(value) for name, value in hidden.items()}
    answer = site.ask("POST", f"{PAGE}/met", data=data | {"text.by": "The builder"})
    assert answer.status_code >= 400


def test_a_changed_file_is_offered(site: Site) -> None:
    """The flap's file with another rivet: compared with the plan that counts."""
    file: Path = site.workshop.folder / "flap.yaml"
    text = file.read_text(encoding="utf-8")
    assert "callout: MS20470AD5-7, step: flap-3" in text
    changed = text.replace(
        "callout: MS20470AD5-7, step: flap-3", "callout: MS20470AD5-8, step: flap-3"
    ).replace("revision: 1", "revision: 2")
    file.write_text(changed, encoding="utf-8")
    assert [one.key for one in offered(site.workshop)] == ["root-rib-sb-07", "flap"]
    said = words(site.ask("GET", "/revision/flap").text)
    assert "C5:1-3 changed, 3" in said
    assert "Callout MS20470AD5-7 MS20470AD5-8" in said
    assert "rivetwright record issue" in said
