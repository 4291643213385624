"""Tools, squeezers, dies and the air line of a shop, out of their forms.

A field that only one kind can have (a bar's weight, a regulator's setting) is refused
at another kind, and figures that contradict each other are told together.
"""

from __future__ import annotations

from collections.abc import Mapping

from rivetwright.intake.faults import Faults, Path
from rivetwright.intake.shape import Form
from rivetwright.intake.shop_forms import (
    AirPieceForm,
    CompressorForm,
    DieForm,
    ShopForm,
    SqueezerForm,
    ToolForm,
)
from rivetwright.model.shop import (
    AirPiece,
    Compressor,
    Die,
    GunSet,
    RivetGun,
    Squeezer,
    Tool,
)
from rivetwright.units.tolerance import is_less

Kinds = Mapping[str, tuple[str, ...]]

_TOOL_FIELDS: Kinds = {
    "closed_height": ("yoke",),
    "jumps_flange": ("yoke",),
    "jaw_is_die": ("yoke",),
    "stiffness": ("yoke",),
    "weight": ("bar",),
}
_SQUEEZER_FIELDS: Kinds = {
    **dict.fromkeys(("force", "pressure", "bore", "cylinder_stroke"), ("pneumatic",)),
    **dict.fromkeys(("hand_force", "lever_ratio"), ("hand",)),
}
_AIR_FIELDS: Kinds = {
    **dict.fromkeys(("set", "dead_band"), ("regulator",)),
    **dict.fromkeys(("bore", "length"), ("hose", "pipe")),
    "count": ("coupler",),
    "cv": ("coupler", "pedal"),
}
_AIR_NEEDS = {"regulator": ("set",), "hose": ("bore", "length")}
_AIR_NEEDS["pipe"] = _AIR_NEEDS["hose"]


def build_tools(form: ShopForm, faults: Faults) -> tuple[Tool, ...]:
    """Build the tools."""
    return tuple(
        _tool(name, one, faults) for name, one in form.tools.items() if one is not None
    )


def build_squeezers(form: ShopForm, faults: Faults) -> tuple[Squeezer, ...]:
    """Build the squeezers."""
    return tuple(
        _squeezer(one, ("squeezers", k), faults)
        for k, one in enumerate(form.squeezers)
        if one is not None
    )


def build_dies(form: ShopForm, faults: Faults) -> tuple[Die, ...]:
    """Build the dies."""
    return tuple(
        _die(one, ("dies", k), faults)
        for k, one in enumerate(form.dies)
        if one is not None
    )


def build_guns(form: ShopForm) -> tuple[RivetGun, ...]:
    """Build the rivet guns."""
    return tuple(
        RivetGun(one.title, one.largest, one.note)
        for one in form.guns
        if one is not None
    )


def build_gun_sets(form: ShopForm) -> tuple[GunSet, ...]:
    """Build the sets for the gun."""
    return tuple(
        GunSet(one.kind, one.fits, one.face, one.note)
        for one in form.gun_sets
        if one is not None
    )


def build_air_line(form: ShopForm, faults: Faults) -> tuple[AirPiece, ...]:
    """Build the air line, from the tank to the tool."""
    return tuple(
        _air_piece(one, ("air_line", k), faults)
        for k, one in enumerate(form.air_line)
        if one is not None
    )


def build_compressor(form: CompressorForm | None, faults: Faults) -> Compressor | None:
    """Build the compressor; it starts below where it stops."""
    if form is None or not form.model_fields_set:
        return None
    if form.starts is not None and form.stops is not None and form.starts >= form.stops:
        faults.add(
            ("compressor", "starts"),
            "starts not below stops",
            "starts below stops, as starts: 95 psi, stops: 125 psi",
            "Read both on the tank's gauge",
        )
    return Compressor(form.title, form.free_air, form.tank, form.starts, form.stops)


def _hold_to_kind(
    form: Form, kind: str, allowed: Kinds, path: Path, faults: Faults, noun: str = ""
) -> None:
    """Refuse the fields that a thing of this kind cannot have."""
    for field in sorted(form.model_fields_set & allowed.keys()):
        if kind not in allowed[field]:
            faults.add(
                (*path, field),
                f"{field} at a {kind}{noun}",
                f"{field} at a {' or '.join(allowed[field])}{noun}",
                f"Delete {field}, or mend kind",
            )


