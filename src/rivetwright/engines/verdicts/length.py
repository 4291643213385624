"""Checks of rivet length and blind grip.

By volume, with the tolerances of length, shank, hole and stand-off: below the
window even at the favourable end stops; above it, or straddling an end, is to be
checked; inside but away from the handbook's code is a note.
"""

from __future__ import annotations

import numpy as np

from rivetwright.engines.checks import Mask, check
from rivetwright.engines.rules import CLASS
from rivetwright.engines.worked import Worked
from rivetwright.model.severity import Severity
from rivetwright.units.tolerance import TOLERANCE_MM

_HEAD = (
    "callout_length_16ths",
    "wanted_length_16ths",
    "grip_mm",
    "legal_length_codes",
    "head_width_mm",
    "head_width_min_mm",
    "head_height_aim_mm",
)


def _volumes(worked: Worked) -> tuple[Mask, Mask, Mask, Mask]:
    """Where the volume at its low and high end lies against the two limits."""
    v = worked["head_volume_ratio"]
    low = v - worked["volume_under_ratio"]
    high = v + worked["volume_over_ratio"]
    least, most = worked["volume_min_ratio"], worked["volume_max_ratio"]
    return high < least, low > most, low < least, high > most


@check(
    "LENGTH-01",
    Severity.STOP,
    level=CLASS,
    quantity="head_width_high_mm",
    limit="head_width_min_mm",
    fields=_HEAD,
)
def too_short(worked: Worked) -> Mask:
    """The rivet is too short to make a legal head.

    What is checked: the metal standing out beyond the stack, less what fills the
    hole, against the least metal of a head inside the named limits. Tolerances
    of length, shank, hole and dimple stand-off all count in the rivet's favour.

    Why it matters: a head that is too small can pull through; it shows only
    after the rivet is set, and drilling it out enlarges the hole.

    Example: a 3/32 rivet of length -2.5 through three dimpled sheets, 0.070 in
    thick together, makes a head of about 0.10 in; the least is 0.122 in.

    What to do: do not set it. Compare the callout with the stack on the drawing,
    then ask the kit supplier with both figures.

    How sure: constant volume is own geometry, within 5 % of printed heads; the
    dimple stand-off rests on head sizes from memory.
    """
    return _volumes(worked)[0]


@check(
    "LENGTH-02",
    Severity.CHECK,
    level=CLASS,
    quantity="head_width_low_mm",
    limit="head_width_min_mm",
    fields=_HEAD,
)
def too_long(worked: Worked) -> Mask:
    """The rivet is long enough to be over-driven.

    What is checked: even with tolerances in its favour the rivet holds more metal
    than a head of 1.75 D at the greatest height of the named limits.

    Why it matters: long tails bend over, and a head squeezed to height comes out
    too wide and may crack.

    Example: a 1/8 rivet of length -6 in a stack of 0.064 in.

    What to do: try it on scrap of the same stack; ask the kit supplier before
    using another length.

    How sure: the limit of 1.75 D is our judgement.
    """
    return _volumes(worked)[1]


@check(
    "LENGTH-03",
    Severity.CHECK,
    level=CLASS,
    quantity="head_volume_ratio",
    limit="volume_min_ratio",
    fields=(*_HEAD, "volume_max_ratio"),
)
def at_the_end_of_the_window(worked: Worked) -> Mask:
    """The length lies at an end of the window; tolerances decide.

    What is checked: with tolerances one way the head is legal, the other way not.

    Why it matters: some rivets of the bag will do and some will not.

    Example: a 1/8 rivet whose metal is 3 % over the least with 8 % spread.

    What to do: set three on scrap of the same stack and measure them before the
    row; ask the kit supplier if one falls outside.

    How sure: the spread combines tolerances that are partly from memory.
    """
    below, above, may_be_low, may_be_high = _volumes(worked)
    return np.asarray((may_be_low | may_be_high) & ~below & ~above)


