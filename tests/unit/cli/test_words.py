"""The terminal's own catalogue: every word is used, and every used word is there."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from rivetwright import cli
from rivetwright.cli.words import counted, say
from rivetwright.errors import NotFound

NEVER = re.compile(r"\b(invalid|error|please)\b", re.IGNORECASE)
WORDS = tomllib.loads(files("rivetwright.cli").joinpath("en.toml").read_text("utf-8"))
KEYS = {f"{section}.{name}" for section, words in WORDS.items() for name in words}


def test_catalogue_and_code_have_the_same_keys() -> None:
    """A key that the code does not name is a word left behind."""
    folder = Path(cli.__file__).parent
    code = "".join(path.read_text("utf-8") for path in sorted(folder.glob("*.py")))
    said = set(re.findall(r"\bsay\(\s*\"([a-z_]+\.[a-z_]+)\"", code))
    some = set(re.findall(r"\bcounted\(\s*\"([a-z_]+\.[a-z_]+)\"", code))
    assert said | some | {f"{key}s" for key in some} <= KEYS
    named = set(re.findall(r"[\"']([a-z_]+\.[a-z_]+)[\"']", code))
    labels = {f"finding.{label}" for label in ("found", "allowed", "do")}
    assert KEYS - named - labels - {f"{key}s" for key in named} == set()


def test_no_word_is_one_we_never_use() -> None:
    """Neither invalid nor error nor please."""
    texts = [text for words in WORDS.values() for text in words.values()]
    assert [text for text in texts if NEVER.search(text) or not text] == []


def test_one_and_many() -> None:
    """One is written out, more are counted."""
    assert (counted("plan.hole", 1), counted("plan.hole", 6)) == ("1 hole", "6 holes")


def test_a_missing_word_is_refused() -> None:
    """Nothing is shown blank."""
    with pytest.raises(NotFound, match="nearest: title"):
        say("plan.titel")
