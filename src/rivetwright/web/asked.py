"""What an assembly page is asked to show: a face, how it lies, a hole, a filter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from rivetwright.bench.open import Assembly
from rivetwright.drawing.view import find_face
from rivetwright.errors import Refusal
from rivetwright.web.addresses import assembly_address

UNPLACED = "*"
FILTERS = ("row", "step", "findings", "callout", "state")
FLAGS = {"": False, "0": False, "1": True}
WIDE_PX = (200, 4000)
HIGH_PX = (150, 3000)


@dataclass(frozen=True)
class Asked:
    """One wish for a page of an assembly, as its address says it.

    `face` is a face's name, or `*` for rows that lie on none. `turn` counts
    quarters clockwise. `lit` names a finding, `hole` the hole whose card is open.
    """

    face: str
    turn: int = 0
    mirror: bool = False
    hole: str = ""
    lit: str = ""
    wanted: Mapping[str, str] = field(default_factory=dict)

    def address(self, assembly: Assembly, **changes: object) -> str:
        """The page's address with some wishes changed."""
        new = replace(self, **changes)  # type: ignore[arg-type]
        return assembly_address(
            assembly.key,
            face=new.face,
            turn=new.turn or None,
            mirror=1 if new.mirror else None,
            hole=new.hole,
            lit=new.lit,
            **new.wanted,
        )


def read_asked(assembly: Assembly, query: Mapping[str, str]) -> Asked:
    """The wishes in an address.

    Raises:
        NotFound: a face or hole that the assembly does not have.
        Refusal: a turn or a mirror that is none.
    """
    worked = assembly.worked_plan.worked
    hole = query.get("hole", "")
    face = query.get("face", "")
    if hole:
        index = worked.holes.index(hole)
        face = face or worked.holes.row_of(index).face or UNPLACED
    if not face:
        face = worked.plan.faces[0].name if worked.plan.faces else UNPLACED
    if face != UNPLACED:
        find_face(worked.plan, face)
    turn = query.get("turn", "0")
    if turn not in ("", "0", "1", "2", "3"):
        raise _refused("turn the map", f"turn={turn}", "0, 1, 2 or 3 quarter turns")
    mirror = query.get("mirror", "")
    if mirror not in FLAGS:
        raise _refused("mirror the map", f"mirror={mirror}", "0 or 1")
    return Asked(
        face=face,
        turn=int(turn or 0),
        mirror=FLAGS[mirror],
        hole=hole,
        lit=query.get("lit", ""),
        wanted={name: query[name] for name in FILTERS if query.get(name)},
    )


def kept_room(cookies: Mapping[str, str], usual: tuple[int, int]) -> tuple[int, int]:
    """The room that the map had on this screen last time; the usual one without."""
    wide, _, high = cookies.get("room", "").partition("x")
    try:
        return read_room({"wide": wide, "high": high}, usual)
    except Refusal:
        return usual


def read_room(query: Mapping[str, str], usual: tuple[int, int]) -> tuple[int, int]:
    """The room in pixels that a page gives to the map.

    Raises:
        Refusal: a number out of all proportion, or none.
    """
    limits = {"wide": WIDE_PX, "high": HIGH_PX}
    room = []
    for (name, (least, most)), otherwise in zip(limits.items(), usual, strict=True):
        written = query.get(name, str(otherwise))
        if not written.isascii() or not written.isdigit() or len(written) > 5:
            allowed = f"{least} to {most} pixels"
            raise _refused("draw the map", f"{name}={written}", allowed)
        room.append(min(most, max(least, int(written))))
    return room[0], room[1]


def _refused(asked: str, found: str, allowed: str) -> Refusal:
    """A wish that the page does not know."""
    do = "go back to the assembly and use the buttons beside the map"
    return Refusal(asked=asked, found=found, allowed=allowed, do=do)
