"""A group of heads as its part of a page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True)
class ShownGroup:
    """A group of heads ready for the page."""

    title: str
    count: str
    warnings: tuple[str, ...]
    capability: tuple[str, ...]
    taught: tuple[str, ...]
    picture: Markup | None
