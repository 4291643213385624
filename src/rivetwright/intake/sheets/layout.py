"""Which sheets a plan has as a spreadsheet, and which field stands in which column."""

from __future__ import annotations

from dataclasses import dataclass

SHEETS_FORMAT = "rivetwright spreadsheet 1"

# Steps of the path from an entry to a value, besides names and places in a pair.
EACH = "*"  # one value on each line of the entry
JOINED = ";"  # several values in one cell
KEY, VALUE = "<key>", "<value>"  # a name and what belongs to it, on each line

Path = tuple[str | int, ...]

YES_NO = ("yes", "no")
PREPARATIONS = ("plain", "dimple", "countersink")


@dataclass(frozen=True)
class Column:
    """A column: its title and where its value stands in an entry.

    `choices` are offered as a list to choose from; `example` stands in the template.
    """

    title: str
    path: Path
    example: str = ""
    choices: tuple[str, ...] = ()
    choices_of: str = ""

    @property
    def is_repeated(self) -> bool:
        """Whether further lines of an entry may go on with it."""
        return bool({EACH, JOINED, KEY, VALUE} & set(self.path))


@dataclass(frozen=True)
class Sheet:
    """A sheet: where its entries belong, whether they have names, its columns.

    The first column begins an entry; a line without it goes on with the entry above.
    `into` may name columns in angle brackets, such as the face of a layer.
    """

    name: str
    into: tuple[str, ...]
    is_named: bool
    columns: tuple[Column, ...]
    about: str = ""

    @property
    def titles(self) -> tuple[str, ...]:
        """Titles in their order."""
        return tuple(column.title for column in self.columns)


def _pair(title: str, *path: str, example: str = "; ") -> tuple[Column, Column]:
    """Two columns for a place on a face."""
    u, v = example.split("; ")
    return Column(f"{title} u", (*path, 0), u), Column(f"{title} v", (*path, 1), v)


def _plain(title: str, example: str = "", *choices: str, of: str = "") -> Column:
    """A column of one field that is called as its title."""
    return Column(title, (title.replace(" ", "_"),), example, choices, of)


def _list(title: str, example: str = "", field: str = "") -> Column:
    """A column of several values."""
    return Column(title, (field or title.replace(" ", "_"), JOINED), example)


NAME = Column("name", ())

ASSEMBLY = Sheet(
    "Assembly",
    (),
    True,
    (
        Column("format", ("format",), SHEETS_FORMAT),
        Column("project id", ("project", "id")),
        Column("project name", ("project", "name"), "My aeroplane"),
        Column("project note", ("project", "note")),
        Column("assembly id", ("assembly", "id"), "panel"),
        Column("assembly name", ("assembly", "name"), "Access panel"),
        Column("unit", ("unit",), "in", ("in", "mm")),
        Column("drawing", ("drawing",)),
        Column("revision", ("revision",)),
        Column("based on", ("based_on",)),
        Column("issued", ("issued",)),
        Column("note", ("note",)),
        Column("head limits", ("rules", "head_limits")),
        Column("length rounding", ("rules", "length_rounding")),
        Column("drills", ("rules", "drills")),
        Column("countersink", ("rules", "countersink")),
        Column("whole lengths", ("rules", "whole_lengths", JOINED)),
        Column("opening day", ("opening", "day")),
        Column("opening drilled", ("opening", "drilled", JOINED)),
        Column("opening set", ("opening", "set", JOINED)),
    ),
    "One field a line: its name in the first column, what it is in the second.",
)

