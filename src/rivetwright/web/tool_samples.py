"""Samples of tools, air and gun for the page of patterns; all of them INVENTED."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.air import Readings, air_now
from rivetwright.drawing.air_line import air_line_svg
from rivetwright.engines.gun import GUN_AND_BAR
from rivetwright.engines.reach.fit import FIT_WORDS
from rivetwright.model.shop import AirPiece, Compressor, Shop, Squeezer
from rivetwright.standards.gun import gun_steps
from rivetwright.standards.reach import ways_of_kind
from rivetwright.texts.say import Said
from rivetwright.texts.shop_words import say_suspect
from rivetwright.texts.tool_words import say_way
from rivetwright.web.pictures import sized
from rivetwright.web.sayings import Sayings
from rivetwright.web.tool_lines import HoleLinks, ToolLine

TOO_LOW_KPA = 400.0
SHOP = Shop(
    "sample",
    "Sample",
    "in",
    squeezers=(Squeezer("one", pressure_kpa=620.0, bore_mm=50.0),),
    compressor=Compressor("", 5e-4, 0.010, 640.0, 850.0),
    air_line=(
        AirPiece("hose", bore_mm=9.0, length_mm=8_000.0),
        AirPiece("coupler"),
        AirPiece("regulator", set_kpa=620.0),
        AirPiece("pipe", bore_mm=12.0, length_mm=3_000.0),
        AirPiece("pedal"),
    ),
)


def sample_tools(say: Sayings) -> dict[str, Any]:
    """What the template of these patterns needs."""
    now = air_now(SHOP, Readings({3: 620.0, 4: TOO_LOW_KPA}))
    reason = Said("Y2 reach 3.000 in, needs 3.100 in", "76.20 mm, 78.74 mm")
    room = Said("B3 needs .150 in behind, there is .170 in", "3.81 mm, 4.32 mm")
    yoke, bar = say("patterns.tool.yoke"), say("patterns.tool.bar")
    blade, puller = say("patterns.tool.blade"), say("patterns.tool.puller")
    ordered = say("tool.due", due="2026-12-04")
    owned = say("tool.owned")
    return {
        "tool_fits": list(reversed(FIT_WORDS.values())),
        "tool_lines": [
            ToolLine(
                "B2",
                bar,
                owned,
                "clear",
                Said(""),
                (say_way(ways_of_kind("bar")[0].value),),
                True,
            ),
            ToolLine("B3", blade, ordered, "tight", room, (), False),
            ToolLine("Y2", yoke, owned, "no", reason, (), False),
            ToolLine("P1", puller, owned, "not judged", Said(""), (), False),
        ],
        "tool_holes": [
            HoleLinks("", say("patterns.tool.holes"), "#p-tool_holes", "B3", room)
        ],
        "air_picture": sized(air_line_svg(now.supply)),
        "suspects": [(one, say_suspect(one, now.supply, "in")) for one in now.suspects],
        "calls": [one.value for one in gun_steps(GUN_AND_BAR, "call")],
    }
