"""A shop back to the text of its file; reading it again gives the same shop."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

from rivetwright.intake.lay_out import (
    Block,
    BlockList,
    diameter,
    length,
    number,
    quantity,
)
from rivetwright.intake.shop_costs import cost_fields
from rivetwright.intake.shop_forms import SHOP_FORMAT
from rivetwright.intake.write_opening import hours_fields
from rivetwright.intake.write_plan import as_text, told, unit_of
from rivetwright.model.shop import (
    AirPiece,
    Compressor,
    Die,
    GunSet,
    RivetGun,
    Shop,
    Squeezer,
    Tool,
)
from rivetwright.units.air import M3_PER_GALLON, M3_PER_LITRE, M3_S_PER_CFM
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.force import KPA_PER_BAR, KPA_PER_PSI, N_PER_LBF
from rivetwright.units.length import LengthUnit
from rivetwright.units.mass import KG_PER_LB

_FORCES = {"lbf": N_PER_LBF, "N": Fraction(1)}
_PRESSURES = {"psi": KPA_PER_PSI, "bar": KPA_PER_BAR}
_STIFFNESSES = {"lbf/in": N_PER_LBF / MM_PER_INCH, "N/mm": Fraction(1)}
_WEIGHTS = {"lb": KG_PER_LB, "kg": Fraction(1)}
_VOLUMES = {"gal": M3_PER_GALLON, "l": M3_PER_LITRE}
_FLOWS = {"cfm": M3_S_PER_CFM, "l/min": M3_PER_LITRE / 60}
_RUNS = {"ft": 12 * MM_PER_INCH, "m": Fraction(1000), "mm": Fraction(1)}


def write_shop(shop: Shop) -> str:
    """Write a shop as the text of its file.

    Args:
        shop: the shop.

    Returns:
        YAML 1.2; comments of the file it was read from are not kept.
    """
    unit = unit_of(shop.unit)
    fields = Block(format=SHOP_FORMAT, id=shop.id, name=shop.name, unit=shop.unit)
    fields |= told(
        time_zone=shop.time_zone,
        people=Block(
            (one.id, {"name": one.name, "role": one.role} | told(note=one.note))
            for one in shop.people
        ),
        calendar=BlockList(
            {"day": one.day, "hours": number(one.hours)} | told(note=one.note)
            for one in shop.calendar
        ),
        quiet_after=shop.quiet_after,
        noisy=list(shop.noisy),
        tools=Block((one.id, _tool(one, unit)) for one in shop.tools),
        squeezers=BlockList(_squeezer(one, unit) for one in shop.squeezers),
        dies=BlockList(_die(one, unit) for one in shop.dies),
        shims=[length(shim_mm, unit) for shim_mm in shop.shims_mm],
        pins=[length(pin_mm, unit) for pin_mm in shop.pins_mm],
        guns=BlockList(_gun(one) for one in shop.guns),
        gun_sets=BlockList(_gun_set(one, unit) for one in shop.gun_sets),
        compressor=_compressor(shop.compressor),
        air_line=BlockList(_air_piece(one, unit) for one in shop.air_line),
        holders={diameter(one.diameter_32nds): str(one.count) for one in shop.holders},
        costs=Block(cost_fields(shop.costs, unit)),
    )
    fields |= _supply(shop)
    fields |= told(
        also_owned=BlockList(shop.also_owned),
        storage=BlockList(shop.storage),
        note=shop.note,
        opening=_opening(shop),
    )
    return as_text(fields)


def _day(day: date | None) -> str:
    """A day, or nothing."""
    return "" if day is None else day.isoformat()


def _lengths(unit: LengthUnit, **lengths_mm: float | None) -> dict[str, str]:
    """The lengths that are known, each under its field."""
    return {
        field: length(mm, unit) for field, mm in lengths_mm.items() if mm is not None
    }


def _quantities(units: dict[str, Fraction], **values: float | None) -> dict[str, str]:
    """The quantities of one family that are known, each under its field."""
    return {
        field: quantity(value, units)
        for field, value in values.items()
        if value is not None
    }


def _tool(tool: Tool, unit: LengthUnit) -> dict[str, Any]:
    """A tool."""
    return (
        told(kind=tool.kind, title=tool.title)
        | _lengths(
            unit,
            reach=tool.reach_mm,
            gap=tool.gap_mm,
            nose=tool.nose_mm,
            half_width=tool.half_width_mm,
            closed_height=tool.closed_height_mm,
            jumps_flange=tool.jumps_flange_mm,
        )
        | told(jaw_is_die="yes" if tool.has_fixed_die else "")
        | _quantities(_STIFFNESSES, stiffness=tool.stiffness_n_mm)
        | _quantities(_WEIGHTS, weight=tool.mass_kg)
        | told(
            largest=diameter(tool.diameter_32nds_max),
            state="" if tool.state == "owned" else tool.state,
            due=_day(tool.due),
            note=tool.note,
        )
    )


def _squeezer(squeezer: Squeezer, unit: LengthUnit) -> dict[str, Any]:
    """A squeezer."""
    ratio = squeezer.lever_ratio
    return (
        {"title": squeezer.title}
        | told(kind="" if squeezer.kind == "pneumatic" else squeezer.kind)
        | _quantities(_FORCES, force=squeezer.force_n)
        | _quantities(_PRESSURES, pressure=squeezer.pressure_kpa)
        | _lengths(
            unit,
            stroke=squeezer.stroke_mm,
            full_force_within=squeezer.ends_mm,
            bore=squeezer.bore_mm,
            cylinder_stroke=squeezer.cylinder_stroke_mm,
        )
        | _quantities(_FORCES, hand_force=squeezer.hand_force_n)
        | told(
            lever_ratio="" if ratio is None else number(ratio),
            largest=diameter(squeezer.diameter_32nds_max),
            note=squeezer.note,
        )
    )


def _die(die: Die, unit: LengthUnit) -> dict[str, Any]:
    """A die."""
    return (
        {"kind": die.kind}
        | told(fits=diameter(die.diameter_32nds))
        | _lengths(
            unit,
            length=die.length_mm,
            length_max=die.length_max_mm,
            face=die.face_mm,
            engaged=die.engaged_mm,
            engaged_min=die.engaged_min_mm,
        )
        | told(count="" if die.count == 1 else str(die.count), note=die.note)
    )


def _gun_set(one: GunSet, unit: LengthUnit) -> dict[str, Any]:
    """A set for the gun."""
    return (
        told(kind=one.kind, fits=diameter(one.diameter_32nds))
        | _lengths(unit, face=one.face_mm)
        | told(note=one.note)
    )


def _gun(gun: RivetGun) -> dict[str, Any]:
    """A rivet gun."""
    return {"title": gun.title} | told(
        largest=diameter(gun.diameter_32nds_max), note=gun.note
    )


def _compressor(compressor: Compressor | None) -> dict[str, Any]:
    """The compressor, or nothing."""
    if compressor is None:
        return {}
    return (
        told(title=compressor.title)
        | _quantities(_VOLUMES, tank=compressor.tank_m3)
        | _quantities(_FLOWS, free_air=compressor.free_air_m3_s)
        | _quantities(
            _PRESSURES, starts=compressor.starts_kpa, stops=compressor.stops_kpa
        )
    )


def _air_piece(piece: AirPiece, unit: LengthUnit) -> dict[str, Any]:
    """One piece of the air line."""
    cv = piece.flow_coefficient
    return (
        told(kind=piece.kind, title=piece.title)
        | _quantities(_PRESSURES, set=piece.set_kpa, dead_band=piece.dead_band_kpa)
        | _lengths(unit, bore=piece.bore_mm)
        | _quantities(_RUNS, length=piece.length_mm)
        | told(
            count="" if piece.count == 1 else str(piece.count),
            cv="" if cv is None else number(cv),
        )
    )


def _supply(shop: Shop) -> dict[str, Any]:
    """How rivets are ordered and kept spare."""
    days, least = shop.reorder_days, shop.order_count_min
    return told(
        reorder_days="" if days is None else str(days),
        order_count_min="" if least is None else str(least),
        spare=number(shop.spare_ratio),
        spare_count_min=str(shop.spare_count_min),
    )


def _opening(shop: Shop) -> Block:
    """Stock as counted, and hours of no one assembly."""
    return Block(
        told(
            day=_day(shop.opening_day),
            stock=Block((one.code, str(one.count)) for one in shop.stock),
            hours=BlockList(hours_fields(one) for one in shop.hours),
        )
    )
