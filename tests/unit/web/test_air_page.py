"""The air page: the answer first, the line drawn, every figure's working, refusals."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from rivetwright.web.app import create_app
from tests.unit.web.conftest import Ask, ask_of


def test_the_demo_stands_at_ninety_and_a_stroke_is_short(ask: Ask) -> None:
    """By hand 95 less 2.85 less two dead bands of 2 psi: 88; and it is invented."""
    page = ask("/air").text
    assert "The tool stands at 90 psi" in page
    assert "begun at the cut-in 88 psi, and 90 psi is needed" in page
    assert "INVENTED" in page
    assert page.count('class="piece ') == 10


def test_every_figure_opens_its_working(ask: Ask) -> None:
    """Each link leads to a page whose answer is the figure that was shown."""
    page = ask("/air").text
    links = re.findall(r'href="(/air/why/(\w+))"[^>]*>([^<]*?)(?: <small>|</a>)', page)
    assert len(links) > 15
    for link, name, shown in links:
        answer = ask(link).text
        assert f'data-answer="{name}">{shown.strip()}<' in answer, link


def test_readings_are_ranked_first_and_kept_in_the_form(ask: Ask) -> None:
    """30 psi gone between bench regulator and tool; a leak of a litre a minute."""
    page = ask("/air?at4=90&at7=60&fall=5&minutes=5").text
    first = page.index("Something between pedal and coupler at the squeezer")
    assert first < page.index("A stroke begun at the cut-in lets")
    assert 'name="at7" value="60"' in page
    assert "<strong>Leak</strong>" in page


def test_the_pressure_that_a_set_up_needs_can_be_asked_for(ask: Ask) -> None:
    """70 psi is there to the end of every stroke."""
    assert "Enough, to the end of every stroke" in ask("/air?needed=70").text


def test_a_reading_that_is_none_is_refused(ask: Ask) -> None:
    """Words, a pressure beyond every gauge, no time: what is allowed is told."""
    for wrong, allowed in (
        ("at0=much", "90 psi"),
        ("at0=9000", "290 psi"),
        ("fall=5&minutes=0", "minutes above 0"),
        ("fall=5&minutes=1/0", "minutes above 0"),
    ):
        answer = ask(f"/air?{wrong}")
        assert answer.status_code == 422
        assert allowed in answer.text


def test_other_words_of_the_address_are_left_alone(ask: Ask) -> None:
    """A place that no line has says nothing."""
    assert ask("/air?attic=5&at99999=5").status_code == 200


def test_a_folder_without_a_shop_is_told_what_to_write(
    demo_folder: Path, tmp_path: Path
) -> None:
    """The page says that a shop file is wanted, and where it is explained."""
    shutil.copy(demo_folder / "flap.yaml", tmp_path)
    answer = ask_of(create_app(tmp_path))("/air")
    assert answer.status_code == 404
    assert "docs/shop-file.md" in answer.text


def test_a_figure_that_is_none_is_refused(ask: Ask) -> None:
    """The names that there are stand on the page."""
    answer = ask("/air/why/wind")
    assert answer.status_code == 404
    assert "standing_kpa" in answer.text
