"""The words in the pictures, from the catalogue of one language."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from rivetwright.texts.catalogue import Catalogue


@cache
def _catalogue(language: str = "en") -> Catalogue:
    """The pictures' own catalogue, read once."""
    file = files("rivetwright.drawing").joinpath(f"{language}.toml")
    return Catalogue(language, tomllib.loads(file.read_text("utf-8")))


def say(key: str, **values: object) -> str:
    """The words under `section.name`, filled in.

    Raises:
        NotFound: the catalogue has no such words.
    """
    return _words(key).format_map(values)


@cache
def _words(key: str) -> str:
    """The words under a key, as the catalogue has them."""
    section, _, name = key.partition(".")
    return _catalogue().word(section, name)
