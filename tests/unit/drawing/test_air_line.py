"""The picture of the air line: every piece, both pressures, on screen and paper."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from rivetwright.drawing.air_line import air_line_svg
from rivetwright.engines.air_supply import Supply, work_out_air
from rivetwright.model.shop import AirPiece
from tests.unit.drawing.pictures import of_class, read, view_box
from tests.unit.engines.air_shops import PEDAL, coupler, hose, regulator, shop

EVERY_KIND = (
    regulator(700.0),
    AirPiece("pipe", "along the wall", bore_mm=15.0, length_mm=8_000.0),
    coupler(),
    hose(),
    regulator(600.0),
    PEDAL,
)


@pytest.fixture(scope="module")
def supply() -> Supply:
    """A line with a piece of every kind."""
    return work_out_air(shop(*EVERY_KIND))


def words(picture: ET.Element) -> list[str]:
    """Every text of a picture."""
    return [e.text or "" for e in picture.iter() if e.tag.endswith("text")]


def path_points(path: ET.Element) -> list[tuple[float, float]]:
    """The corners of a path."""
    numbers = re.findall(r"[-\d.]+ [-\d.]+", path.get("d", ""))
    return [(float(x), float(y)) for x, y in (one.split() for one in numbers)]


def test_every_piece_has_its_sign_in_order(supply: Supply) -> None:
    """Tank first at -1, then the pieces, the tool last."""
    pieces = of_class(read(air_line_svg(supply)), "piece")
    kinds = [one.get("class", "").split()[1] for one in pieces]
    assert kinds == ["tank", *(piece.kind for piece in EVERY_KIND), "tool"]
    assert [one.get("data-place") for one in pieces] == [str(k) for k in range(-1, 7)]


def test_the_pressure_standing_falls_at_the_regulators_alone(supply: Supply) -> None:
    """650 to 630 and 600; the line is level elsewhere and y grows downward."""
    (line,) = of_class(read(air_line_svg(supply)), "still")
    heights = [y for _, y in path_points(line)]
    falls = [b - a for a, b in pairwise(heights) if b > a]
    assert heights == sorted(heights)
    assert len(falls) == 2
    # 20 and 30 of 650 on 36 mm.
    assert falls == pytest.approx([20 * 36 / 650, 30 * 36 / 650], abs=2e-3)


def test_the_flowing_line_lies_below_and_is_dashed(supply: Supply) -> None:
    """Told apart without colour."""
    picture = read(air_line_svg(supply))
    (still,), (flowing,) = (of_class(picture, name) for name in ("still", "flowing"))
    assert still.get("stroke-dasharray") is None
    assert flowing.get("stroke-dasharray")
    assert path_points(flowing)[-1][1] > path_points(still)[-1][1]


def test_the_figures_stand_in_words(supply: Supply) -> None:
    """94 psi in the tank (650 kPa), 87 at the tool (600), and in the unit asked for."""
    picture = read(air_line_svg(supply))
    assert "94 psi" in words(picture)
    assert "87 psi" in words(picture)
    assert "6.0 bar" in words(read(air_line_svg(supply, unit="bar")))
    described = next(e.text for e in picture.iter() if e.tag.endswith("desc"))
    assert described is not None
    assert "94 psi" in described
    assert "87 psi" in described


def test_a_line_that_chokes_says_too_much_air() -> None:
    """The dashed line ends where nothing is known any more."""
    thin = (regulator(600.0), hose(2_000.0, 12.0), hose(60_000.0, 2.5))
    slow = work_out_air(shop(*thin))
    quick = work_out_air(shop(*thin[:2]))
    choked = Supply(
        slow.line,
        slow.figures,
        slow.limits,
        slow.still,
        slow.line.drops(650.0, quick.flow_m3_s),
        quick.flow_m3_s,
        slow.missing,
    )
    picture = read(air_line_svg(choked))
    assert words(picture).count("too much air") == 2
    (flowing,) = of_class(picture, "flowing")
    (still,) = of_class(picture, "still")
    assert path_points(flowing)[-1][0] < path_points(still)[-1][0]


def test_without_a_tank_pressure_only_the_signs_are_drawn() -> None:
    """Nothing is guessed."""
    unknown = work_out_air(shop(compressor=None))
    picture = read(air_line_svg(unknown))
    assert len(of_class(picture, "piece")) == 7
    assert not of_class(picture, "still")
    assert not of_class(picture, "losses")


def test_words_stay_within_the_picture(supply: Supply) -> None:
    """No text begins or ends outside the frame, at the paper's letter width."""
    picture = read(air_line_svg(supply, for_paper=True))
    left, top, right, bottom = view_box(picture)
    for text in (e for e in picture.iter() if e.tag.endswith("text")):
        height = float(text.get("font-size", "0"))
        half = 0.61 * height * len(text.text or "") / 2
        x, y = float(text.get("x", "0")), float(text.get("y", "0"))
        if text.get("text-anchor") == "middle":
            assert left <= x - half
            assert x + half <= right
        assert top <= y - height
        assert y <= bottom


def test_paper_fixes_its_inks(supply: Supply) -> None:
    """No page variables on paper, and the same picture twice."""
    paper = air_line_svg(supply, for_paper=True)
    assert "var(" not in paper
    assert "var(" in air_line_svg(supply)
    assert paper == air_line_svg(supply, for_paper=True)
