"""Signs of the trend picture: heads inside and outside, far ones, badges of changes."""

from __future__ import annotations

from collections.abc import Callable

from rivetwright.drawing.svg import Element, add, path_through

# Millimetres as drawn.
WORDS_MM = 2.6
BADGE_MM, SIGN_MM = 1.7, 1.1
SIGN_WIDTH_MM, THIN_MM = 0.4, 0.2
HALO_MM = 0.9


def write(
    parent: Element,
    words: str,
    x: float,
    y: float,
    *,
    size: float = WORDS_MM,
    class_: str = "",
    anchor: str | None = None,
    turned: bool = False,
) -> None:
    """Words that begin at a place; `turned` ones run downward from it."""
    add(
        parent,
        "text",
        words,
        x=x,
        y=y,
        font_size=size,
        class_=class_ or None,
        text_anchor=anchor,
        stroke_width=HALO_MM if "halo" in class_ else None,
        transform=f"rotate(90 {x:.3f} {y:.3f})" if turned else None,
    )


def round_badge(group: Element, x: float, y: float) -> None:
    """A round badge."""
    add(group, "circle", cx=x, cy=y, r=BADGE_MM, class_="sign eye", stroke_width=0.3)


def pointed_badge(group: Element, x: float, y: float) -> None:
    """A pointed badge."""
    r = BADGE_MM * 1.35
    corners = [(x - r, y + 0.8 * r), (x + r, y + 0.8 * r), (x, y - r)]
    path = path_through(corners, closed=True)
    add(group, "path", d=path, class_="sign check eye", stroke_width=0.3)


BADGES: dict[str, Callable[[Element, float, float], None]] = {
    "changed": round_badge,
    "alarm": pointed_badge,
}


def add_ring(sign: Element, x: float, y: float) -> None:
    """A head inside its limits."""
    add(
        sign,
        "circle",
        cx=x,
        cy=y,
        r=SIGN_MM,
        class_="sign eye inside",
        stroke_width=SIGN_WIDTH_MM,
    )


def add_cross(sign: Element, x: float, y: float) -> None:
    """A head outside its limits."""
    r = SIGN_MM * 1.15
    for way in (-1, 1):
        path = path_through([(x - r, y - way * r), (x + r, y + way * r)])
        width = SIGN_WIDTH_MM * 1.6
        add(sign, "path", d=path, class_="sign stop outside", stroke_width=width)


def add_far(sign: Element, x: float, rim: float, way: int, length: str) -> None:
    """An arrow at the rim with the figure: the head lies beyond what is shown.

    `way` is -1 where it lies beyond the upper rim, 1 beyond the lower.
    """
    y = rim - way * 2.2
    tip = y + way * 1.2
    path = path_through([(x - 1.0, y), (x + 1.0, y), (x, tip)], closed=True)
    add(sign, "path", d=path, class_="dot far")
    words_y = y - way * 1.0 + (0.0 if way > 0 else WORDS_MM * 0.8)
    write(sign, length, x, words_y, class_="halo", anchor="middle")
