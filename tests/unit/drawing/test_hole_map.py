"""The hole map shows every hole once, to scale, where it is, and says which it is."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET

import pytest
import shapely
from shapely.affinity import rotate, translate

from rivetwright.drawing.hole_map import draw_hole_map, hole_map_svg
from rivetwright.drawing.labels import box_about, width_of
from rivetwright.drawing.signs import STATES
from rivetwright.drawing.view import Look, Window
from rivetwright.errors import NotFound
from tests.unit.drawing.pictures import (
    SVG,
    demo,
    demo_faces,
    demo_map,
    hole_places,
    of_class,
    read,
    small,
    view_box,
)

FACES = demo_faces()


@pytest.mark.parametrize(("assembly", "face"), FACES)
def test_every_hole_of_a_face_is_drawn_once(assembly: str, face: str) -> None:
    """Names on the map are those of the face's holes, no more and no fewer."""
    holes = demo(assembly).worked.holes
    k = [one.name for one in holes.plan.faces].index(face)
    expected = [holes.name(i) for i in range(len(holes)) if holes.face[i] == k]
    signs = of_class(read(demo_map(assembly, face)), "hole")
    assert [sign.get("data-hole") for sign in signs] == expected


@pytest.mark.parametrize(("assembly", "face"), FACES)
def test_holes_lie_to_scale_where_the_plan_has_them(assembly: str, face: str) -> None:
    """Right is u, up is v, and a millimetre is a millimetre."""
    holes = demo(assembly).worked.holes
    for name, (x, y) in hole_places(read(demo_map(assembly, face))).items():
        k = holes.index(name)
        assert (x, -y) == pytest.approx((holes.x_mm[k], holes.y_mm[k]), abs=0.0006)


@pytest.mark.parametrize(("assembly", "face"), FACES)
@pytest.mark.parametrize("turns", [0, 1])
def test_nothing_is_drawn_outside_the_picture(
    assembly: str, face: str, turns: int
) -> None:
    """Words with their room, and every place on a path, lie in what is seen."""
    picture = read(demo_map(assembly, face, turns=turns))
    left, top, right, bottom = view_box(picture)
    frame = shapely.box(left, top, right, bottom)
    for box in word_boxes(picture):
        assert frame.contains(box)
    for path in of_class(picture, "line"):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.get("d", ""))]
        points = shapely.MultiPoint(list(zip(numbers[::2], numbers[1::2], strict=True)))
        assert frame.contains(points)


@pytest.mark.parametrize("for_paper", [False, True])
@pytest.mark.parametrize(("assembly", "face"), FACES)
def test_names_hide_no_hole_and_no_other_name(
    assembly: str, face: str, for_paper: bool
) -> None:
    """Rows and parts are named beside holes and beside each other."""
    picture = read(demo_map(assembly, face, for_paper=for_paper))
    boxes = word_boxes(picture, "halo")
    radius = [ring_radius(sign) for sign in of_class(picture, "hole")]
    holes = [
        shapely.Point(place).buffer(r)
        for place, r in zip(hole_places(picture).values(), radius, strict=True)
    ]
    tree = shapely.STRtree(holes)
    for k, box in enumerate(boxes):
        assert not len(tree.query(box, predicate="intersects"))
        for other in boxes[:k]:
            assert box.intersection(other).area == pytest.approx(0, abs=1e-6)


def word_boxes(picture: ET.Element, class_: str = "") -> list[shapely.Polygon]:
    """The room that words take, standing upright or turned on their side."""
    boxes = []
    for text in picture.iter(f"{SVG}text"):
        classes = text.get("class", "")
        if class_ not in classes or not text.text:
            continue
        height = float(text.get("font-size", ""))
        x = float(text.get("x", ""))
        y = float(text.get("y", "")) + float(text.get("dy", "0")) - 0.35 * height
        box = shapely.box(*box_about((x, y), text.text, height))
        is_centred = "halo" in classes or text.get("text-anchor") == "middle"
        if not is_centred:
            box = translate(box, width_of(text.text, height) / 2)
        if text.get("transform"):
            box = rotate(box, 90, origin=(x, y))
        boxes.append(box)
    return boxes


def ring_radius(sign: ET.Element) -> float:
    """Radius of the hole itself."""
    return float(sign.find(f"{SVG}circle").get("r"))


def test_a_hole_is_drawn_with_its_drill_where_that_can_be_seen() -> None:
    """At 1 : 1 a 1/8 in rivet has a No. 30 hole, 0.1285 in, radius 1.632 mm."""
    picture = read(hole_map_svg(small(), "F", scale=1.0))
    assert picture.get("data-grow") == "1"
    signs = of_class(picture, "hole", "d4")
    assert [ring_radius(sign) for sign in signs] == [1.632] * 5


def test_signs_that_would_be_too_small_all_grow_alike() -> None:
    """At 1 : 5 the No. 40 hole, radius 1.245, must be drawn 0.95 x 5 = 4.75."""
    picture = read(hole_map_svg(small(), "F", scale=5.0))
    grow = float(picture.get("data-grow", ""))
    # Each hole of R1 has a check. The sides of its diamond lie 1 + .08 of the ring's
    # line + .05 + .13 of its own = 1.26 radii out, its corners 1.26 x 1.4142 + .13
    # = 1.912. Of the pitch of 8 mm 0.98 are 7.84 for two, so the radius is 2.050.
    assert grow == pytest.approx(2.050 / 1.632, abs=0.001)
    assert ring_radius(of_class(picture, "d4")[0]) == pytest.approx(2.050, abs=0.001)


