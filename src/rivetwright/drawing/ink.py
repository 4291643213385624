"""Colours, lines and letters of the pictures: variables on screen, fixed on paper.

Every colour stands beside a shape and a label, so that a black-and-white print
says the same. A page changes a colour by setting its variable, `--map-ink` for
`ink` and so on.
"""

from __future__ import annotations

from functools import cache
from string import Template

COLOURS = {
    "ink": "#23211d",
    "paper": "#fffdf8",
    "sheet": "#b9b2a3",
    "hidden": "#6d675c",
    "quiet": "#5c564c",
    "stop": "#a8201a",
    "check": "#8a5200",
    "silver": "#a9b2ba",
    "copper": "#c8763a",
    "black": "#2b2b2b",
    "brass": "#cda434",
    "other": "#8fa08f",
}
PAPER = COLOURS | {"paper": "#ffffff", "sheet": "none", "ink": "#000000"}
# Trade's common sheet-holder colours by diameter in 1/32 in (common practice).
COLOUR_OF_32NDS = {3: "silver", 4: "copper", 5: "black", 6: "brass"}

SCREEN_LETTERS = "system-ui, sans-serif"
# The one sans face that the typesetter carries with it.
PAPER_LETTERS = "DejaVu Sans Mono"

# Widths are millimetres as drawn; --map-grow lets a page keep signs and letters
# at one size on the screen while the map is zoomed.
_RULES = Template("""
.drawing text{font-family:$letters;fill:$ink}
.drawing .halo{paint-order:stroke;stroke:$paper;stroke-linejoin:round}
.drawing .quiet{fill:$quiet}
.drawing .strong{font-weight:700}
.drawing .sheet{fill:$sheet;fill-opacity:0.22;stroke:none}
.drawing .void{fill:$paper;stroke:none}
.drawing .line{fill:none;stroke:$ink;stroke-linejoin:round;stroke-linecap:butt}
.drawing .hidden{stroke:$hidden}
.drawing .bend{stroke:$ink}
.drawing .leader{fill:none;stroke:$quiet}
.drawing .leader-end{fill:$quiet}
.drawing .sign{stroke:$ink;fill:none}
.drawing .ring{fill:$other}
.drawing .d3 .ring{fill:$silver}
.drawing .d4 .ring{fill:$copper}
.drawing .d5 .ring{fill:$black}
.drawing .d6 .ring{fill:$brass}
.drawing .eye{fill:$paper}
.drawing .dot{fill:$ink;stroke:none}
.drawing .stop{stroke:$stop}
.drawing .check{stroke:$check}
.drawing .metal{fill:$sheet;stroke:$ink}
.drawing .rivet{fill:$other;stroke:$ink}
.drawing .d3 .rivet{fill:$silver}
.drawing .d4 .rivet{fill:$copper}
.drawing .d5 .rivet{fill:$black}
.drawing .d6 .rivet{fill:$brass}
""")
_ON_SCREEN = """
.hole-map .line{vector-effect:non-scaling-stroke}
.hole-map .hole>*{transform:scale(var(--map-grow,1))}
"""


@cache
def stylesheet(*, for_paper: bool = False) -> str:
    """The rules of all pictures; a page may hold them once in its own style file."""
    if for_paper:
        return _RULES.substitute(PAPER, letters=PAPER_LETTERS)
    inks = {name: f"var(--map-{name},{value})" for name, value in COLOURS.items()}
    letters = f"var(--map-letters,{SCREEN_LETTERS})"
    return _RULES.substitute(inks, letters=letters) + _ON_SCREEN


def size_class(diameter_32nds: int | None) -> str:
    """The class of a diameter, `d4` for 1/8; `dx` for one without a colour."""
    return f"d{diameter_32nds}" if diameter_32nds in COLOUR_OF_32NDS else "dx"
