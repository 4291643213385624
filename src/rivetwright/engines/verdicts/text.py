"""Checks of the manual's words against the drawing."""

from __future__ import annotations

import numpy as np

from rivetwright.engines.checks import Mask, check
from rivetwright.engines.rules import HOLE
from rivetwright.engines.worked import Worked
from rivetwright.model.severity import Severity


@check(
    "TEXT-01",
    Severity.CHECK,
    level=HOLE,
    quantity="text_against_drawing",
    limit="waits_for",
)
def text_sets_open_holes(worked: Worked) -> Mask:
    """The words of a step set holes that the drawing leaves open.

    What is checked: the holes a step's text tells one to set against the holes
    the drawing leaves open for later.

    Why it matters: one reads the step at the bench, not the note on the drawing;
    a hole set too early is drilled out later.

    Example: "set all 37 rivets" where a note keeps four of them for other parts.

    What to do: leave the holes open, mark them with tape, and ask the kit
    supplier to confirm.

    How sure: it compares two things the kit says.
    """
    return np.asarray(worked["text_against_drawing"] != "")
