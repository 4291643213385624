"""Answers to addresses that lead somewhere, and to those that do not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rivetwright.web.app import create_app
from tests.unit.web.conftest import Ask, ask_of

HOLE = "/assembly/aileron/hole/A11:5"


@pytest.mark.parametrize(
    ("address", "status", "words"),
    [
        ("/nowhere", 404, "There is no such page"),
        ("/assembly/ailerom", 404, "nearest: aileron"),
        ("/assembly/aileron?face=A-TG", 404, "nearest: A-T"),
        ("/assembly/aileron?hole=A11:99", 404, "numbers 1 to 37"),
        ("/assembly/aileron?hole=A11", 404, "row:number"),
        ("/assembly/aileron?turn=5", 422, "0, 1, 2 or 3 quarter turns"),
        ("/assembly/aileron?mirror=maybe", 422, "0 or 1"),
        ("/assembly/aileron/map?wide=big", 422, "200 to 4000 pixels"),
        ("/assembly/aileron/hole/A99:1", 404, "nearest: A9"),
        (f"{HOLE}/why/grip", 404, "nearest: grip_mm"),
        ("/findings/LENGTH-10", 404, "nearest: LENGTH-"),
        ("/assembly/aileron/map.pdf?paper=a0", 422, "letter or a4"),
        ("/assembly/aileron/map.pdf?paper=a4", 404, "rivetwright serve"),
    ],
)
def test_wrong_address_is_refused_in_plain_words(
    ask: Ask, address: str, status: int, words: str
) -> None:
    """What was asked, found and allowed, and what to do, with a way back."""
    answer = ask(address)
    assert answer.status_code == status
    assert words in answer.text
    assert 'href="/"' in answer.text


@pytest.mark.parametrize(
    "address",
    ["/assembly/<b>x", "/assembly/aileron?hole=<b>:1", "/findings/<b>", "/<b>"],
)
def test_what_was_asked_stays_text(ask: Ask, address: str) -> None:
    """Markup in an address is shown, never taken over into the page."""
    answer = ask(address)
    assert answer.status_code == 404
    assert "<b>" not in answer.text


def test_room_out_of_proportion_is_brought_into_it(ask: Ask) -> None:
    """A map for 9 px and one for 99,999 px are drawn for 200 and for 4,000."""
    for written, meant in (("9", "200"), ("99999", "4000")):
        pictures = [
            ask(f"/assembly/aileron/map?wide={px}&high=600").text
            for px in (written, meant)
        ]
        assert pictures[0] == pictures[1]


def test_kept_room_decides_the_first_picture(ask: Ask) -> None:
    """A phone that was here before gets its layout at once; nonsense is passed over."""
    usual = ask("/assembly/aileron").text
    phone = ask("/assembly/aileron", headers={"cookie": "room=358x371"}).text
    odd = ask("/assembly/aileron", headers={"cookie": "room=wide"}).text
    assert 'data-room="358x371"' in phone
    assert 'data-room="950x620"' in usual
    assert odd == usual


def test_json_is_the_whole_result(ask: Ask) -> None:
    """All 172 holes of the aileron, offered as a file."""
    answer = ask("/assembly/aileron/plan.json")
    assert len(json.loads(answer.content)["holes"]) == 172
    assert 'filename="aileron.json"' in answer.headers["content-disposition"]


def test_print_pack_comes_from_whoever_makes_it(demo_folder: Path) -> None:
    """The paper that was chosen is handed on, and what is made is handed back."""
    asked: list[tuple[int, str]] = []

    def pack_bytes(worked_plan: object, *, paper: str, heads: object) -> bytes:
        asked.append((len(worked_plan.worked.holes), paper))  # type: ignore[attr-defined]
        return b"%PDF made up"

    ask = ask_of(create_app(demo_folder, pack_bytes))
    answer = ask("/assembly/aileron/map.pdf?paper=a4")
    assert answer.content == b"%PDF made up"
    assert answer.headers["content-type"] == "application/pdf"
    assert asked == [(172, "a4")]
    assert "map.pdf?paper=letter" in ask("/assembly/aileron").text


def test_without_a_printer_no_print_link_is_shown(ask: Ask) -> None:
    """What cannot be had is not offered."""
    assert "map.pdf" not in ask("/assembly/aileron").text


def test_card_alone_is_the_card_of_the_page(ask: Ask) -> None:
    """The panel gets the same card, without the page round it."""
    card = ask(f"{HOLE}?part=card").text
    assert "<html" not in card
    assert "MS20426AD3-2.5" in card
    assert 'data-quantity="grip_mm"' in card


def test_after_a_bulletin_the_assembly_stands_beside_itself(ask: Ask) -> None:
    """SB-07 changes the root rib: both revisions are listed."""
    page = ask("/").text
    assert "after bulletin SB-07" in page
    assert ask("/assembly/root-rib-sb-07").status_code == 200


def test_style_without_script_lights_the_chosen_holes(ask: Ask) -> None:
    """Row A12 at step wing-22 is A12:18 to 20."""
    style = ask("/assembly/aileron/lit.css?face=A-BF&step=wing-22").text
    lit = [f"A12:{k}" for k in range(1, 38) if f'"A12:{k}"' in style]
    assert lit == ["A12:18", "A12:19", "A12:20"]
    assert ask("/assembly/aileron/lit.css?face=A-BF").text == ""


ROWS_ONLY = """\
format: rivetwright plan 1
project: {id: 0b3c5a4e-2f7d-4d1c-9b8a-6e5f4a3b2c1d, name: My aeroplane}
assembly: {id: bare, name: Rows only}
unit: mm
parts:
  11: {thickness: 0.8}
  12: {thickness: 1.0}
steps:
  s-1: {title: set them}
rows:
  R1: {count: 30, stack: [11, 12], callout: MS20470AD4-4, step: s-1}
"""


def test_rows_without_places_are_strips(tmp_path: Path) -> None:
    """No map, but every hole in order, its card, and a refusal of the map in words."""
    (tmp_path / "bare.yaml").write_text(ROWS_ONLY, encoding="utf-8")
    ask = ask_of(create_app(tmp_path))
    page = ask("/assembly/bare?hole=R1:30").text
    assert 'class="drawing row-strip"' in page
    assert "hole-map" not in page
    for k in range(1, 30):
        assert page.count(f'data-hole="R1:{k}"') == 2, "in the strip and in the table"
    assert "1.80 mm" in page
    answer = ask("/assembly/bare/map")
    assert answer.status_code == 404
    assert "rows that lie on no face" in answer.text


def test_mistake_of_ours_is_called_one(
    demo_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No blank page: it says that the files are untouched and what to do."""
    app = create_app(demo_folder)
    monkeypatch.setattr(app.state, "workshop", None)
    answer = ask_of(app)("/")
    assert answer.status_code == 500
    assert "AttributeError" in answer.text
    assert "your files are untouched" in answer.text
