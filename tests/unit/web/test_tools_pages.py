"""The tools pages: owned, needed, by row, and on the hole card."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rivetwright.web.app import create_app
from tests.unit.web.conftest import Ask, ask_of


@pytest.fixture
def changed(demo_folder: Path, tmp_path: Path) -> Path:
    """A copy of the demo that may be changed."""
    folder = tmp_path / "ostrel"
    shutil.copytree(demo_folder, folder)
    return folder


def test_what_waits_stands_first_with_its_figures(ask: Ask) -> None:
    """Nobody gets to A23 to A26, BB3 is waited for, B5 is tight."""
    page = ask("/tools").text
    assert "Aileron A23:1, A24:1, A25:1, A26:1" in page
    assert "BB3 needs .293 in behind, there is .186 in" in page
    assert "BB3 (on order, due 2026-12-04)" in page
    assert "Root rib B5:1-7" in page
    assert page.index("What the project needs") < page.index("What is owned")
    assert "Nothing is missing" in page


def test_what_is_owned_stands_by_kind(ask: Ask) -> None:
    """Every yoke, bar, plate, puller and die; a size that was not measured says so."""
    page = ask("/tools").text
    for words in ("Yokes", "Bucking bars", "Back-riveting", "Blind-rivet pullers"):
        assert f"<strong>{words}</strong>" in page
    for words in ("1-1/2 in", "not measured", "cup 3/32", "80 x 3/32 in", "INVENTED"):
        assert words in page


def test_a_shim_or_die_that_is_missing_is_named_with_its_holes(changed: Path) -> None:
    """Without shims the band of some stacks is lost; without the cup C19 lacks one."""
    shop = changed / "shop.yaml"
    written = shop.read_text(encoding="utf-8")
    written = written.replace("shims: [.010, .020, .032, .063]", "shims: [.063]")
    lines = [line for line in written.splitlines() if "cup, fits: 3/32, l" not in line]
    shop.write_text("\n".join(lines), encoding="utf-8")
    page = ask_of(create_app(changed))("/tools").text
    assert "What would be missing" in page
    assert "a shim of " in page
    assert "<strong>cup 3/32 in</strong> for " in page
    assert "Flap C19:1" in page


def test_rows_tell_the_one_thing_in_the_way(ask: Ask) -> None:
    """The eighth hole of A19 waits; the row before it does not."""
    page = ask("/assembly/aileron/tools").text
    line = page[page.index("A19:8</a>") : page.index("A20:1-6</a>")]
    assert "BB3 (on order, due 2026-12-04)" in line
    assert ".299 in is left once the rivet opposite is set" in line
    assert "two people" in line


def test_the_card_tells_every_tool_with_its_reason(ask: Ask) -> None:
    """A5: clear, tight with figures, no with the one thing; and the way to the gun."""
    page = ask("/assembly/aileron/hole/A5:1").text
    assert 'class="fit fit-clear"' in page
    assert "Y2 opens .968 in between the shortest dies, needs .959 in" in page
    assert "Y1 reach 1.500 in, needs 1.600 in" in page
    assert "7 that do not get there" in page
    assert "/assembly/aileron/gun/A5:1" in page
    assert "gun and bar: both hands, a second person, noisy" in page


def test_the_card_of_a_dimpled_hole_tells_how_it_is_prepared(ask: Ask) -> None:
    """Drills and dimple dies for each sheet of A11."""
    page = ask("/assembly/aileron/hole/A11:3").text
    assert "<strong>501</strong>, dimple" in page
    assert "straight drill" in page
    assert "Y3 has no seat for a dimple die in its fixed jaw" in page


def test_a_folder_without_a_shop_says_what_is_missing(changed: Path) -> None:
    """No tools on the card, no rows; the tools page says what to write."""
    (changed / "shop.yaml").unlink()
    asks = ask_of(create_app(changed))
    assert asks("/tools").status_code == 404
    assert "There is no shop file" in asks("/assembly/aileron/tools").text
    assert 'class="fit' not in asks("/assembly/aileron/hole/A5:1").text
