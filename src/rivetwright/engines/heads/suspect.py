"""A likely cause with what speaks for it, what against it, and what tells it apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Cause(StrEnum):
    """Why a head looks as it does."""

    WRONG_LENGTH = "wrong length in the hole"
    WRONG_TIN = "wrong tin"
    RIVET_LONG = "rivet long for the stack"
    OVERSIZE_HOLE = "metal gone into an oversize hole"
    SHEETS_APART = "gap between the sheets"
    STACK_DIFFERS = "another stack than drawn"
    SET_TOO_FAR = "set too far"
    STAND_OFF_FORGOTTEN = "dimple stand-off left out of the gap"
    NOT_FAR_ENOUGH = "not set far enough"
    SHIM_LOST = "a shim lost"
    DIE_NOT_SEATED = "a die not seated"
    CHIP_UNDER_DIE = "a chip under a die"
    CHIP_ON_DIE = "a chip or nick on the die's face"
    DIE_WORN = "a die worn or dirty"
    LOOSE_PIN = "a loose yoke pin"
    REGULATOR_CREEPS = "the regulator creeps"
    AIR_STARVES = "hose or coupler starves"
    RELEASED_EARLY = "released too early"
    TOOL_TILTED = "tool not square"
    SET_SLIPPED = "the set slipped or bounced"
    HOLE_NOT_SQUARE = "hole not square"
    DIMPLE_SHALLOW = "dimple or countersink too shallow"
    DIRT_UNDER_HEAD = "burr or dirt under the head"
    METAL_HARD = "metal hardened"
    SET_UP = "the set-up as a whole"
    PERSON = "one person's way of setting"
    SESSION = "something of one session"
    # Blind rivets.
    BLIND_GRIP = "grip outside the blind rivet's range"
    BLIND_HOLE = "hole not of the blind rivet's size"
    NOSE_NOT_SQUARE = "puller not square or not pressed down"
    PULL_SHORT = "pull not finished"
    PULLER_WORN = "puller's jaws worn or dirty"


# The next test for each cause; the words stand in the catalogue.
TESTS: dict[Cause, str] = {
    Cause.WRONG_LENGTH: "measure-a-rivet-of-the-tray",
    Cause.WRONG_TIN: "measure-five-of-the-tin",
    Cause.RIVET_LONG: "set-a-shorter-one-on-scrap",
    Cause.OVERSIZE_HOLE: "try-drill-shank-in-next-hole",
    Cause.SHEETS_APART: "feeler-between-the-sheets",
    Cause.STACK_DIFFERS: "measure-the-stack",
    Cause.SET_TOO_FAR: "measure-closed-gap",
    Cause.STAND_OFF_FORGOTTEN: "measure-stand-off-on-scrap",
    Cause.NOT_FAR_ENOUGH: "measure-closed-gap",
    Cause.SHIM_LOST: "count-the-shims",
    Cause.DIE_NOT_SEATED: "press-dies-home-and-measure",
    Cause.CHIP_UNDER_DIE: "take-dies-out-and-wipe",
    Cause.CHIP_ON_DIE: "look-at-die-face",
    Cause.DIE_WORN: "measure-die-length",
    Cause.LOOSE_PIN: "shake-the-yoke",
    Cause.REGULATOR_CREEPS: "read-regulator-after-ten-minutes",
    Cause.AIR_STARVES: "squeeze-again-after-a-pause",
    Cause.RELEASED_EARLY: "squeeze-again-and-hold",
    Cause.TOOL_TILTED: "set-one-with-the-tool-held-square",
    Cause.SET_SLIPPED: "look-at-set-and-spring",
    Cause.HOLE_NOT_SQUARE: "stand-a-drill-in-the-next-hole",
    Cause.DIMPLE_SHALLOW: "try-a-rivet-in-an-open-dimple",
    Cause.DIRT_UNDER_HEAD: "look-under-a-loose-rivet",
    Cause.METAL_HARD: "set-one-of-another-lot-on-scrap",
    Cause.SET_UP: "make-the-set-up-again-on-scrap",
    Cause.PERSON: "swap-places-for-three-rivets",
    Cause.SESSION: "set-three-on-scrap-today",
    Cause.BLIND_GRIP: "measure-the-stack",
    Cause.BLIND_HOLE: "try-drill-shank-in-next-hole",
    Cause.NOSE_NOT_SQUARE: "press-down-and-set-one-on-scrap",
    Cause.PULL_SHORT: "pull-again-full-stroke",
    Cause.PULLER_WORN: "clean-jaws-and-set-one-on-scrap",
}


@dataclass(frozen=True)
class Evidence:
    """One thing that speaks for or against a cause.

    `key` is the catalogue's, `figures` go into its sentence, unit last in each name.
    `points` is its weight: 1 a hint, 2 likely, 3 strong. The weights are judgement.
    """

    key: str
    points: int = 1
    figures: Mapping[str, float | str] = field(default_factory=dict)


@dataclass(frozen=True)
class Suspect:
    """A cause with all that speaks for and against it."""

    cause: Cause
    speaks_for: tuple[Evidence, ...]
    speaks_against: tuple[Evidence, ...] = ()

    @property
    def points(self) -> int:
        """Weight of what speaks for it, less that of what speaks against it."""
        return sum(one.points for one in self.speaks_for) - sum(
            one.points for one in self.speaks_against
        )

    @property
    def test(self) -> str:
        """Catalogue key of the next test that tells it apart."""
        return TESTS[self.cause]


class Case:
    """Evidence as it is gathered, cause by cause."""

    def __init__(self) -> None:
        self._for: dict[Cause, list[Evidence]] = {}
        self._against: dict[Cause, list[Evidence]] = {}

    def speak_for(
        self, cause: Cause, key: str, points: int = 1, **figures: float | str
    ) -> None:
        """Add what speaks for a cause; figures have their unit last in the name [-]."""
        self._for.setdefault(cause, []).append(Evidence(key, points, figures))

    def speak_against(
        self, cause: Cause, key: str, points: int = 1, **figures: float | str
    ) -> None:
        """Add what speaks against; figures have their unit last in the name [-]."""
        self._against.setdefault(cause, []).append(Evidence(key, points, figures))

    def ranked(self) -> tuple[Suspect, ...]:
        """All causes that something speaks for, the likeliest first."""
        found = [
            Suspect(cause, tuple(one), tuple(self._against.get(cause, ())))
            for cause, one in self._for.items()
        ]
        return by_weight(found)


def by_weight(found: Iterable[Suspect]) -> tuple[Suspect, ...]:
    """Suspects with the likeliest first; equal ones in the order of the causes."""
    order = list(Cause)
    return tuple(sorted(found, key=lambda one: (-one.points, order.index(one.cause))))