PARTS = Sheet(
    "Parts",
    ("parts",),
    True,
    (
        Column("name", (), "11"),
        _plain("title", "web"),
        _plain("thickness", ".032"),
        _plain("material", "2024-T3"),
        _plain("bend radius", "1/8"),
        _plain("quantity", "1"),
        _plain("size"),
        _plain("flanges"),
        _plain("standard", "", *YES_NO),
    ),
    "Each sheet, angle, bracket and standard part once.",
)
FACES = Sheet(
    "Faces",
    ("faces",),
    True,
    (
        Column("name", (), "W"),
        _plain("title", "web, seen from the front"),
        _plain("axis u"),
        _plain("axis v"),
        _plain("side seen"),
        *(Column(f"edge {side}", ("edges", side)) for side in ("u0", "u1", "v0", "v1")),
        Column("taper v", ("taper", EACH, 0)),
        Column("taper gap", ("taper", EACH, 1)),
        _plain("opposite", of="Faces"),
    ),
    "Flat or unrolled surfaces in which parts lie over each other.",
)
LAYERS = Sheet(
    "Layers",
    ("faces", "<face>", "layers"),
    False,
    (
        Column("face", ("<face>",), "W", choices_of="Faces"),
        Column("layer", ("<layer>",), "1"),
        _plain("part", "11", of="Parts"),
        Column("u from", ("u", 0), "0"),
        Column("u to", ("u", 1), "10"),
        Column("v from", ("v", 0), "0"),
        Column("v to", ("v", 1), "4"),
        Column("corner u", ("corners", EACH, 0)),
        Column("corner v", ("corners", EACH, 1)),
        _list("bends", "v0"),
        Column("leg side", ("legs", EACH, "side")),
        Column("leg height", ("legs", EACH, "height")),
        Column("leg stands", ("legs", EACH, "stands"), "", ("away", "toward")),
        Column("from step", ("from",), choices_of="Steps"),
        Column("for open holes", ("for",), choices_of="Open holes"),
    ),
    "Parts as they lie in a face, the one on the side seen first.",
)
CUT_OUTS = Sheet(
    "Cut-outs",
    ("faces", "<face>", "layers", "<layer>", "cut_outs"),
    False,
    (
        Column("face", ("<face>",), "W", choices_of="Faces"),
        Column("layer", ("<layer>",), "1"),
        *_pair("centre", "centre", example="5; 3"),
        _plain("radius", ".5"),
        Column("corner u", ("corners", EACH, 0)),
        Column("corner v", ("corners", EACH, 1)),
        _plain("note", "lightening hole"),
    ),
    "Holes cut in a layer on purpose.",
)
STEPS = Sheet(
    "Steps",
    ("steps",),
    True,
    (
        Column("name", (), "s-2"),
        _plain("title", "set the angle"),
        _list("needs", "s-1; part 12; helper"),
        _list("closes"),
        _plain("text"),
        _list("text sets"),
        _plain("drawing note"),
        _plain("kit minutes", "40"),
        _plain("inspection", "", *YES_NO),
    ),
    "The kit's numbered lines, and what each needs first.",
)
ROWS = Sheet(
    "Rows",
    ("rows",),
    True,
    (
        Column("name", (), "R1"),
        _plain("face", "W", of="Faces"),
        *_pair("at", "at", example="1; 1.5"),
        *_pair("by", "by", example="1; 0"),
        _plain("count", "8"),
        *_pair("start", "start"),
        *_pair("end", "end"),
        _plain("pitch"),
        _list("skip"),
        _list("stack", "11; 12"),
        _plain("callout", "MS20470AD4-4"),
        _plain("step", "s-2", of="Steps"),
        _plain("head", "near", "near", "far"),
        Column("preparation of", ("preparation", KEY)),
        Column("preparation", ("preparation", VALUE), "", PREPARATIONS),
        _plain("places", "dimensioned"),
        _plain("drill", "No. 30"),
        *_pair("point", "points", EACH),
        *_pair("arc centre", "arc", "centre"),
        Column("arc radius", ("arc", "radius")),
        Column("arc start", ("arc", "start")),
        Column("arc end", ("arc", "end")),
        *_pair("along", "along", EACH),
        Column("extra number", ("extra", EACH, "number")),
        *_pair("extra", "extra", EACH, "at"),
        Column("sealant work time", ("sealant", "work_time")),
        Column("sealant thickness", ("sealant", "thickness")),
        _list("was"),
        _plain("changed by"),
        _plain("id"),
        _plain("note"),
    ),
    "Rows of holes: where they are in one of the ways, stack, callout, step.",
)
ACCESS = Sheet(
    "Access",
    ("access",),
    False,
    (
        _list("rows", "R1"),
        _list("entry", "1.5"),
        _plain("throat flange", ".75"),
        _plain("gap behind", "open"),
        _plain("wall shop"),
        _plain("wall head"),
        _plain("both sides", "yes", *YES_NO),
        _list("tools"),
    ),
    "What stands round some rows at their step.",
)
OPEN_HOLES = Sheet(
    "Open holes",
    ("open_holes",),
    True,
    (
        Column("name", (), "O1"),
        _list("holes", "R1:7-8"),
        _plain("reason", "the bracket comes later"),
        _plain("part", "", of="Parts"),
        _plain("step", "", of="Steps"),
        _list("stack"),
        _plain("callout"),
    ),
    "Holes left open for a later part or step, and what is set there then.",
)
BLIND_CODES = Sheet(
    "Blind codes",
    ("blind_codes",),
    True,
    (
        Column("name", (), "BX4-2"),
        _plain("head", "flush", "dome", "flush"),
        _plain("diameter", "1/8"),
        Column("grip from", ("grip", 0), ".063"),
        Column("grip to", ("grip", 1), ".125"),
        _plain("head height", ".042"),
    ),
    "Blind rivets that the kit calls by codes of its own.",
)
SHANKS = Sheet(
    "Shanks",
    ("rules", "oversize_shanks"),
    True,
    (Column("name", (), "NAS1241AD4"), Column("shank", (VALUE,), ".140")),
    "Shanks of oversize-shank rivets as you measured or read them.",
)
HELD = Sheet(
    "Holders",
    ("rules", "holders"),
    True,
    (Column("name", (), "held within"), Column("distance", (VALUE,), "2 in")),
    "Distances between what is fast that your drawings give.",
)
