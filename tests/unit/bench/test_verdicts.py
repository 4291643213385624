"""One verdict on every callout."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.bench.open import open_plan
from rivetwright.bench.verdicts import OF_FINDING, VERDICTS, verdict_at, verdicts
from rivetwright.engines.checks import CHECKS
from rivetwright.model.plan import RuleSets, Sheet
from tests.unit.bench.plans import BLIND, row, worked

EXAMPLES = Path(__file__).parents[3] / "examples" / "ostrel"


@pytest.mark.parametrize(
    ("length", "verdict"),
    [
        ("4.5", "as handbook"),
        ("4", "away from handbook"),
        ("2", "too short"),
        ("9", "too long"),
    ],
)
def test_length_of_a_solid_rivet(length: str, verdict: str) -> None:
    """Grip 2.032 + 1.5 x 3.175 = 6.79 mm = 4.28 sixteenths, nearest -4.5.

    A -2 is 3.175 mm long, so 1.1 mm stand out: less than any head takes. Of a -9
    12 mm stand out: over-driven.
    """
    said = verdicts(worked(row("R", f"MS20470AD4-{length}")))
    assert said == [verdict] * 3


def test_blind_rivet_in_and_out_of_its_grip() -> None:
    """A code for 1.5875 to 3.175 mm holds two sheets of 1.016 mm, not four."""
    rows = (row("IN", BLIND), row("OUT", BLIND, "skin", "rib", "skin", "rib"))
    assert verdicts(worked(*rows)) == ["grip fits"] * 3 + ["grip outside"] * 3


def test_twins_that_differ() -> None:
    """Of two rows with the same sheets the one further from -4.5 is asked about."""
    said = verdicts(worked(row("R", "MS20470AD4-4.5"), row("S", "MS20470AD4-4")))
    assert said == ["as handbook"] * 3 + ["twins differ"] * 3


def test_length_the_kit_does_not_supply() -> None:
    """A half size where 1/8 comes in whole lengths only."""
    sets = RuleSets(whole_lengths_32nds=(4,))
    said = verdicts(worked(row("R", "MS20470AD4-4.5"), rule_sets=sets))
    assert set(said) == {"not supplied"}


def test_what_was_not_judged_says_so() -> None:
    """One sheet alone, and a head whose dimensions no source gives."""
    alone = row("R", "MS20470AD4-4.5", "skin")
    reduced = row(
        "S",
        "NAS1097AD4-4.5",
        stack=(Sheet("skin", "dimple"), Sheet("rib", "dimple")),
    )
    assert set(verdicts(worked(alone))) == {"no verdict"}
    assert set(verdicts(worked(reduced))) == {"no verdict"}


@pytest.mark.parametrize("file", ["aileron", "root-rib", "flap"])
def test_one_hole_alone_gets_the_same_verdict(file: str) -> None:
    """The verdict of a hole card is the one of the whole list."""
    worked_plan = open_plan(EXAMPLES / f"{file}.yaml")
    said = verdicts(worked_plan)
    assert [verdict_at(worked_plan, k) for k in range(len(said))] == said


def test_every_code_on_length_and_grip_has_a_verdict() -> None:
    """A new check of the callout must say what it means for the verdict."""
    codes = {code for code in CHECKS if code.startswith(("LENGTH-", "GRIP-"))}
    assert codes == set(OF_FINDING)
    assert len(VERDICTS) == len(set(VERDICTS))
