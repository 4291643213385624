"""The sentences of the pages by key, from the catalogue of one language."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from rivetwright.texts.catalogue import Catalogue, catalogue


class Sayings:
    """Sentences of one language; called with a key and what goes into the sentence.

    The pages' own sentences come first, then the ones all faces share.
    """

    def __init__(self, own: Mapping[str, str], shared: Catalogue) -> None:
        self.own = own
        self.shared = shared

    @property
    def language(self) -> str:
        """The language as a page names it."""
        return self.shared.language

    def __call__(self, key: str, **values: object) -> str:
        """The sentence under a key, `section.name`, filled in.

        Raises:
            NotFound: neither catalogue has it.
        """
        found = self.own.get(key)
        if found is None:
            section, _, name = key.partition(".")
            found = self.shared.word(section, name)
        return found.format_map(values)


@cache
def sayings(language: str = "en") -> Sayings:
    """The sentences of a language, read once."""
    folder = files("rivetwright.web") / "catalogue"
    own: dict[str, str] = {}
    for part in (
        *("", ".bench", ".record", ".tools", ".set_ups", ".order"),
        *(".stock", ".revision", ".work", ".forecast", ".head_check", ".heads"),
    ):
        name = f"{language}{part}.toml"
        written = tomllib.loads((folder / name).read_text(encoding="utf-8"))
        own.update(_flat(written, ""))
    return Sayings(own, catalogue(language))


def _flat(written: Mapping[str, Any], above: str) -> list[tuple[str, str]]:
    """Nested tables as dotted keys."""
    made: list[tuple[str, str]] = []
    for key, value in written.items():
        name = f"{above}.{key}" if above else key
        made += _flat(value, name) if isinstance(value, dict) else [(name, value)]
    return made
