"""The sheets of what had already happened, and the list of all sheets."""

from __future__ import annotations

from rivetwright.intake.sheets.layout import (
    ACCESS,
    ASSEMBLY,
    BLIND_CODES,
    CUT_OUTS,
    FACES,
    HELD,
    JOINED,
    LAYERS,
    OPEN_HOLES,
    PARTS,
    ROWS,
    SHANKS,
    STEPS,
    Column,
    Sheet,
)


def _columns(*titles: str) -> tuple[Column, ...]:
    """Columns of fields called as their titles; a list ends in a semicolon."""
    made = []
    for title in titles:
        field = title.rstrip(";").replace(" ", "_")
        path = (field, JOINED) if title.endswith(";") else (field,)
        made.append(Column(title.rstrip(";"), path))
    return tuple(made)


def _named(name: str, section: str, about: str, *titles: str) -> Sheet:
    """A sheet of the opening whose entries have names."""
    columns = (Column("name", ()), *_columns(*titles))
    return Sheet(name, ("opening", section), True, columns, about)


def _listed(name: str, section: str, about: str, *titles: str) -> Sheet:
    """A sheet of the opening whose entries are a list."""
    return Sheet(name, ("opening", section), False, _columns(*titles), about)


OPENING = (
    _named(
        "Holds",
        "holds",
        "Reasons holes must wait.",
        *("holes;", "reason", "kind", "until", "stack", "callout"),
    ),
    _named(
        "Questions",
        "questions",
        "Questions to the kit's designer or an inspector.",
        *("holes;", "text", "asked", "answer"),
    ),
    _named(
        "Deliveries",
        "deliveries",
        "Whether parts are here: on hand, on order ...",
        *("state", "due", "note"),
    ),
    _named("Progress", "steps", "How far steps are.", "state", "note"),
    _listed(
        "Hours",
        "hours",
        "Minutes at an operation on a day.",
        *("day", "operation", "counted", "minutes", "note"),
    ),
    _listed(
        "Heads",
        "heads",
        "Shop heads as measured.",
        *("hole", "width", "height", "day", "looks;", "offset", "proud", "note"),
    ),
    _listed(
        "Work done",
        "done",
        "Work on holes, in the order it was done.",
        *("operation", "holes;", "day", "part", "by;", "setup", "callout", "note"),
    ),
    _named("Bulletins", "bulletins", "Bulletins that came in.", "day", "title"),
)
# A hold's own name stands in the first column; what it waits for in this one.
_HOLDS = Sheet(
    OPENING[0].name,
    OPENING[0].into,
    True,
    (*OPENING[0].columns, Column("waits for", ("name",))),
    OPENING[0].about,
)

SHEETS = (
    ASSEMBLY, PARTS, FACES, LAYERS, CUT_OUTS, STEPS, ROWS, ACCESS, OPEN_HOLES,
    BLIND_CODES, SHANKS, HELD, _HOLDS, *OPENING[1:],
)  # fmt: skip
HELP = "Help"
