"""No figure without its working: every page of the demo, link by link."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin

import httpx
import pytest

from tests.browser.conftest import words_of

# Every hole of the demo has a page; each 9th is taken, and with it its figures.
EACH_HOLE = 9


class Figures(HTMLParser):
    """Links of a page, and the figures that are marked as quantities."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.figures: list[tuple[str, str, str]] = []
        self.answer = ""
        self._open: list[str] = []
        self._href = self._quantity = ""
        self._is_answer = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note links; begin to collect a figure or an answer."""
        named = dict(attrs)
        if tag == "a" and named.get("href"):
            self.links.append(named["href"] or "")
        if "data-quantity" in named:
            self._quantity = named["data-quantity"] or ""
            self._href = named.get("href") or ""
            self._open = []
        if "data-answer" in named:
            self._is_answer = True
        if tag == "small" and self._quantity:
            self._open.append("|")

    def handle_endtag(self, tag: str) -> None:
        """Finish a figure or an answer."""
        if tag == "a" and self._quantity:
            main = words_of("".join(self._open).partition("|")[0])
            self.figures.append((self._quantity, main, self._href))
            self._quantity = ""
        if tag == "strong":
            self._is_answer = False

    def handle_data(self, data: str) -> None:
        """Collect words."""
        if self._quantity:
            self._open.append(unescape(data))
        if self._is_answer:
            self.answer += data


def read(client: httpx.Client, address: str) -> Figures:
    """A page that must be there, with its links and figures."""
    answer = client.get(address)
    assert answer.status_code == 200, address
    page = Figures()
    page.feed(answer.text)
    return page


def is_taken(address: str) -> bool:
    """Whether a page is visited: of the holes each 9th, of filters none."""
    if address.startswith("/static/") or "/why/" in address or "map.pdf" in address:
        return False
    hole = re.search(r"/hole/\w[\w-]*:(\d+)$", address)
    if hole and int(hole[1]) % EACH_HOLE != 1:
        return False
    return re.search(r"[?&](hole|lit|turn|mirror|row|part)=", address) is None


def crawl(client: httpx.Client) -> Iterator[tuple[str, Figures]]:
    """Every page that links lead to from the first one, and each 9th hole's."""
    waiting, seen = ["/"], {"/"}
    while waiting:
        here = waiting.pop()
        page = read(client, here)
        yield here, page
        found = {urldefrag(urljoin(here, link))[0] for link in page.links}
        found |= {one[2].partition("/why/")[0] for one in page.figures}
        for link in sorted(found):
            if link.startswith("/") and link not in seen and is_taken(link):
                seen.add(link)
                waiting.append(link)


@pytest.fixture
def client(demo: str) -> Iterator[httpx.Client]:
    """Asks for pages as a browser would."""
    with httpx.Client(base_url=demo, timeout=30) as opened:
        yield opened


def test_every_figure_shown_opens_its_working(client: httpx.Client) -> None:
    """Each figure's link leads to a working whose answer is the figure shown."""
    answers: dict[str, str] = {}
    visited, figures = 0, 0
    for here, page in crawl(client):
        visited += 1
        if here.endswith(".json"):
            continue
        for quantity, shown, link in page.figures:
            assert quantity in link, f"{here}: {quantity}"
            if is_taken(link.partition("/why/")[0]):
                figures += 1
                if link not in answers:
                    answers[link] = words_of(read(client, link).answer)
                assert answers[link] == shown, f"{here}: {quantity}"
    assert visited > 60
    assert figures > 1500


def test_every_figure_of_the_json_opens_its_working(client: httpx.Client) -> None:
    """Each quantity that the JSON names for its figures has a working that opens."""
    for key in ("aileron", "flap", "root-rib"):
        written = client.get(f"/assembly/{key}/plan.json").json()
        hole = written["holes"][0]["name"]
        for quantity in set(written["figures"].values()):
            page = read(client, f"/assembly/{key}/hole/{hole}/why/{quantity}")
            assert page.answer, quantity


def test_print_links_give_a_pdf_on_either_paper(client: httpx.Client) -> None:
    """Letter and A4 are asked for; each answer is a PDF of that size."""
    for paper in ("letter", "a4"):
        answer = client.get(f"/assembly/flap/map.pdf?paper={paper}")
        assert answer.headers["content-type"] == "application/pdf"
        assert answer.content.startswith(b"%PDF")