@check(
    "LENGTH-04",
    Severity.NOTE,
    level=CLASS,
    quantity="wanted_length_16ths",
    limit="callout_length_16ths",
    fields=_HEAD,
    over=(),
)
def away_from_the_handbook(worked: Worked) -> Mask:
    """The callout is not the length of the handbook rule, yet makes a legal head.

    What is checked: the supplied length nearest to grip + 1.5 D against the
    callout, where the volume window holds the callout.

    Why it matters: mostly it does not; the handbook rule and the volume of metal
    disagree, and drawings often call for the shorter rivet.

    Example: a 1/8 rivet -4 where grip + 1.5 D is nearest to -4.5.

    What to do: set it as drawn and check the first heads.

    How sure: the handbook rule is read; the window is own geometry.
    """
    inside = ~np.logical_or.reduce(_volumes(worked))
    wanted, called = worked["wanted_length_16ths"], worked["callout_length_16ths"]
    return np.asarray(inside & (np.abs(wanted - called) > TOLERANCE_MM))


@check(
    "LENGTH-05",
    Severity.CHECK,
    level=CLASS,
    quantity="twin_callouts",
    limit="wanted_length_16ths",
    fields=_HEAD,
    over=("LENGTH-04",),
)
def twins_differ(worked: Worked) -> Mask:
    """Rows with the same stack have different rivet lengths.

    What is checked: rows whose sheets agree in thickness, material and
    preparation, with the same head and diameter, but another length. The finding
    stands at the rows that are further from the handbook length.

    Why it matters: one of the two callouts is likely a slip of the drawing.

    Example: the inboard bracket calls for -4.5 and the outboard one for -5.5 on
    the same three sheets.

    What to do: ask the kit supplier which one is meant before setting either.

    How sure: it is a question, not proof; both may make a legal head.
    """
    return np.asarray(worked["twin_callouts"] != "")


@check(
    "LENGTH-06",
    Severity.CHECK,
    level=CLASS,
    quantity="callout_length_16ths",
    limit="wanted_length_16ths",
)
def not_supplied(worked: Worked) -> Mask:
    """The kit does not supply this length.

    What is checked: the callout's length against the lengths the kit supplies in
    this diameter.

    Why it matters: it will not be in the bag; the nearest one would be used.

    Example: MS20470AD5-6.5 where 5/32 comes in whole sizes only.

    What to do: ask the kit supplier, or add the half sizes to the plan's
    supplied lengths if you have them.

    How sure: as sure as the plan's list of supplied lengths.
    """
    return np.asarray(worked["is_length_supplied"] == 0)


@check(
    "GRIP-01",
    Severity.STOP,
    level=CLASS,
    quantity="blind_grip_mm",
    limit="blind_grip_max_mm",
    fields=("blind_grip_min_mm", "grip_mm", "wanted_blind_code"),
)
def blind_grip_outside(worked: Worked) -> Mask:
    """The stack lies outside the blind rivet's grip range.

    What is checked: the stack, with the head height added where two or more
    sheets are dimpled, against the grip range of the callout.

    Why it matters: too short a blind rivet does not clamp; too long a one leaves
    its stem loose. It has no length rule, only this range.

    Example: two dimpled sheets of 0.020 and 0.025 in count 0.045 + 0.042 =
    0.087 in; a code for 0.020 to 0.062 in is too short.

    What to do: do not set it. Ask the kit supplier for the right code.

    How sure: adding the head height is read; the height itself is from memory
    unless the plan declares it.
    """
    grip = worked["blind_grip_mm"]
    low, high = worked["blind_grip_min_mm"], worked["blind_grip_max_mm"]
    # With a sheet still to be entered (STACK-02) a grip too small says nothing.
    is_whole = worked["sheet_count"] > 1
    too_small = (grip < low - TOLERANCE_MM) & is_whole
    return np.asarray(too_small | (grip > high + TOLERANCE_MM))
