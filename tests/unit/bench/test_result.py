"""A worked-out plan as JSON."""

from __future__ import annotations

import json
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from rivetwright.bench.hole import GROUPS
from rivetwright.bench.result import result
from rivetwright.bench.result_form import FIGURES, FORMAT, STATES, result_schema
from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import REGISTRY
from rivetwright.model.opening import Hold, Opening
from rivetwright.model.plan import SKETCHED, HoleRange, OpenHoles, RuleSets, Sheet
from rivetwright.standards.source import Status
from rivetwright.texts.catalogue import catalogue
from tests.unit.bench.plans import BLIND, INCH, SHEET_MM, face, row, straight, worked


def say(finding: Finding) -> dict[str, str]:
    """Words of a finding, of no account here."""
    return {"found": finding.code, "allowed": "less", "do": "ask"}


def written(worked_plan: WorkedPlan) -> dict[str, Any]:
    """The result as a program reads it back."""
    read: dict[str, Any] = json.loads(json.dumps(result(worked_plan, say)))
    return read


def faults(read: dict[str, Any]) -> list[str]:
    """Where a result does not keep to the schema."""
    return [
        one.message for one in Draft202012Validator(result_schema()).iter_errors(read)
    ]


PLANS = {
    "no holes": worked(),
    "no places": worked(row("R", "MS20470AD4-4.5"), row("S", BLIND)),
    "one sheet": worked(row("R", "MS20470AD4-4.5", "skin")),
    "sketched": worked(
        straight("R", 30, 12, "MS20470AD4-4.5", places=SKETCHED), faces=(face(),)
    ),
    "on a face": worked(straight("R", 30, 12, "MS20470AD4-4.5"), faces=(face(),)),
    "no figure": worked(row("R", "NAS1097AD4-4.5")),
    "oversize": worked(
        row("R", "NAS1241AD4-4.5"),
        rule_sets=RuleSets(
            whole_lengths_32nds=(5,), oversize_shanks_mm=(("NAS1241AD4", INCH / 7),)
        ),
    ),
}


@pytest.mark.parametrize("name", PLANS)
def test_every_kind_of_plan_keeps_to_the_schema(name: str) -> None:
    """Nothing is left out and nothing is added, whatever the plan does not say."""
    assert faults(written(PLANS[name])) == []


def test_schema_is_one_that_validators_take() -> None:
    """The schema itself keeps to its dialect."""
    Draft202012Validator.check_schema(result_schema())


def test_a_missing_figure_is_seen_by_the_schema() -> None:
    """The schema asks for every key."""
    read = written(PLANS["on a face"])
    del read["holes"][0]["edge"]["distance_mm"]
    read["holes"][1]["colour"] = "red"
    assert len(faults(read)) == 2


def test_json_holds_every_figure_of_a_hole_card() -> None:
    """What the screen shows of a hole a program can read too."""
    assert set(FIGURES.values()) == {name for _, names in GROUPS for name in names}
    assert all(REGISTRY[name].output == name for name in FIGURES.values())


def test_figures_of_a_hole_by_hand() -> None:
    """Two sheets of 1.016 mm, a 1/8 hole 12 mm up a skin and 7 mm up its rib.

    7 / 3.175 = 2.2047 D; the neighbour is 20 mm = 6.2992 D away.
    """
    hole = written(PLANS["on a face"])["holes"][0]
    assert hole["grip_mm"] == pytest.approx(2 * SHEET_MM)
    assert [sheet["part"] for sheet in hole["stack"]] == ["skin", "rib"]
    assert hole["preparation"] == ["plain", "plain"]
    assert hole["edge"] == {
        "part": "rib",
        "edge": "lower (v0)",
        "distance_mm": pytest.approx(7),
        "ratio": pytest.approx(2.2047, abs=5e-5),
    }
    assert hole["pitch"] == {
        "neighbour": "R:2",
        "distance_mm": pytest.approx(20),
        "ratio": pytest.approx(6.2992, abs=5e-5),
    }
    assert hole["wanted_length_code"] == 4.5
    assert 4.5 in hole["legal_length_codes"]
    assert hole["head"]["width_low_mm"] < hole["head"]["width_mm"]
    assert hole["head"]["width_mm"] < hole["head"]["width_high_mm"]