def _need(
    form: Form, fields: tuple[str, ...], why: str, path: Path, faults: Faults
) -> None:
    """Refuse a thing that lacks a figure it is nothing without."""
    for field in fields:
        if field not in form.model_fields_set:
            faults.add(
                path, f"no {field}", f"a value for {field}{why}", f"Add {field}: ..."
            )


def _tool(name: str, form: ToolForm, faults: Faults) -> Tool:
    """Build a tool; only one on order has a day it is due."""
    if form.due is not None and form.state == "owned":
        allowed = "state: on order beside due"
        do = "Write state: on order, or delete due"
        faults.add(("tools", name, "due"), form.due, allowed, do)
    _hold_to_kind(form, form.kind, _TOOL_FIELDS, ("tools", name), faults)
    return Tool(
        id=name,
        kind=form.kind,
        title=form.title,
        reach_mm=form.reach,
        gap_mm=form.gap,
        nose_mm=form.nose,
        half_width_mm=form.half_width,
        diameter_32nds_max=form.largest,
        closed_height_mm=form.closed_height,
        jumps_flange_mm=form.jumps_flange,
        has_fixed_die=form.jaw_is_die,
        stiffness_n_mm=form.stiffness,
        mass_kg=form.weight,
        state=form.state,
        due=form.due,
        note=form.note,
    )


def _squeezer(form: SqueezerForm, path: Path, faults: Faults) -> Squeezer:
    """Build a squeezer; a rated force is one at a pressure."""
    _hold_to_kind(form, form.kind, _SQUEEZER_FIELDS, path, faults, " squeezer")
    if form.kind == "pneumatic" and (form.force is None) != (form.pressure is None):
        _need(form, ("force", "pressure"), "; the two belong together", path, faults)
    return Squeezer(
        title=form.title,
        kind=form.kind,
        force_n=form.force,
        pressure_kpa=form.pressure,
        stroke_mm=form.stroke,
        diameter_32nds_max=form.largest,
        ends_mm=form.full_force_within,
        bore_mm=form.bore,
        cylinder_stroke_mm=form.cylinder_stroke,
        hand_force_n=form.hand_force,
        lever_ratio=form.lever_ratio,
        note=form.note,
    )


def _die(form: DieForm, path: Path, faults: Faults) -> Die:
    """Build a die; all but flat ones fit one rivet."""
    if form.kind != "flat":
        _need(form, ("fits",), f": a {form.kind} die fits one rivet", path, faults)
    if form.length_max is not None and is_less(form.length_max, form.length):
        faults.add(
            (*path, "length_max"),
            "length_max below length",
            "length turned in, length_max turned out",
            "Measure both again",
        )
    if form.engaged_min is not None and form.engaged is None:
        _need(form, ("engaged",), " beside engaged_min", path, faults)
    elif form.engaged_min is not None and is_less(form.engaged or 0, form.engaged_min):
        faults.add(
            (*path, "engaged"),
            "engaged below engaged_min",
            "engaged of engaged_min or more",
            "Measure both again; a die that sits no deeper is not to be used",
        )
    return Die(
        kind=form.kind,
        length_mm=form.length,
        diameter_32nds=form.fits,
        count=form.count,
        length_max_mm=form.length_max,
        face_mm=form.face,
        engaged_mm=form.engaged,
        engaged_min_mm=form.engaged_min,
        note=form.note,
    )


def _air_piece(form: AirPieceForm, path: Path, faults: Faults) -> AirPiece:
    """Build one piece of the air line."""
    _hold_to_kind(form, form.kind, _AIR_FIELDS, path, faults)
    why = f" of a {form.kind}"
    _need(form, _AIR_NEEDS.get(form.kind, ()), why, path, faults)
    return AirPiece(
        kind=form.kind,
        title=form.title,
        set_kpa=form.set,
        dead_band_kpa=form.dead_band,
        bore_mm=form.bore,
        length_mm=form.length,
        count=form.count,
        flow_coefficient=form.cv,
    )
