"""Only this machine asks, and a page takes nothing from elsewhere."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from rivetwright.web.app import create_app
from rivetwright.web.guard import OWN_NAMES, host_name
from tests.unit.web.conftest import Ask


@pytest.mark.parametrize(
    ("header", "name"),
    [
        ("127.0.0.1:8765", "127.0.0.1"),
        ("LOCALHOST", "localhost"),
        ("[::1]:8765", "[::1]"),
        ("[::1]", "[::1]"),
        ("plans.example:80", "plans.example"),
        ("", ""),
    ],
)
def test_host_name_is_read_without_its_port(header: str, name: str) -> None:
    """Four and six part addresses and names, with a port and without."""
    assert host_name(header) == name


@pytest.mark.parametrize("name", OWN_NAMES)
def test_own_names_are_answered(ask: Ask, name: str) -> None:
    """Each of this machine's own names gets the page."""
    assert ask("/findings", host=name).status_code == 200


@pytest.mark.parametrize(
    "name", ["plans.example", "127.0.0.1.plans.example", "10.0.0.7", "localhost.evil"]
)
def test_other_names_are_refused_and_told_why(ask: Ask, name: str) -> None:
    """A name that somebody else pointed here gets no page, and reads what to do."""
    answer = ask("/", host=name)
    assert answer.status_code == 421
    assert name in answer.text
    assert "Allowed: 127.0.0.1" in answer.text
    assert "assembly" not in answer.text


@pytest.mark.parametrize("address", ["/", "/static/map.js", "/drawing.css", "/nowhere"])
def test_every_answer_states_the_content_policy(ask: Ask, address: str) -> None:
    """Pages, files and refusals: nothing inline, nothing evaluated, nothing foreign."""
    policy = ask(address).headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


def test_refused_name_gets_the_policy_too(ask: Ask) -> None:
    """The refusal itself is guarded."""
    assert "content-security-policy" in ask("/", host="plans.example").headers


def test_refusal_is_a_page_for_a_browser(ask: Ask) -> None:
    """Wide as the phone is, in its own size; text for whatever asks for text."""
    page = ask("/", host="10.0.0.7", headers={"accept": "text/html,*/*"})
    assert page.status_code == 421
    assert "width=device-width" in page.text
    assert "<p>Asked for this page under the name: 10.0.0.7.</p>" in page.text
    assert page.headers["content-type"].startswith("text/html")
    assert ask("/", host="10.0.0.7").headers["content-type"].startswith("text/plain")


def test_name_asked_for_stays_text_in_the_page(ask: Ask) -> None:
    """It stands in the refusal as it was sent, and is no mark-up."""
    page = ask("/", host="x", headers={"host": "<b>", "accept": "text/html"})
    assert "<b>" not in page.text
    assert "&lt;b&gt;" in page.text


@pytest.mark.parametrize("path", ["/api/marks", "/bench/aileron/mark"])
def test_sender_that_goes_away_is_no_fault(demo_folder: Path, path: str) -> None:
    """Half a mark, then the phone is out of reach: nothing is answered or raised."""
    app = create_app(demo_folder)
    pieces = iter(
        [
            {"type": "http.request", "body": b'{"marks": [', "more_body": True},
            {"type": "http.disconnect"},
        ]
    )
    sent: list[object] = []

    async def receive() -> dict[str, object]:
        return next(pieces)

    async def send(message: object) -> None:
        sent.append(message)

    form = b"application/x-www-form-urlencoded"
    scope = {
        "type": "http",
        "method": "POST",
        "path": path,
        "query_string": b"",
        "scheme": "http",
        "client": ("127.0.0.1", 5000),
        "headers": [
            *((b"host", b"127.0.0.1"), (b"content-type", form)),
            *((b"x-rivetwright", b"mark"), (b"content-length", b"999")),
        ],
    }
    asyncio.run(app(scope, receive, send))
    assert sent == []
