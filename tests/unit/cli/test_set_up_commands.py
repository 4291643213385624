"""The command for set-ups: a table, a card, JSON, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rivetwright.cli.main import run
from tests.unit.drawing.pictures import SMALL

Said = pytest.CaptureFixture[str]


def told(capsys: Said, *arguments: str, code: int = 0) -> str:
    """What the command writes; it must end with this code."""
    with pytest.raises(SystemExit) as ended:
        run(["set-ups", *arguments])
    assert ended.value.code == code
    caught = capsys.readouterr()
    return " ".join((caught.err if code else caught.out).split())


@pytest.fixture
def aileron(root: Path) -> str:
    """The demo's aileron."""
    return str(root / "examples" / "ostrel" / "aileron.yaml")


@pytest.fixture(autouse=True)
def wide(monkeypatch: pytest.MonkeyPatch) -> None:
    """A window in which every column finds room."""
    monkeypatch.setenv("COLUMNS", "220")


def test_every_set_up_has_a_line(capsys: Said, aileron: str) -> None:
    """Step, holes, yoke, pieces, gap; what stops; what no squeezer sets; dimples."""
    said = told(capsys, aileron)
    assert "Y2 shim .010, cup 1/8 .230, flat .250 .270 .051 to .074" in said
    assert "LENGTH-01" in said
    assert "not by squeezer" in said
    assert "male 3/32 .400, female 3/32 .353" in said
    assert "fingers off" in said


def test_a_plan_without_dimples_has_no_table_of_them(
    capsys: Said, aileron: str, tmp_path: Path
) -> None:
    """Two plain sheets, in millimetres."""
    (tmp_path / "plain.yaml").write_text(SMALL.format(title="two sheets"), "utf-8")
    shop = str(Path(aileron).with_name("shop.yaml"))
    said = told(capsys, str(tmp_path / "plain.yaml"), "--shop", shop)
    assert "Gap mm" in said
    assert "Dimples in" not in said


def test_a_hole_has_its_card(capsys: Said, aileron: str) -> None:
    """Pieces, what it should measure, the first rivet in order, the cautions."""
    said = told(capsys, aileron, "A5:1")
    assert "Die on the ram cup 1/8, .230 in long (cup 1/8, 5.84 mm long)" in said
    assert "Head width .188 to .244 in" in said
    assert "1. Scrap of the same sheets" in said
    assert "Air off before dies" in said


def test_a_card_of_a_hole_that_stops_says_so(capsys: Said, aileron: str) -> None:
    """A11's callout is too short."""
    assert "The hole itself stops: LENGTH-01" in told(capsys, aileron, "A11:1")


def test_another_yoke_may_be_asked_for(capsys: Said, aileron: str) -> None:
    """Y4 was never measured: nothing to put in."""
    said = told(capsys, aileron, "A5:1", "--yoke", "Y4")
    assert "Closed height not measured" in said
    assert "Put in" not in said


def test_json_is_whole(capsys: Said, aileron: str) -> None:
    """Of one hole its line alone."""
    every = json.loads(told(capsys, aileron, "--json"))
    one = json.loads(told(capsys, aileron, "A5:1", "--json"))
    assert one["set_ups"][0] in every["set_ups"]
    assert len(one["set_ups"]) == 1


def test_a_shop_that_is_not_there_is_refused(capsys: Said, aileron: str) -> None:
    """The file is named."""
    assert "none.yaml" in told(capsys, aileron, "--shop", "none.yaml", code=2)


def test_a_blind_rivet_is_refused(capsys: Said, aileron: str) -> None:
    """A12 is pulled."""
    assert "BD4-2" in told(capsys, aileron, "A12:1", code=2)