def test_what_is_not_known_is_null() -> None:
    """A row without places has neither edge nor pitch; a solid rivet no blind grip."""
    hole = written(PLANS["no places"])["holes"][0]
    assert hole["x_mm"] is None
    assert hole["face"] is None
    assert set(hole["edge"].values()) == {None}
    assert set(hole["blind"].values()) == {None}


def test_open_holes_and_holds_say_why() -> None:
    """Why a hole waits stands beside its state."""
    opened = OpenHoles("O1", (HoleRange("R", 3, 3),), "shared with the bracket")
    hold = Hold("H1", ("R:2",), "asked the kit supplier", "question")
    read = written(
        worked(
            row("R", "MS20470AD4-4.5"),
            open_holes=(opened,),
            opening=Opening(holds=(hold,)),
        )
    )
    assert [(hole["state"], hole["waits_because"]) for hole in read["holes"]] == [
        ("planned", None),
        ("hold", "asked the kit supplier"),
        ("open", "shared with the bracket"),
    ]


def test_callout_of_an_open_hole_is_what_is_set_there_later() -> None:
    """The hole that waits gets a longer rivet through three sheets."""
    later = row("L", "MS20470AD4-6").callout
    stack = (Sheet("skin"), Sheet("rib"), Sheet("rib"))
    opened = OpenHoles(
        "O1", (HoleRange("R", 3, 3),), "waits", stack=stack, callout=later
    )
    read = written(worked(row("R", "MS20470AD4-4.5"), open_holes=(opened,)))
    assert [hole["callout"] for hole in read["holes"]] == [
        "MS20470AD4-4.5",
        "MS20470AD4-4.5",
        "MS20470AD4-6",
    ]
    assert [len(hole["stack"]) for hole in read["holes"]] == [2, 2, 3]


def test_finding_tells_holes_fields_and_words() -> None:
    """A -2 in a grip of 2.032 mm stops; its figures and words stand beside it."""
    read = written(worked(row("R", "MS20470AD4-2")))
    assert read["stops"] is True
    first = read["findings"][0]
    assert (first["code"], first["severity"]) == ("LENGTH-01", "stop")
    assert first["holes"] == ["R:1", "R:2", "R:3"]
    assert first["fields"]["grip_mm"] == pytest.approx(2 * SHEET_MM)
    assert (first["found"], first["do"]) == ("LENGTH-01", "ask")
    assert [hole["findings"] for hole in read["holes"]] == [
        ["LENGTH-01", "PLACE-02"]
    ] * 3


def test_nought_in_a_finding_is_nought_and_not_null() -> None:
    """A sketched row has a tolerance of 0 mm, which is a figure."""
    read = written(PLANS["sketched"])
    (finding,) = [one for one in read["findings"] if one["code"] == "PLACE-01"]
    assert finding["fields"]["place_tolerance_mm"] == 0.0


def test_rules_tell_the_sources_of_their_rows() -> None:
    """A looked-up limit names the document of the row it came from in this plan."""
    rules = written(PLANS["no places"])["rules"]
    limit = rules["head_width_min_mm"]
    assert limit["source"].startswith("MIL-R-47196A")
    assert limit["status"] == Status.SECOND_HAND
    assert rules["grip_mm"]["status"] == Status.READ
    assert rules["grip_mm"]["inputs"] == ["sheet_thickness_mm", "sealant_mm"]


def test_rule_sets_name_the_choices() -> None:
    """Which sets were followed, what comes in whole sizes, what was entered."""
    sets = written(PLANS["oversize"])["rule_sets"]
    assert sets["head_limits"] == "MIL-R-47196A"
    assert sets["whole_lengths_32nds"] == [5]
    assert sets["oversize_shanks_mm"] == {"NAS1241AD4": pytest.approx(25.4 / 7)}


def test_form_and_states_are_named() -> None:
    """The result says its own form; each state a hole can have has its words."""
    assert written(PLANS["no holes"])["format"] == FORMAT
    assert set(STATES) == set(catalogue().section("state"))


def test_codes_at_a_hole_stand_once_and_the_gravest_first() -> None:
    """A -2 that is also a twin of a -4.5: stop before check, each code once."""
    rows = (row("R", "MS20470AD4-2"), row("S", "MS20470AD4-4.5"))
    first = written(worked(*rows))["holes"][0]
    assert first["findings"] == ["LENGTH-01", "LENGTH-05", "PLACE-02"]