@pytest.mark.parametrize(("assembly", "face"), FACES)
def test_marks_of_neighbours_stay_apart(assembly: str, face: str) -> None:
    """What a finding draws round one hole hides no part of the hole beside it."""
    picture = read(demo_map(assembly, face, for_paper=True))
    places = hole_places(picture)
    marked = []
    for sign, place in zip(of_class(picture, "hole"), places.values(), strict=True):
        for path in of_class(sign, "stop") + of_class(sign, "check"):
            numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.get("d", ""))]
            corners = zip(numbers[::2], numbers[1::2], strict=True)
            marked.append((place, max(math.hypot(*corner) for corner in corners)))
    for k, (place, reach) in enumerate(marked):
        for other, others in marked[:k]:
            apart = math.dist(place, other)
            assert apart < 0.05 or reach + others < apart


def test_long_rows_are_numbered_on_paper_alone() -> None:
    """C12 of the flap has 42 holes: 5, 10 ... 40 are eight numbers."""
    (name,) = [row.face for row in demo("flap").worked.plan.rows if row.name == "C12"]
    for for_paper, expected in ((True, 8), (False, 0)):
        picture = read(demo_map("flap", name, for_paper=for_paper))
        numbers = of_class(picture, "row-number")
        found = [int(e.text or "") for e in numbers if e.get("data-row") == "C12"]
        assert found == [5 * k for k in range(1, expected + 1)]


def test_each_state_has_its_class() -> None:
    """Over the whole demo every state but none else is seen."""
    seen = set()
    for assembly, face in FACES:
        for sign in of_class(read(demo_map(assembly, face)), "hole"):
            state = sign.get("data-state")
            assert f"state-{state}" in sign.get("class", "")
            seen.add(state)
    assert seen == set(STATES)


def test_a_hole_says_what_is_known_of_it() -> None:
    """Row, step, callout, state and the codes of its findings; a title in words."""
    picture = read(hole_map_svg(demo("root-rib"), "B-W"))
    (sign,) = [e for e in of_class(picture, "hole") if e.get("data-hole") == "B8:1"]
    named = {key: value for key, value in sign.attrib.items() if key[:4] == "data"}
    assert named == {
        "data-hole": "B8:1",
        "data-row": "B8",
        "data-step": "rib-3",
        "data-callout": "MS20470AD4-4",
        "data-state": "drilled",
        "data-findings": "EDGE-01",
    }
    assert "finding-stop" in sign.get("class", "")
    title = sign.find(f"{SVG}title")
    assert title is not None
    assert title.text == "B8:1, MS20470AD4-4, drilled, EDGE-01"


def test_turning_and_mirroring_move_places_and_nothing_else() -> None:
    """Distances between holes stay; four quarters bring every byte back."""
    plain = hole_places(read(hole_map_svg(small(), "F")))
    for mirror, turns in ((True, 0), (False, 1), (True, 3)):
        svg = hole_map_svg(small(), "F", mirror=mirror, quarter_turns=turns)
        seen = hole_places(read(svg))
        for a, b in (("R1:1", "R1:5"), ("R1:1", "R2:1")):
            asked, found = (math.dist(p[a], p[b]) for p in (plain, seen))
            assert found == pytest.approx(asked, abs=0.002)
    assert hole_map_svg(small(), "F", quarter_turns=4) == hole_map_svg(small(), "F")


def test_the_same_plan_gives_the_same_bytes() -> None:
    """Drawn twice, nothing differs."""
    first, second = (hole_map_svg(demo("aileron"), "A-SW") for _ in range(2))
    assert first == second


@pytest.mark.parametrize(
    "title", ["<b>&\"'", "]]> </style></svg>", "{x} %s \\ #set", "\u4e2d \u202e"]
)
def test_a_title_with_signs_of_markup_stays_a_title(title: str) -> None:
    """It comes back letter for letter, and makes no element."""
    picture = read(hole_map_svg(small(title), "F"))
    words = [e.text for e in of_class(picture, "strong")]
    assert " ".join(f"F {title}".split()) in words


def test_no_element_has_an_id() -> None:
    """Two maps stand on one page without disturbing each other."""
    picture = read(hole_map_svg(demo("flap"), "C-BF"))
    assert [e for e in picture.iter() if e.get("id")] == []


def test_everything_that_a_page_moves_stands_in_one_group() -> None:
    """Besides title, description and style there is the world alone."""
    picture = read(hole_map_svg(small(), "F"))
    assert [e.get("class") for e in picture][3:] == ["world"]
    assert picture.get("role") == "img"
    assert picture.get("aria-label") == "Hole map of F two sheets"


def test_names_can_be_left_away() -> None:
    """Without labels the rows and parts have no names; edges keep theirs."""
    picture = read(hole_map_svg(small(), "F", labels=False))
    assert of_class(picture, "halo") == []
    assert len(of_class(picture, "edge-name")) == 4


def test_on_paper_no_colour_is_a_variable() -> None:
    """The typesetter knows no variables, and paper has no theme."""
    assert "var(" in hole_map_svg(small(), "F")
    assert "var(" not in hole_map_svg(small(), "F", for_paper=True)


def test_a_close_up_shows_its_holes_alone() -> None:
    """The window from u 55 to 70 holds R1:1 and R1:2, and names itself."""
    look = Look(window=Window("II", (55, 5, 70, 35)), scale=1.0)
    picture = read(draw_hole_map(small(), "F", look).svg)
    assert list(hole_places(picture)) == ["R1:1", "R1:2"]
    assert next(e.text for e in of_class(picture, "strong")) == "F close-up II"
    assert of_class(picture, "edge-name") == []


def test_a_face_that_is_not_there_is_refused() -> None:
    """Nothing is drawn for another name."""
    with pytest.raises(NotFound, match="no face G"):
        hole_map_svg(small(), "G")
