"""The pages about stock: the list, one code, its forms, the order list as a table."""

from __future__ import annotations

import csv
import io
import json
import re

from rivetwright.record.kinds import STOCK
from tests.unit.web.conftest import Ask
from tests.unit.web.site import Site

CODE = "MS20426AD3-3"
PAGE = f"/stock/code/{CODE}"


def words(page: str) -> str:
    """A page's words, without its tags."""
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_list_says_what_to_order(ask: Ask) -> None:
    """Three codes, what they wait for, and every code with its figures."""
    page = ask("/stock")
    assert page.status_code == 200
    said = words(page.text)
    assert "3 codes to order" in said
    assert "2 of 20 go without at wing-7, Root rib" in said
    assert "MS20426AD3-3 39 short 162 140 17 -" in said
    assert "20 in kit SB-07K, due 2026-12-09" in said
    assert "4 holes of aileron-5, Aileron: nobody knows yet what goes in (D10)" in said


def test_order_list_is_a_table(ask: Ask) -> None:
    """The CSV has the lines of the page, the code first."""
    made = ask("/stock/order.csv")
    assert made.headers["content-type"].startswith("text/csv")
    rows = list(csv.reader(io.StringIO(made.text)))
    assert [row[:3] for row in rows] == [
        ["Code", "Order", "Short by"],
        ["MS20470AD5-8", "100", "7"],
        ["MS20426AD3-3", "100", "39"],
        ["BF4-2", "100", "13"],
    ]
    # A cell that begins with a plus is text, not a sum.
    assert rows[3][6] == "'+28"
    assert "BF4-2 100 13 20" in words(ask("/stock/order").text)


def test_code_is_reserved_by_step(ask: Ask) -> None:
    """First what can be set now: A17 and A18 at aileron-4."""
    said = words(ask(PAGE).text)
    assert "12 aileron-4, Aileron A17:1-6, A18:1-6 can be set now" in said
    assert "begin it on the page Record" in said


def test_rivets_are_weighed(ask: Ask) -> None:
    """20 counted weigh 1.5 g: 12 g are 160; by volume 12 / 0.0725 = about 166."""
    query = {"heap": "12 g", "sample": "1.5 g", "count": "20"}
    said = words(ask(PAGE, params=query).text)
    assert "By the counted ones: 160" in said
    assert "By volume, about 166 (154 to 179)" in said


def test_a_weight_without_a_unit_is_told(ask: Ask) -> None:
    """On the page itself, beside the fields as they were typed."""
    page = ask(PAGE, params={"heap": "12"})
    assert page.status_code == 200
    assert 'value="12"' in page.text
    assert "36 oz or 1.1 kg" in page.text


def test_an_unknown_code_is_refused(ask: Ask) -> None:
    """With the nearest one."""
    page = ask("/stock/code/MS20426AD3-33")
    assert page.status_code == 404
    assert "MS20426AD3-3" in page.text


def send(site: Site, kind: str, **fields: str) -> int:
    """Send one form of the code's page as a browser does."""
    page = site.ask("GET", PAGE).text
    (saw,) = set(re.findall(r'name="saw" value="(\d+)"', page))
    body = json.dumps({"what": "stock", "named": CODE})
    said = {"id": f"{site.workshop.position() + 1:032x}", "kind": kind, "saw": saw}
    data = said | {"body": body} | fields
    return site.ask("POST", f"{PAGE}/mark", data=data).status_code


def test_order_arrival_and_count_are_written(site: Site) -> None:
    """100 ordered for 2026-12-04, 60 arrive, then 195 are counted."""
    fields = {"whole.count": "100", "text.due": "2026-12-04"}
    assert send(site, "ordered", **fields) == 303
    assert "100 on order, due 2026-12-04" in words(site.ask("GET", PAGE).text)
    assert send(site, "received", **{"whole.count": "60"}) == 303
    there = site.workshop.state().deliveries[STOCK, CODE]
    assert (there.ordered, there.received) == (40, 60)
    assert send(site, "counted", **{"whole.count": "195"}) == 303
    assert site.workshop.state().stock[STOCK, CODE].on_hand == 195
