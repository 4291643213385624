"""A shop file read whole: tools, dies, air, holders, people, stock as counted."""

from __future__ import annotations

from pathlib import Path
from zoneinfo import available_timezones

from rivetwright.errors import CodeRefused, nearest_hint
from rivetwright.intake.build_opening import build_hours
from rivetwright.intake.build_shop import (
    build_air_line,
    build_compressor,
    build_dies,
    build_gun_sets,
    build_guns,
    build_squeezers,
    build_tools,
)
from rivetwright.intake.faults import Faults
from rivetwright.intake.lined import read_bytes
from rivetwright.intake.plan_file import open_file, unit_of
from rivetwright.intake.shape import check_shape
from rivetwright.intake.shop_costs import build_costs
from rivetwright.intake.shop_forms import (
    SHOP_FORMAT,
    ShopForm,
    ShopOpeningForm,
)
from rivetwright.model.shop import (
    Holders,
    Person,
    Shop,
    StockCount,
    WorkTime,
)
from rivetwright.standards.codes import parse_rivet_code


def read_shop(path: Path | str) -> Shop:
    """Read a shop file.

    Args:
        path: the file.

    Returns:
        The shop.

    Raises:
        PlanRefused: the file is not there or has mistakes; carries all of them.
    """
    return read_shop_bytes(read_bytes(path), str(path))


def read_shop_bytes(raw: bytes, file: str) -> Shop:
    """Read the bytes of a shop file.

    Args:
        raw: YAML 1.2 in UTF-8.
        file: name to show in faults.

    Returns:
        The shop.

    Raises:
        PlanRefused: the bytes have mistakes; carries all of them with their lines.
    """
    written, faults = open_file(raw, file, SHOP_FORMAT)
    form = check_shape(ShopForm, written, unit_of(written), faults)
    shop = _build(form, faults) if form else None
    faults.refuse()
    assert shop is not None, "a form without faults makes a shop"
    return shop


def _build(form: ShopForm, faults: Faults) -> Shop:
    """Build the shop."""
    _check_zone(form.time_zone, faults)
    opening = form.opening or ShopOpeningForm()
    return Shop(
        id=form.id,
        name=form.name,
        unit=form.unit,
        people=tuple(
            Person(name, one.name, one.role, one.note)
            for name, one in form.people.items()
            if one is not None
        ),
        tools=build_tools(form, faults),
        squeezers=build_squeezers(form, faults),
        dies=build_dies(form, faults),
        shims_mm=form.shims,
        pins_mm=form.pins,
        guns=build_guns(form),
        gun_sets=build_gun_sets(form),
        compressor=build_compressor(form.compressor, faults),
        air_line=build_air_line(form, faults),
        holders=tuple(Holders(size, count) for size, count in form.holders.items()),
        costs=build_costs(form.costs, form.unit, faults),
        calendar=tuple(
            WorkTime(one.day, one.hours, one.note)
            for one in form.calendar
            if one is not None
        ),
        quiet_after=form.quiet_after,
        noisy=form.noisy,
        time_zone=form.time_zone,
        opening_day=opening.day,
        stock=_stock(opening, faults),
        hours=tuple(build_hours(one) for one in opening.hours if one is not None),
        reorder_days=form.reorder_days,
        order_count_min=form.order_count_min,
        spare_ratio=form.spare,
        spare_count_min=form.spare_count_min,
        also_owned=form.also_owned,
        storage=form.storage,
        note=form.note,
    )


def _stock(form: ShopOpeningForm, faults: Faults) -> tuple[StockCount, ...]:
    """Build the stock; a solid rivet's code is written its one way.

    A kit's own blind codes are declared in the plans, so a code that is no solid
    rivet's is kept as written; one that tries to be is refused.
    """
    counts = []
    for code, count in form.stock.items():
        shown = code
        if code.upper().startswith(("MS", "AN", "NAS")):
            try:
                shown = str(parse_rivet_code(code))
            except CodeRefused as why:
                place = ("opening", "stock", code)
                faults.add(place, code, why.allowed, why.do)
        counts.append(StockCount(shown, count))
    return tuple(counts)


def _check_zone(name: str, faults: Faults) -> None:
    """Hold the time zone to a known one, where this machine has a list of them."""
    zones = available_timezones()
    if name and zones and name not in zones:
        allowed = f"a time zone such as Europe/Vienna or UTC{nearest_hint(name, zones)}"
        faults.add(("time_zone",), name, allowed, "Write region/city")
