"""Only this machine asks, and a page takes nothing from elsewhere."""

from __future__ import annotations

import pytest

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
