"""Every sentence of the pages stands in a catalogue, and none stands there unused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rivetwright.errors import NotFound
from rivetwright.web.sayings import sayings

# `say('nav.findings')`, `say('state.' ~ kind)`, `say("refused.no_page", ...)`.
ASKED = re.compile(r"""say\(\s*['"]([a-z_.]+)['"](\s*~)?""")


@pytest.fixture(scope="module")
def asked(root: Path) -> set[tuple[str, bool]]:
    """Keys that templates and pages ask for; whether only the beginning is written."""
    web = root / "src" / "rivetwright" / "web"
    files = [*web.rglob("*.html"), *web.rglob("*.py")]
    found = (ASKED.findall(file.read_text(encoding="utf-8")) for file in files)
    return {(key, bool(more)) for keys in found for key, more in keys}


def test_every_sentence_asked_for_is_there(asked: set[tuple[str, bool]]) -> None:
    """Whole keys are found; of composed ones at least one sentence is."""
    say = sayings()
    for key, is_beginning in asked:
        if is_beginning:
            section = key.rstrip(".")
            known = any(own.startswith(key) for own in say.own)
            assert known or section in say.shared.words, key
        elif key not in say.own:
            section, _, name = key.partition(".")
            assert say.shared.word(section, name)


def test_no_sentence_is_left_over(asked: set[tuple[str, bool]]) -> None:
    """A sentence that no page asks for is taken out."""
    whole = {key for key, is_beginning in asked if not is_beginning}
    beginnings = tuple(key for key, is_beginning in asked if is_beginning)
    unused = [
        key
        for key in sayings().own
        if key not in whole and not key.startswith(beginnings)
    ]
    assert unused == []


def test_missing_sentence_is_refused() -> None:
    """A key that neither catalogue has is told, never shown empty."""
    with pytest.raises(NotFound):
        sayings()("nav.nowhere")
