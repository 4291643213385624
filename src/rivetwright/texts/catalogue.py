"""Read the catalogue of a language; look its words up; refuse a missing key."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from rivetwright.errors import NotFound, nearest_hint


@dataclass(frozen=True)
class Catalogue:
    """The words of one language."""

    language: str
    words: Mapping[str, Any]

    def word(self, section: str, key: str) -> str:
        """One entry of a section.

        Raises:
            NotFound: the catalogue has no such entry.
        """
        entries = self.words.get(section, {})
        found = entries.get(key)
        if not isinstance(found, str):
            raise NotFound(
                asked=f"look up the words for {section} {key}",
                found=f"none in the catalogue {self.language}",
                allowed="an entry of that section" + nearest_hint(key, entries),
                do=f"add it to texts/{self.language}.toml",
            )
        return found

    def section(self, name: str) -> Mapping[str, Any]:
        """A whole section."""
        section: Mapping[str, Any] = self.words[name]
        return section


@cache
def catalogue(language: str = "en") -> Catalogue:
    """The catalogue of a language, read once: the plan's words and the shop's."""
    words: dict[str, Any] = {}
    for name in (
        f"{language}.toml",
        f"{language}.shop.toml",
        f"{language}.set_ups.toml",
        f"{language}.order.toml",
        f"{language}.heads.toml",
        f"{language}.head_card.toml",
        f"{language}.learning.toml",
        f"{language}.stock.toml",
        f"{language}.revision.toml",
        f"{language}.forecast.toml",
        f"{language}.work.toml",
    ):
        file = files("rivetwright.texts").joinpath(name)
        words |= tomllib.loads(file.read_text("utf-8"))
    return Catalogue(language, words)
