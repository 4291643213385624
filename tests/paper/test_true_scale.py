"""What is measured on the paper is what the plan says."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import ndimage

from tests.paper.papers import PAPERS, Picture, pack, page_texts, rasters

# 300 dots to the inch: a dot is 0.085 mm.
DOTS_A_MM = 300 / 25.4
COPPER = np.array([0xC8, 0x76, 0x3A], dtype=np.int16)


def longest_level_line(picture: Picture, low_mm: float) -> tuple[int, int, int]:
    """Row, first and last column of the longest dark line in the lowest part."""
    dark = picture.max(axis=2) < 128
    best = (0, 0, 0)
    top = picture.shape[0] - int(low_mm * DOTS_A_MM)
    for row in range(top, picture.shape[0]):
        columns = np.flatnonzero(dark[row])
        if len(columns) < 50:
            continue
        runs = np.split(columns, np.flatnonzero(np.diff(columns) > 1) + 1)
        run = max(runs, key=len)
        if len(run) > best[2] - best[1]:
            best = (row, int(run[0]), int(run[-1]))
    return best


@pytest.mark.parametrize(
    ("name", "length_mm"), [("flap", 4 * 25.4), ("hostile", 100.0)]
)
@pytest.mark.parametrize("paper", PAPERS)
def test_the_check_line_is_true(name: str, length_mm: float, paper: str) -> None:
    """4 in in a plan in inches and 100 mm in one in mm, within 0.2 %."""
    (picture,) = rasters(pack(name, paper), DOTS_A_MM, [1])
    _, first, last = longest_level_line(picture, 24.0)
    assert (last - first + 1) / DOTS_A_MM == pytest.approx(length_mm, rel=0.002)


def copper_places_mm(picture: Picture) -> list[tuple[float, float]]:
    """Middles of the copper rings on a page: right and down [mm]."""
    near = np.abs(picture.astype(np.int16) - COPPER).max(axis=2) < 24
    labels, count = ndimage.label(ndimage.binary_closing(near, iterations=2))
    sizes = ndimage.sum_labels(near, labels, range(1, count + 1))
    large = [k + 1 for k in range(count) if sizes[k] > 0.2 * DOTS_A_MM**2]
    # The middle of the box: the ring's own middle is left white.
    boxes = ndimage.find_objects(labels)
    return [
        (
            (boxes[k - 1][1].start + boxes[k - 1][1].stop) / 2 / DOTS_A_MM,
            (boxes[k - 1][0].start + boxes[k - 1][0].stop) / 2 / DOTS_A_MM,
        )
        for k in large
    ]


@pytest.mark.parametrize("paper", PAPERS)
def test_a_map_at_full_size_lies_on_the_part(paper: str) -> None:
    """C6 and C7 of the flap's rib: 2.9 in apart and 0.95 in high, within 0.1 mm."""
    texts = page_texts("flap", paper)
    (page,) = [k for k, text in enumerate(texts) if "C-R flap rib 2 web" in text]
    assert "Scale 1 : 1, full size; holes drawn to scale" in texts[page]
    (picture,) = rasters(pack("flap", paper), DOTS_A_MM, [page])
    found = sorted(copper_places_mm(picture))
    assert len(found) == 4
    (left, top), (_, low) = sorted(found[:2], key=lambda place: place[1])
    (right, _), _ = found[2:]
    assert right - left == pytest.approx(2.9 * 25.4, abs=0.1)
    assert low - top == pytest.approx(0.95 * 25.4, abs=0.1)


def test_a_map_at_another_scale_says_it() -> None:
    """The rib's web at 1 : 3: B1:1 to B1:7 are 4.2 in, drawn 35.56 mm."""
    (page,) = [
        k
        for k, text in enumerate(page_texts("root-rib"))
        if "B-W main root rib web" in text
    ]
    assert "Scale 1 : 3; 1 in here is 3 in on the part" in page_texts("root-rib")[page]
    (picture,) = rasters(pack("root-rib"), DOTS_A_MM, [page])
    places = copper_places_mm(picture)
    # Seven filled rings on one level are B1; B2 lies above it.
    levels = {
        tuple(place for place in places if abs(place[1] - y) < 0.15) for _, y in places
    }
    sevens = [[x for x, _ in level] for level in levels if len(level) == 7]
    assert len(sevens) == 2
    for xs in sevens:
        assert max(xs) - min(xs) == pytest.approx(4.2 * 25.4 / 3, abs=0.1)
