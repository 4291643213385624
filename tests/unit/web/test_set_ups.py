"""Pages of the set-ups: the list, a card, a dimpling card, the bench's fold."""

from __future__ import annotations

import html
import re
import shutil
from pathlib import Path

import pytest

from rivetwright.bench.open import Assembly
from rivetwright.web.addresses import dimple_address, set_up_address, set_up_way
from rivetwright.web.app import create_app
from rivetwright.web.set_up_lines import bench_cards
from tests.unit.web.conftest import Ask, ask_of


def text_of(page: str) -> str:
    """A page's words, tags left out, one blank between words."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def test_the_list_has_a_line_for_every_set_up(ask: Ask) -> None:
    """Holes lead to the card; what stops and what stays as before is said."""
    page = ask("/assembly/aileron/set-ups")
    assert page.status_code == 200
    assert 'href="/assembly/aileron/set-up/A5:1"' in page.text
    said = text_of(page.text)
    assert "shim .010, cup 1/8 .230, flat .250" in said
    assert "as before" in said
    assert "stop LENGTH-01" in said
    assert "Not by squeezer" in said


@pytest.mark.parametrize("key", ["aileron", "root-rib", "flap", "root-rib-sb-07"])
def test_every_link_of_the_list_opens(ask: Ask, key: str) -> None:
    """Each card and each dimpling card of the demo."""
    page = ask(f"/assembly/{key}/set-ups").text
    links = re.findall(r'href="(/assembly/[^"]*/(?:set-up|dimpling)/[^"]*)"', page)
    assert len(links) > 5
    for link in links:
        assert ask(html.unescape(link)).status_code == 200, link


def test_a_card_has_picture_pieces_and_limits(ask: Ask) -> None:
    """What is put in, what it should measure, and how far that can be trusted."""
    page = ask("/assembly/aileron/set-up/A5:1").text
    assert 'class="drawing die-stack"' in page
    said = text_of(page)
    assert "cup 1/8, .230 in long" in said
    assert "keep .050 to .070 in" in said
    assert "not yet from your heads" in said
    assert "Air off before dies" in said


def test_what_is_on_the_tool_may_be_chosen(ask: Ask) -> None:
    """From a bare squeezer everything goes in; after A5 itself nothing does."""
    bare = text_of(ask("/assembly/aileron/set-up/A5:1?now=bare").text)
    assert "The squeezer is bare" in bare
    same = text_of(ask("/assembly/aileron/set-up/A5:1?now=A5:1").text)
    assert "it is on the tool already" in same


def test_a_card_without_pieces_says_what_to_do(ask: Ask) -> None:
    """Y4 was never measured."""
    said = text_of(ask("/assembly/aileron/set-up/A5:1?yoke=Y4").text)
    assert "Measure the yoke" in said
    assert "no picture" in said


def test_a_dimpling_card_has_its_dies(ask: Ask) -> None:
    """Male on the ram, female in the jaw, and how they touch."""
    page = ask("/assembly/aileron/dimpling/A13:1/502").text
    assert "past touching" in text_of(page)
    assert "female 3/32" in text_of(page)


@pytest.mark.parametrize(
    "address",
    [
        "/assembly/aileron/set-up/A12:1",
        "/assembly/aileron/set-up/A5:1?yoke=Y9",
        "/assembly/aileron/set-up/A5:1?now=Q1:1",
        "/assembly/aileron/dimpling/A5:1/501",
        "/assembly/nothing/set-ups",
    ],
)
def test_what_there_is_not_is_refused_in_words(ask: Ask, address: str) -> None:
    """Not found, and what to do instead."""
    page = ask(address)
    assert page.status_code == 404
    assert "Do" in text_of(page.text)


def test_without_a_shop_the_list_says_what_is_missing(
    demo_folder: Path, tmp_path: Path
) -> None:
    """And a card is refused."""
    shutil.copy(demo_folder / "flap.yaml", tmp_path)
    alone = ask_of(create_app(tmp_path))
    assert "no shop file" in text_of(alone("/assembly/flap/set-ups").text)
    assert alone("/assembly/flap/set-up/C6:1").status_code == 404


def test_a_hole_leads_to_its_set_up_where_a_squeezer_takes_it(
    assemblies: dict[str, Assembly],
) -> None:
    """C6 is 1/8; C5 is 5/32, over the rating."""
    flap = assemblies["flap"]
    index = flap.worked_plan.worked.holes.index
    assert set_up_way(flap, index("C6:1")) == "/assembly/flap/set-up/C6:1"
    assert set_up_way(flap, index("C5:1")) == ""


def test_addresses_keep_what_is_chosen() -> None:
    """Names with blanks are written as addresses take them."""
    address = set_up_address("a", "A5:1", yoke="Y1", squeezer="hand squeezer", now="")
    assert address == "/assembly/a/set-up/A5:1?yoke=Y1&squeezer=hand+squeezer"
    assert dimple_address("a", "A5:1", "5/1") == "/assembly/a/dimpling/A5:1/5%2F1"


def test_the_bench_has_no_set_up_without_a_shop(
    assemblies: dict[str, Assembly],
) -> None:
    """Nothing is known of any tool."""
    assert bench_cards(assemblies["flap"], None, ()) == {}


def test_the_patterns_show_a_card_that_holds_and_one_that_stalls(ask: Ask) -> None:
    """Both INVENTED."""
    page = ask("/patterns").text
    assert page.count('class="set-up-card') >= 2
    assert "Stalls" in text_of(page)
