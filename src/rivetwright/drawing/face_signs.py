"""The signs of the holes on one face: size, state, findings, words."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from rivetwright.drawing.signs import (
    MARKED,
    NamedSign,
    Sign,
    diameter_32nds,
    head_kind,
    reach_ratio,
)
from rivetwright.drawing.view import Places, View
from rivetwright.drawing.words import say
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.plan import Callout
from rivetwright.model.severity import Severity
from rivetwright.texts.catalogue import catalogue

Ints = NDArray[np.int64]

LEAST_RADIUS_DRAWN_MM = 0.95
MOST_OF_PITCH = 0.3
# A mark and the sign beside it take no more of the space between their middles.
MOST_OF_SPACE = 0.98
NEIGHBOURS = 6
SAME_PLACE_MM = 0.05
UNKNOWN_RADIUS_MM = 1.2


@dataclass(frozen=True)
class FaceSigns:
    """Signs of a face in the order of `holes`, their places, and how far they grew.

    `places`, shape (holes, 2), `radius` and `reach`, shape (holes,), are in mm of
    the picture; `reach` is how far the sign with its marks goes from its middle.
    """

    named: list[NamedSign]
    places: Places
    radius: NDArray[np.float64]
    reach: NDArray[np.float64]
    grow: float


def face_signs(
    worked_plan: WorkedPlan,
    holes: Ints,
    view: View,
    scale: float,
    held: frozenset[int] = frozenset(),
) -> FaceSigns:
    """The signs of some holes of one face.

    `held` are those that get a sheet holder; where some do, no finding is marked.
    """
    columns = worked_plan.worked.holes
    places = view.seen(np.column_stack((columns.x_mm[holes], columns.y_mm[holes])))
    true = hole_radius_mm(worked_plan, holes)
    found = {} if held else findings_at(worked_plan, holes)
    plain = [
        sign_of(
            worked_plan,
            hole,
            (place[0], place[1]),
            r,
            found.get(hole),
            has_holder=hole in held,
        )
        for hole, place, r in zip(
            holes.tolist(), places.tolist(), true.tolist(), strict=True
        )
    ]
    ratio = np.array([reach_ratio(one.sign) for one in plain])
    is_marked = np.array([one.sign.severity in MARKED for one in plain], dtype=bool)
    grow = _growth(places, true, scale)
    grow = max(1.0, min(grow, _room_for_marks(places, true * ratio, is_marked)))
    radius = true * grow
    named = [
        replace(one, sign=replace(one.sign, radius=r))
        for one, r in zip(plain, radius.tolist(), strict=True)
    ]
    return FaceSigns(named, places, radius, radius * ratio, grow)


def hole_radius_mm(worked_plan: WorkedPlan, holes: Ints) -> NDArray[np.float64]:
    """Radius of each hole as drilled, or of the shank where the drill is not known."""
    worked = worked_plan.worked
    across = worked.of_holes("hole_diameter_mm")[holes].astype(float)
    shank = worked.of_holes("shank_diameter_mm")[holes].astype(float)
    across = np.where(np.isnan(across), shank, across)
    return np.where(np.isnan(across), UNKNOWN_RADIUS_MM, across / 2)


def _growth(places: Places, radius: NDArray[np.float64], scale: float) -> float:
    """One factor for all signs: large enough to see, small enough to stay apart."""
    if not len(places):
        return 1.0
    wanted = LEAST_RADIUS_DRAWN_MM * scale / float(radius.min())
    if len(places) > 1:
        nearest = np.asarray(cKDTree(places).query(places, k=2)[0])[:, 1]
        apart = nearest[nearest > SAME_PLACE_MM]
        if len(apart):
            wanted = min(
                wanted, MOST_OF_PITCH * float(apart.min()) / float(radius.max())
            )
    return max(1.0, wanted)


def _room_for_marks(
    places: Places, reach: NDArray[np.float64], is_marked: NDArray[np.bool_]
) -> float:
    """The factor up to which no finding's mark touches the sign beside it.

    `reach` is how far each sign with its mark goes at true size.
    """
    if len(places) < 2 or not is_marked.any():
        return np.inf
    count = min(NEIGHBOURS, len(places))
    apart, beside = cKDTree(places).query(places[is_marked], k=count)
    both = reach[is_marked][:, None] + reach[np.asarray(beside)]
    room = MOST_OF_SPACE * np.asarray(apart) / both
    return float(np.min(room[np.asarray(apart) > SAME_PLACE_MM], initial=np.inf))


def findings_at(
    worked_plan: WorkedPlan, holes: Ints
) -> dict[int, list[tuple[Severity, str]]]:
    """Severity and code of the findings at some holes, the gravest first."""
    here = set(holes.tolist())
    found: dict[int, list[tuple[Severity, str]]] = defaultdict(list)
    for finding in worked_plan.findings:
        for hole in here.intersection(finding.holes):
            found[hole].append((finding.severity, finding.code))
    return found


@cache
def _of_callout(callout: Callout) -> tuple[str, str, int | None]:
    """A callout as written, its kind of head and its diameter [1/32 in]."""
    return str(callout), head_kind(callout), diameter_32nds(callout)


def sign_of(
    worked_plan: WorkedPlan,
    hole: int,
    place: tuple[float, float],
    radius: float,
    found: list[tuple[Severity, str]] | None = None,
    *,
    has_holder: bool = False,
) -> NamedSign:
    """One hole's sign at a place, with its name and words."""
    plan, columns = worked_plan.worked.plan, worked_plan.worked.holes
    name, callout = columns.name(hole), columns.callout(hole)
    written, head, size = _of_callout(callout)
    state = columns.state(hole)
    step = int(columns.step[hole])
    codes = " ".join(code for _, code in found or ())
    named = {
        "hole": name,
        "row": columns.row_of(hole).name,
        "step": plan.steps[step].name if step >= 0 else "",
        "callout": written,
        "state": state,
    }
    if codes:
        named["findings"] = codes
    severity = found[0][0] if found else None
    sign = Sign(state, head, size, radius, severity, has_holder)
    shown = catalogue().word("state", state)
    words = say("map.hole", name=name, callout=written, state=shown)
    words += f", {codes}" if codes else ""
    words += f", {say('map.holder')}" if has_holder else ""
    return NamedSign(sign, place, name, words, named)
