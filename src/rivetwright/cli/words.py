"""The words of the terminal, from the catalogue of one language."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from rivetwright.texts.catalogue import Catalogue


@cache
def _catalogue(language: str = "en") -> Catalogue:
    """The terminal's own catalogue, read once."""
    file = files("rivetwright.cli").joinpath(f"{language}.toml")
    return Catalogue(language, tomllib.loads(file.read_text("utf-8")))


def say(key: str, **values: object) -> str:
    """The words under `section.name`, filled in.

    Raises:
        NotFound: the catalogue has no such words.
    """
    section, _, name = key.partition(".")
    return _catalogue().word(section, name).format_map(values)


def counted(key: str, count: int) -> str:
    """A number of things: `1 row`, `26 rows`; both stand in the catalogue."""
    return say(key if count == 1 else f"{key}s", count=count)
