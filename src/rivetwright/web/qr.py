"""Addresses as QR codes: in a page, and on a terminal."""

from __future__ import annotations

from contextlib import suppress

import segno
from markupsafe import Markup


def qr_picture(text: str) -> Markup:
    """A QR code as a picture that stands in a page; the text stands beside it."""
    code = segno.make(text, error="m")
    svg = code.svg_inline(border=3, dark="black", light="white", omitsize=True)
    return Markup(svg.replace("<svg ", '<svg role="img" aria-hidden="true" ', 1))


def print_qr(text: str) -> None:
    """A QR code on the terminal; none on one that lacks the signs for it."""
    with suppress(UnicodeEncodeError):
        segno.make(text, error="m").terminal(compact=True)
