"""Pictures of what may be seen on a rivet: one for each look, each its own."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from rivetwright.drawing.defects import BOX, DRAWN, GOOD, defect_svg
from rivetwright.record.kinds import LOOKS

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
PATH = "{http://www.w3.org/2000/svg}path"


def paths(look: str) -> list[ET.Element]:
    """What a picture draws."""
    return list(ET.fromstring(defect_svg(look, look)).iter(PATH))


def test_every_look_has_a_picture_of_its_own() -> None:
    """One for each word of the record, a good head beside them, no two alike."""
    assert set(DRAWN) == {*LOOKS, GOOD}
    drawn = {look: tuple(one.get("d") for one in paths(look)) for look in DRAWN}
    assert len(set(drawn.values())) == len(drawn)


@pytest.mark.parametrize("look", DRAWN)
def test_picture_stays_in_its_frame_and_marks_the_thing(look: str) -> None:
    """Nothing is cut off; all but the good head have a thick stroke at what is off."""
    left, top, wide, high = BOX
    for one in paths(look):
        figures = [float(one) for one in NUMBER.findall(one.get("d") or "")]
        xs, ys = figures[::2], figures[1::2]
        assert left <= min(xs) <= max(xs) <= left + wide
        assert top <= min(ys) <= max(ys) <= top + high
    marked = [one for one in paths(look) if "stop" in (one.get("class") or "")]
    assert bool(marked) == (look != GOOD)


def test_title_is_read_out_and_stays_text() -> None:
    """Markup in the words is text of the picture."""
    picture = ET.fromstring(defect_svg("leans", "<b>leans", for_paper=True))
    assert picture.get("aria-label") == "<b>leans"
