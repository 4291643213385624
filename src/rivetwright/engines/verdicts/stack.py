"""Checks of the stack: outlines against what is written."""

from __future__ import annotations

import numpy as np

from rivetwright.engines.checks import Mask, check
from rivetwright.engines.rules import HOLE
from rivetwright.engines.worked import Worked
from rivetwright.model.severity import Severity


@check(
    "STACK-01",
    Severity.CHECK,
    level=HOLE,
    quantity="drawn_stack",
    limit="used_stack",
)
def stack_differs(worked: Worked) -> Mask:
    """The stack written for the row is not the one the outlines give.

    What is checked: the parts whose outlines hold the hole at its step, in order,
    against the stack written beside the row.

    Why it matters: one of the two is wrong, and grip and length hang on it. The
    written stack is used until it is settled.

    Example: a row written as two sheets that runs over a doubler.

    What to do: lay the drawing beside the hole map; correct the outline, the
    coordinates or the written stack.

    How sure: own geometry on the outlines as typed.
    """
    return worked.stacks.is_different


@check(
    "STACK-02",
    Severity.CHECK,
    level=HOLE,
    quantity="sheet_count",
    limit="used_stack",
    over=("STACK-01", "LENGTH-02", "LENGTH-03", "LENGTH-04", "LENGTH-05"),
)
def too_few_sheets(worked: Worked) -> Mask:
    """The hole goes through fewer than two sheets.

    What is checked: the number of sheets in the stack that is used. Until it is
    whole, nothing is said of rivets that are too long for it.

    Why it matters: a rivet joins at least two; a part or an outline is missing.

    Example: a row of a skin whose rib was not entered.

    What to do: enter the missing part, or write the stack beside the row.

    How sure: it is a count.
    """
    return np.asarray(worked.of_holes("sheet_count") < 2)


@check(
    "OPEN-01",
    Severity.CHECK,
    level=HOLE,
    quantity="later_part",
    limit="used_stack",
)
def should_stay_open(worked: Worked) -> Mask:
    """A later part lies over this hole, and it is not marked to stay open.

    What is checked: parts that come at a later step, or with open holes, and
    whose outline holds the hole.

    Why it matters: set now, the rivet is in the way of the part that shares its
    hole, and has to come out again.

    Example: a bracket of the wing rigging that shares three holes of a nose row.

    What to do: look for a do-not-rivet note on the drawing; mark the holes open,
    or correct the later part's outline.

    How sure: own geometry on the outlines as typed.
    """
    return np.asarray(worked["later_part"] != "") & (worked.holes.open_holes < 0)


@check(
    "REV-01",
    Severity.CHECK,
    level=HOLE,
    quantity="changed_by",
    limit="used_stack",
)
def set_before_the_bulletin(worked: Worked) -> Mask:
    """The rivet was set before a bulletin changed its row.

    What is checked: holes recorded as set whose row a bulletin gave another
    stack or callout.

    Why it matters: what is in the hole is the old rivet in the old stack; the
    bulletin's part is not under it.

    Example: four rivets set before a doubler was ordered onto the same holes.

    What to do: read the bulletin. As a rule the rivets come out without
    enlarging the holes; ask the kit supplier where a hole has grown.

    How sure: it compares the plan with what is recorded as set.
    """
    return np.asarray(worked.holes.is_set & (worked["changed_by"] != ""))
