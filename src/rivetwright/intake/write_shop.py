"""A shop back to the text of its file; reading it again gives the same shop."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

from rivetwright.intake.lay_out import Block, BlockList, diameter, length, number
from rivetwright.intake.shop_forms import SHOP_FORMAT
from rivetwright.intake.write_opening import hours_fields
from rivetwright.intake.write_plan import as_text, told, unit_of
from rivetwright.model.shop import Shop, Squeezer, Tool
from rivetwright.units.force import KPA_PER_PSI, N_PER_LBF
from rivetwright.units.length import LengthUnit


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
        dies=_dies(shop, unit),
        shims=[length(shim_mm, unit) for shim_mm in shop.shims_mm],
        holders={diameter(one.diameter_32nds): str(one.count) for one in shop.holders},
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


def _tool(tool: Tool, unit: LengthUnit) -> dict[str, Any]:
    """A tool."""
    sizes = {
        "reach": tool.reach_mm,
        "gap": tool.gap_mm,
        "nose": tool.nose_mm,
        "half_width": tool.half_width_mm,
        "closed_height": tool.closed_height_mm,
        "jumps_flange": tool.jumps_flange_mm,
    }
    known = {name: length(mm, unit) for name, mm in sizes.items() if mm is not None}
    return (
        told(kind=tool.kind, title=tool.title)
        | known
        | told(
            largest=diameter(tool.diameter_32nds_max),
            state="" if tool.state == "owned" else tool.state,
            due=_day(tool.due),
            note=tool.note,
        )
    )


def _squeezer(squeezer: Squeezer, unit: LengthUnit) -> dict[str, Any]:
    """A squeezer."""
    force_n, pressure_kpa = squeezer.force_n, squeezer.pressure_kpa
    stroke_mm = squeezer.stroke_mm
    return {"title": squeezer.title} | told(
        force="" if force_n is None else _measured(force_n, "lbf", N_PER_LBF, "N"),
        pressure=""
        if pressure_kpa is None
        else _measured(pressure_kpa, "psi", KPA_PER_PSI, "kPa"),
        stroke="" if stroke_mm is None else length(stroke_mm, unit),
        largest=diameter(squeezer.diameter_32nds_max),
        note=squeezer.note,
    )


def _measured(value: float, unit: str, factor: Fraction, other: str) -> str:
    """A force or pressure in whole units where it is whole, else in the other unit."""
    whole = round(Fraction(value) / factor)
    return f"{whole} {unit}" if float(whole * factor) == value else f"{value!r} {other}"


def _dies(shop: Shop, unit: LengthUnit) -> BlockList:
    """The dies."""
    return BlockList(
        {"kind": die.kind, "length": length(die.length_mm, unit)}
        | told(
            fits=diameter(die.diameter_32nds),
            count="" if die.count == 1 else str(die.count),
        )
        for die in shop.dies
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
