"""The legend explains every sign that a map can show."""

from __future__ import annotations

from rivetwright.drawing.ink import COLOUR_OF_32NDS, COLOURS, size_class, stylesheet
from rivetwright.drawing.legend import legend_svg
from rivetwright.drawing.signs import HEADS, STATES
from tests.unit.drawing.pictures import of_class, read, view_box


def test_every_state_head_diameter_and_mark_is_explained() -> None:
    """Each class that a sign can have stands in the legend."""
    signs = of_class(read(legend_svg()), "hole")
    shown = {name for sign in signs for name in sign.get("class", "").split()}
    wanted = {f"state-{state}" for state in STATES}
    wanted |= {f"head-{head}" for head in HEADS}
    wanted |= {size_class(size) for size in COLOUR_OF_32NDS} | {"dx"}
    wanted |= {"finding-stop", "finding-check"}
    assert wanted <= shown


def test_colours_stand_beside_words() -> None:
    """A diameter is named with its colour, so that neither stands alone."""
    texts = [e.text for e in read(legend_svg()).iter() if e.tag.endswith("text")]
    for words in ("3/32 in, silver", "1/8 in, copper", "5/32 in, black"):
        assert words in texts


def test_columns_are_as_many_as_asked() -> None:
    """Two columns are half as wide as four, and twice as high."""
    four, two = (view_box(read(legend_svg(columns=n))) for n in (4, 2))
    assert (two[2], two[3]) == (four[2] / 2, four[3] * 2)


def test_a_page_can_change_every_colour() -> None:
    """On screen each colour is a variable with a default."""
    sheet = stylesheet()
    for name in COLOURS:
        assert f"var(--map-{name},{COLOURS[name]})" in sheet
