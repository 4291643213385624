"""The air page: the line, where the pressure goes, and what starves the tool."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from fastapi import APIRouter, Request, Response

from rivetwright.bench.air import AirNow, Readings, air_figure, air_now
from rivetwright.bench.workshop import Opened, Workshop
from rivetwright.drawing.air_line import air_line_svg
from rivetwright.errors import Refusal
from rivetwright.texts.say import System
from rivetwright.texts.shop_words import say_limit, say_piece, say_suspect
from rivetwright.units.force import PressureUnit, parse_pressure_kpa
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import sized
from rivetwright.web.shop_figures import shown_figure, shown_law, system_of_shop

router = APIRouter()
GAUGE_MOST_KPA = 2_000.0
MINUTES_MOST, SECONDS_A_MINUTE = 600, 60
TANK = -1


def gauge_unit(system: System) -> PressureUnit:
    """The unit in which a gauge of the shop is read."""
    return "psi" if system == "in" else "kPa"


@router.get("/air")
def air_show(request: Request) -> Response:
    """The whole page, by the gauges that were read where any were."""
    workshop: Workshop = request.app.state.workshop
    opened = workshop.now()
    query = request.query_params
    shop = opened.project.shop
    system = system_of_shop(shop) if shop else "in"
    needed = read_pressure(query, "needed", system)
    now = air_now(shop, read_readings(query, system), needed)
    return show(
        request,
        "air.html",
        here="/air",
        opened=opened,
        notes=project_notes(opened),
        query=query,
        gauge_unit=gauge_unit(system),
        picture=sized(air_line_svg(now.supply, unit=gauge_unit(system))),
        **air_words(now, system),
    )


def project_notes(opened: Opened) -> list[str]:
    """What the plans say of the whole project, each once: that it is invented."""
    plans = (one.worked_plan.worked.plan for one in opened.project.assemblies)
    return [note for note in dict.fromkeys(p.project.note for p in plans) if note]


def air_words(now: AirNow, system: System) -> dict[str, Any]:
    """What the page's template needs of the air, in words."""
    supply = now.supply
    short = supply.first_short
    stretches = supply.line.stretches
    return {
        "air": now,
        "groups": [
            (title, [shown_figure(one, system) for one in figures])
            for title, figures in now.groups
        ],
        "suspects": [(one, say_suspect(one, supply, system)) for one in now.suspects],
        "short": short
        and (say_limit(short, supply), shown_figure(short.figure, system)),
        "needed": _shown(now, "needed_kpa", system),
        "standing": _shown(now, "standing_kpa", system),
        "leak": now.leak and shown_figure(now.leak, system),
        "assumed": [
            (shown_figure(one, system), one.source.document) for one in now.assumed
        ],
        "places": [
            (place, say_piece(supply, place)) for place in range(TANK, len(stretches))
        ],
    }


def _shown(now: AirNow, name: str, system: System) -> Any:
    """A figure of the air where it is known."""
    figure = now.figures.get(name)
    return figure and shown_figure(figure, system)


@router.get("/air/why/{name}")
def air_why(request: Request, name: str) -> Response:
    """How one figure of the air came about."""
    workshop: Workshop = request.app.state.workshop
    opened = workshop.now()
    shop = opened.project.shop
    system = system_of_shop(shop) if shop else "in"
    query = request.query_params
    needed = read_pressure(query, "needed", system)
    now = air_now(shop, read_readings(query, system), needed)
    figure = air_figure(now, name)
    return show(
        request,
        "why_shop.html",
        here="/air",
        opened=opened,
        back="/air",
        back_words=request.app.state.renderer.say("nav.air"),
        hole=now.shop.name,
        working=shown_law(figure, system),
        unit=figure.unit,
        picture=None,
    )


def read_readings(query: Mapping[str, str], system: System) -> Readings:
    """What a person read at the gauges, out of the form of the page.

    Raises:
        Refusal: a reading that is none.
    """
    places = {
        int(name.removeprefix("at")): pressure
        for name in query
        if name.startswith("at") and name[2:].removeprefix("-").isdecimal()
        for pressure in [read_pressure(query, name, system)]
        if pressure is not None and -1 <= int(name[2:]) < 100
    }
    minutes = query.get("minutes", "").strip()
    fall_s = None
    if minutes:
        try:
            fall_s = float(Fraction(minutes) * SECONDS_A_MINUTE)
        except (ValueError, ZeroDivisionError):
            fall_s = -1.0
        if not 0 < fall_s <= MINUTES_MOST * SECONDS_A_MINUTE:
            raise Refusal(
                asked="read how long the tank was watched",
                found=minutes[:40],
                allowed=f"minutes above 0, up to {MINUTES_MOST}",
                do="write the minutes between the two readings",
            )
    return Readings(places, read_pressure(query, "fall", system), fall_s)


def read_pressure(query: Mapping[str, str], name: str, system: System) -> float | None:
    """A gauge pressure out of a form; None where nothing was written.

    Raises:
        Refusal: not a pressure, or above every gauge of a small shop.
    """
    written = query.get(name, "").strip()
    if not written:
        return None
    unit = gauge_unit(system)
    pressure = float(parse_pressure_kpa(written, bare_unit=unit))
    if pressure > GAUGE_MOST_KPA:
        raise Refusal(
            asked="read a gauge",
            found=written[:40],
            allowed="up to 2,000 kPa (290 psi)",
            do="write the pressure that the gauge shows",
        )
    return pressure
