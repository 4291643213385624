"""Small shops whose air is easy to reckon by hand; pressures in kPa."""

from __future__ import annotations

from dataclasses import replace

from rivetwright.model.shop import AirPiece, Compressor, Shop, Squeezer

FULL = Compressor("small", 1e-3, 0.010, 650.0, 850.0)
SQUEEZER = Squeezer(
    "one", force_n=13e3, pressure_kpa=600.0, bore_mm=50.0, cylinder_stroke_mm=100.0
)


def regulator(set_kpa: float, dead_band_kpa: float | None = 20.0) -> AirPiece:
    """A regulator with its setting and dead band."""
    return AirPiece("regulator", set_kpa=set_kpa, dead_band_kpa=dead_band_kpa)


def hose(length_mm: float = 10_000.0, bore_mm: float = 6.0) -> AirPiece:
    """A hose."""
    return AirPiece("hose", bore_mm=bore_mm, length_mm=length_mm)


def coupler(flow_coefficient: float | None = 1.0, count: int = 1) -> AirPiece:
    """A coupler, or some of them."""
    return AirPiece("coupler", count=count, flow_coefficient=flow_coefficient)


PEDAL = AirPiece("pedal", flow_coefficient=0.8)
USUAL_LINE = (regulator(700.0), hose(), coupler(), regulator(600.0), PEDAL)


def shop(
    *pieces: AirPiece,
    compressor: Compressor | None = FULL,
    squeezer: Squeezer | None = SQUEEZER,
) -> Shop:
    """A shop with this line, the usual one where none is given."""
    squeezers = () if squeezer is None else (squeezer,)
    return Shop(
        "s",
        "Shop",
        "mm",
        squeezers=squeezers,
        compressor=compressor,
        air_line=pieces or USUAL_LINE,
    )


def with_compressor(**changes: float | None) -> Compressor:
    """The compressor with some figures changed."""
    return replace(FULL, **changes)
