"""The form of a head check read: sizes as typed, gauge answers, looks, the tool."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from starlette.datastructures import FormData

from rivetwright.bench.head_tools import SetWith
from rivetwright.engines.heads.called import Called
from rivetwright.engines.heads.entry import Meant
from rivetwright.errors import OutsideTable, QuantityRefused, Refusal
from rivetwright.record.kinds import GAUGE_SIDES, LOOKS, HeadChecked
from rivetwright.texts.say import System
from rivetwright.units.force import PressureUnit, parse_pressure_kpa
from rivetwright.units.length import parse_length_mm
from rivetwright.units.wording import show_length

# A field of the form, and that of the fact that it fills.
SIZES = {
    "width": "width_mm",
    "height": "height_mm",
    "offset": "offset_mm",
    "proud": "proud_mm",
    "gap": "gap_mm",
    "mark": "mark_mm",
    "collar": "collar_mm",
    "hole": "hole_mm",
    "die_gap": "die_gap_mm",
}
SIDES_LIMITS = {
    "least width": "width_least_mm",
    "most width": "width_most_mm",
    "least height": "height_least_mm",
    "most height": "height_most_mm",
}
OF_BEFORE, OF_CARD = "before", "card"
GAP_SHARES = ("0.25", "0.5", "1")
LEAN_MOST_DEG = 60
TEXT_MAX = 2000


@dataclass
class Entered:
    """A head check as typed: the fact's body, what was refused by field, the texts."""

    body: HeadChecked
    faults: dict[str, Refusal] = field(default_factory=dict)
    written: dict[str, str] = field(default_factory=dict)


def read_head(
    form: FormData,
    hole_id: str,
    system: System,
    called: Called | None,
    choices: Iterable[SetWith] = (),
) -> Entered:
    """A head check from a form; a field that is not understood is told, not guessed.

    Args:
        form: the fields that were sent.
        hole_id: the hole by its permanent id.
        system: unit of a bare number.
        called: what was called for; a gauge's sides are sized by its limits.
        choices: squeezers and yokes that may be named.
    """
    entered = Entered(HeadChecked((hole_id,)))
    entered.written = {name: str(form[name])[:TEXT_MAX] for name in form}
    text = entered.written.get
    found: dict[str, Any] = {}
    for name, of_fact in SIZES.items():
        _fill(entered, found, name, of_fact, lambda t: _size_mm(t, system))
    _fill(entered, found, "lean", "lean_deg", _lean_deg)
    _fill(entered, found, "pressure", "pressure_kpa", lambda t: _kpa(t, system))
    if text("share") in GAP_SHARES:
        found["gap_share"] = float(text("share", "0"))
    looks = [str(one) for one in form.getlist("looks")]
    found["looks"] = tuple(one for one in LOOKS if one in looks)
    found["gauge"] = _gauge(entered.written, called)
    found["is_confirmed"] = text("is_confirmed") == "yes"
    found["is_stalled"] = text("stalled") == "yes"
    found["note"] = text("note", "").strip()
    found["tin"] = text("tin", "").strip()[:200]
    chosen = next((one for one in choices if one.key == text("with")), None)
    if chosen is not None:
        found |= {"squeezer": chosen.squeezer, "yoke": chosen.yoke}
        if chosen.before_mm is None or text("gap_of") == OF_CARD:
            found |= {"dies": chosen.dies, "shims_mm": chosen.shims_mm}
            found.setdefault("die_gap_mm", chosen.gap_mm)
        elif text("gap_of") == OF_BEFORE:
            found.setdefault("die_gap_mm", chosen.before_mm)
    entered.body = replace(entered.body, **found)
    return entered


def _fill(
    entered: Entered, found: dict[str, Any], name: str, of_fact: str, read: Any
) -> None:
    """One field that holds a figure; what is not understood stands beside it."""
    written = entered.written.get(name, "").strip()
    # Nothing, or nought in any form: it was not measured, or nothing was there.
    if not written.strip("0., "):
        return
    try:
        found[of_fact] = read(written)
    except QuantityRefused as refusal:
        entered.faults[name] = refusal


def _size_mm(written: str, system: System) -> float:
    """A size as the trade writes it; a decimal comma is what some phones offer."""
    return float(parse_length_mm(written, bare_unit=system, decimal_comma=True))


def _kpa(written: str, system: System) -> float:
    """An air pressure; a bare number is psi beside inches, kPa beside millimetres."""
    unit: PressureUnit = "psi" if system == "in" else "kPa"
    return float(parse_pressure_kpa(written, bare_unit=unit, decimal_comma=True))


def _lean_deg(written: str) -> float:
    """A lean in whole or broken degrees."""
    try:
        lean = float(written.replace(",", ".").rstrip("° "))
    except ValueError:
        lean = -1.0
    if not 0 < lean <= LEAN_MOST_DEG:
        raise QuantityRefused(
            asked="read a lean",
            found=written[:80],
            allowed=f"degrees from 0 to {LEAN_MOST_DEG}",
            do="write how far it leans from square, such as 5",
        )
    return lean


def _gauge(
    written: Mapping[str, str], called: Called | None
) -> tuple[tuple[str, bool, float | None], ...]:
    """Answers of a go/no-go gauge; its sides are sized by the set it is made to."""
    sizes: dict[str, float | None] = dict.fromkeys(GAUGE_SIDES)
    try:
        looked = called.limits(written.get("gauge_set", "")) if called else None
    except OutsideTable:
        looked = None
    if looked is not None:
        for side, name in SIDES_LIMITS.items():
            limit = getattr(looked.value, name)
            sizes[side] = None if limit is None else float(limit)
    answers = {side: written.get(f"side {side}", "") for side in GAUGE_SIDES}
    return tuple(
        (side, answer == "yes", sizes[side])
        for side, answer in answers.items()
        if answer in ("yes", "no")
    )


def meant_fields(meant: Meant, entered: Entered, system: System) -> dict[str, str]:
    """The texts of the form with the sizes that were probably meant."""
    fields = dict(entered.written)
    for name, of_fact in SIZES.items():
        size_mm = getattr(meant.head, of_fact, None)
        if size_mm is not None and size_mm != getattr(entered.body, of_fact):
            fields[name] = show_length(
                size_mm, system=system, style="decimal", digits=4, with_unit=True
            )
    return fields
