"""Checks of reach: whether a tool of the shop gets to the hole, and which."""

from __future__ import annotations

import numpy as np

from rivetwright.engines.checks import Mask, check
from rivetwright.engines.reach.tool_columns import (
    NONE,
    ON_ORDER,
    VERDICT_CLEAR,
    VERDICT_TIGHT,
)
from rivetwright.engines.rules import HOLE
from rivetwright.engines.worked import Worked
from rivetwright.model.severity import Severity
from rivetwright.standards.reach import MARGINS


def _still_to_set(worked: Worked, mask: Mask) -> Mask:
    """Holes of a mask whose rivet is not set; what is set was reached."""
    return np.asarray(mask & ~worked.holes.is_set, dtype=bool)


def _says(worked: Worked, verdict: str) -> Mask:
    """Holes not yet set at which the tools come to a verdict."""
    return _still_to_set(worked, worked["tool_verdict"] == verdict)


@check(
    "REACH-01",
    Severity.STOP,
    level=HOLE,
    quantity="in_the_way",
    limit="tools_that_fit",
    fields=("gap_behind_mm", "planned_tools"),
    over=("TOOL-01",),
    source=MARGINS,
)
def no_tool(worked: Worked) -> Mask:
    """No tool of the shop gets there, owned or on order.

    What is checked: every yoke, bar, back-rivet set and puller of the shop against
    what stands round the hole at its step: way in, flange, depth behind, walls.

    Why it matters: it comes to light with the rivet in the hole and the bay shut
    round it, when nothing can be changed any more.

    Example: 0.186 in behind a flange in a tapered bay, where the thinnest bar
    needs 0.293 in.

    What to do: do not begin the row. Ask the kit supplier what may be set there;
    look for a bar or yoke by these figures.

    How sure: own geometry or what was entered by hand; the margins are of the
    usual order and no document gives them.
    """
    return _says(worked, NONE)


@check(
    "REACH-02",
    Severity.CHECK,
    level=HOLE,
    quantity="tools_on_order",
    limit="in_the_way",
    fields=("order_in_the_way", "gap_behind_mm"),
    over=("TOOL-01",),
    source=MARGINS,
)
def only_on_order(worked: Worked) -> Mask:
    """Only a tool on order gets there.

    What is checked: as REACH-01; of the tools that get there none is owned.

    Why it matters: the hole waits for the delivery, and so does what closes over
    it. A rivet set first on the flange opposite takes of the depth.

    Example: the last hole of a rib flange, 0.344 in behind it, where only a blade
    on order goes in.

    What to do: leave these holes until the tool is there, then try it dry first.

    How sure: as REACH-01; the size of a tool on order is that of its description.
    """
    return _says(worked, ON_ORDER)


@check(
    "REACH-03",
    Severity.CHECK,
    level=HOLE,
    quantity="in_the_way",
    limit="tight_margin_mm",
    fields=("tools_that_fit",),
)
def only_tight(worked: Worked) -> Mask:
    """Every owned tool that gets there is tight: try it dry first.

    What is checked: as REACH-01; the best owned tool is inside every limit, but at
    one of them by less than the tight margin. A depth that is enough only until the
    opposite rivet is set is tight too.

    Why it matters: thousandths are not clearance; sheet bends and flanges lean.

    Example: a bar 0.45 in from its middle to its side beside a wall 0.46 in away.

    What to do: put the tool there without a rivet, with everything in place, before
    the row is begun.

    How sure: the margin is our judgement.
    """
    return _says(worked, VERDICT_TIGHT)


@check(
    "REACH-04",
    Severity.NOTE,
    level=HOLE,
    quantity="takes_two",
    limit="squeezer_in_the_way",
    fields=("tools_that_fit",),
    source=MARGINS,
)
def only_with_two(worked: Worked) -> Mask:
    """Only tools that need a second person get there.

    What is checked: the ways of riveting of the tools that get there; gun and bar
    takes two people.

    Why it matters: the row waits for the day on which somebody comes.

    Example: a skin hole 9.5 in from the edge: no yoke reaches it.

    What to do: book the helper for the step, and keep such rows together.

    How sure: common practice; where one person reaches both sides, one is enough.
    """
    verdict = worked["tool_verdict"]
    there = (verdict == VERDICT_CLEAR) | (verdict == VERDICT_TIGHT)
    return _still_to_set(worked, there & (worked["takes_two"] == 1))


@check(
    "TOOL-01",
    Severity.CHECK,
    level=HOLE,
    quantity="planned_in_the_way",
    limit="tools_that_fit",
    fields=("planned_tools",),
    source=MARGINS,
)
def planned_tool_does_not_fit(worked: Worked) -> Mask:
    """The tool on the plan cannot set this rivet; another can.

    What is checked: the tools that the plan names for the row against the hole.

    Why it matters: the squeezer is set up, or the helper sent home, before it shows.

    Example: a 5/32 rivet planned for a yoke that takes 1/8.

    What to do: use one of the tools named, and change the plan.

    How sure: as REACH-01.
    """
    return _still_to_set(worked, worked["planned_in_the_way"] != "")


@check(
    "TOOL-02",
    Severity.CHECK,
    level=HOLE,
    quantity="unknown_tools",
    limit="planned_tools",
    source=MARGINS,
)
def planned_tool_is_unknown(worked: Worked) -> Mask:
    """The plan names a tool that the shop does not have.

    What is checked: the tools named for the row and for its step against the shop
    file.

    Why it matters: nobody can say whether it gets there.

    Example: a step that needs BB4 where the shop has BB1 to BB3.

    What to do: correct the name, or enter the tool with its sizes and its date.

    How sure: it is what the two files say.
    """
    return _still_to_set(worked, worked["unknown_tools"] != "")
