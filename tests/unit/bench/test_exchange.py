"""Plans brought in and given out by the ending of a file."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rivetwright.bench.exchange import bring_in, give_out, give_template
from rivetwright.errors import Refusal
from rivetwright.intake.plan_file import read_plan
from rivetwright.model.opening import Opening

FLAP = Path(__file__).parents[3] / "examples" / "ostrel" / "flap.yaml"


@pytest.mark.parametrize("name", ["flap.xlsx", "flap.zip", "tables", "flap.yaml"])
def test_plan_goes_out_and_comes_back(name: str, tmp_path: Path) -> None:
    """Each kind of file holds the whole of the demo's flap."""
    plan = read_plan(FLAP)
    give_out(plan, tmp_path / name)
    read = bring_in(tmp_path / name)
    assert replace(read, file="") == replace(plan, file="")


def test_nothing_is_written_over_unasked(tmp_path: Path) -> None:
    """A second template stops; with the word for it, it is written."""
    out = tmp_path / "t.xlsx"
    give_template(out)
    with pytest.raises(Refusal, match="a file of that name"):
        give_template(out)
    assert give_template(out, replace=True) == [out]
    assert [path.name for path in tmp_path.iterdir()] == ["t.xlsx"]


def test_sheets_of_an_older_folder_do_not_stay(tmp_path: Path) -> None:
    """Heads.csv of another plan would be read too: it stops, or goes when told to."""
    (tmp_path / "Heads.csv").write_text("hole\nR9:1\n", encoding="utf-8")
    plan = replace(read_plan(FLAP), opening=Opening())
    with pytest.raises(Refusal, match="a file of that name"):
        give_out(plan, tmp_path)
    give_out(plan, tmp_path, replace=True)
    assert not (tmp_path / "Heads.csv").exists()
    assert replace(bring_in(tmp_path), file="") == replace(plan, file="")


def test_unknown_endings_are_refused(tmp_path: Path) -> None:
    """A word processor's file is neither read nor written."""
    with pytest.raises(Refusal, match=r"ending in \.doc"):
        bring_in(tmp_path / "a.doc")
    with pytest.raises(Refusal, match=r"the ending \.doc"):
        give_out(read_plan(FLAP), tmp_path / "a.doc")
