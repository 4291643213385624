"""Build a picture as a tree of elements and write it the same way every time."""

from __future__ import annotations

import unicodedata
import xml.etree.ElementTree as ET
from collections.abc import Iterable

from rivetwright.model.pattern import Point

Element = ET.Element
NAMESPACE = "http://www.w3.org/2000/svg"


def number(value: float) -> str:
    """A coordinate with three digits, without noughts at the end."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def clean(text: str) -> str:
    """Text without the control characters that no picture file may hold."""
    if text.isprintable():
        return text
    kept = (" " if unicodedata.category(c) in ("Cc", "Cs") else c for c in text)
    return "".join(kept)


def add(
    parent: Element, tag: str, text: str = "", **attributes: str | float | None
) -> Element:
    """Add an element; `class_` is written class, `stroke_width` stroke-width."""
    made = ET.SubElement(parent, tag)
    for name, value in attributes.items():
        if value is not None:
            written = clean(value) if isinstance(value, str) else number(value)
            made.set(name.rstrip("_").replace("_", "-"), written)
    if text:
        made.text = clean(text)
    return made


def path_through(points: Iterable[Point], *, closed: bool = False) -> str:
    """The path along some points."""
    written = " L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{written}" + ("Z" if closed else "")


def new_picture(
    kind: str,
    title: str,
    description: str,
    box: tuple[float, float, float, float],
    style: str,
) -> Element:
    """An empty picture: its frame, title, description and style.

    `box` is left, top, width and height of what is seen.
    """
    picture = ET.Element("svg")
    picture.set("xmlns", NAMESPACE)
    picture.set("class", f"drawing {kind}")
    picture.set("viewBox", " ".join(number(value) for value in box))
    picture.set("role", "img")
    picture.set("aria-label", clean(title))
    add(picture, "title", title)
    add(picture, "desc", description)
    add(picture, "style", style)
    return picture


def written(picture: Element) -> str:
    """The picture as text."""
    return ET.tostring(picture, encoding="unicode")
