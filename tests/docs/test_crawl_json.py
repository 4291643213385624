"""Every figure in the demo's JSON opens: its working runs and gives that figure."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from rivetwright.bench.open import open_folder
from rivetwright.bench.result import result
from rivetwright.bench.result_form import result_schema
from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import REGISTRY
from rivetwright.engines.worked import Working, working
from rivetwright.standards.source import Status
from rivetwright.texts.say import say_finding

ROOT = Path(__file__).parents[2]
DEMO = ("aileron", "root-rib", "flap", "root-rib-sb-07")


def say(finding: Finding) -> dict[str, str]:
    """The words of a finding as the command line gives them."""
    words = say_finding(finding)
    return {"found": words.found, "allowed": words.allowed, "do": words.do}


@pytest.fixture(scope="module")
def plans() -> dict[str, WorkedPlan]:
    """The demo's assemblies, the one after the bulletin among them."""
    project = open_folder(ROOT / "examples" / "ostrel")
    return {one.key: one.worked_plan for one in project.assemblies}


@pytest.fixture(scope="module")
def written(plans: dict[str, WorkedPlan]) -> dict[str, dict[str, Any]]:
    """Their JSON, as a program reads it back."""
    return {
        key: json.loads(json.dumps(result(one, say), allow_nan=False))
        for key, one in plans.items()
    }


def leaves(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every number of a hole with its place; lists count under their own name."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from leaves(inner, f"{path}.{name}" if path else name)
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for name in value[0]:
            yield from leaves([one[name] for one in value], f"{path}.{name}")
    elif isinstance(value, list) or (
        isinstance(value, int | float) and not isinstance(value, bool)
    ):
        yield path, value


def opened_value(opened: Working) -> Any:
    """A working's value in the form the JSON has it."""
    if opened.name == "legal_length_codes":
        return [float(code) for code in opened.value.split()]
    if opened.name == "preparation_words":
        return opened.value.split(", ")
    if opened.name == "sheet_thickness_mm":
        return [float(mm) for mm in opened.value if mm == mm]
    return float(opened.value)


@pytest.mark.parametrize("key", DEMO)
def test_json_keeps_to_the_published_schema(
    written: dict[str, dict[str, Any]], key: str
) -> None:
    """Every key is there, none is more than the schema knows."""
    published = (ROOT / "schemas" / "plan-result.schema.json").read_text("utf-8")
    assert json.loads(published) == result_schema()
    validator = Draft202012Validator(result_schema())
    assert [one.message for one in validator.iter_errors(written[key])] == []


@pytest.mark.parametrize("key", DEMO)
def test_every_figure_opens_and_is_the_same(
    plans: dict[str, WorkedPlan], written: dict[str, dict[str, Any]], key: str
) -> None:
    """Each number under each hole has a rule whose working gives that very number."""
    worked, read = plans[key].worked, written[key]
    for k, hole in enumerate(read["holes"]):
        seen = dict(leaves(hole))
        for place in ("findings", "stack.part", "stack.preparation"):
            seen.pop(place)
        for place, value in seen.items():
            opened = working(worked, read["figures"][place], k)
            assert opened_value(opened) == value, (hole["name"], place)


@pytest.mark.parametrize("key", DEMO)
def test_every_rule_of_the_json_opens(
    plans: dict[str, WorkedPlan], written: dict[str, dict[str, Any]], key: str
) -> None:
    """Every quantity that `rules` names has a working at the first and last hole."""
    worked, rules = plans[key].worked, written[key]["rules"]
    assert set(rules) == {rule.output for rule in REGISTRY}
    for name, rule in rules.items():
        for hole in (0, len(worked.holes) - 1):
            opened = working(worked, name, hole)
            assert list(REGISTRY[name].inputs) == rule["inputs"]
            assert opened.formula == rule["formula"]
            assert str(opened.source) in rule["source"].split(" | "), name


@pytest.mark.parametrize("key", DEMO)
def test_every_finding_opens(
    plans: dict[str, WorkedPlan], written: dict[str, dict[str, Any]], key: str
) -> None:
    """What a finding found can be opened at each of its holes and reads the same."""
    worked = plans[key].worked
    for finding in written[key]["findings"]:
        name = finding["quantity"]
        for hole in finding["holes"]:
            value = working(worked, name, worked.holes.index(hole)).value
            if not isinstance(value, str):
                assert float(value) == pytest.approx(finding["fields"][name], abs=1e-6)


@pytest.mark.parametrize("key", DEMO)
def test_status_of_a_hole_is_the_weakest_of_its_workings(
    plans: dict[str, WorkedPlan], written: dict[str, dict[str, Any]], key: str
) -> None:
    """Worked out for all holes at once, and the same as hole by hole."""
    worked, read = plans[key].worked, written[key]
    for k in range(0, len(read["holes"]), 7):
        hole, known = read["holes"][k], []
        for place, name in read["figures"].items():
            value: Any = hole
            for step in place.split("."):
                value = value[0] if isinstance(value, list) else value
                value = value[step]
            if value not in (None, []):
                known.append(working(worked, name, k).status)
        assert hole["status"] == max(known, key=lambda one: one.rank), hole["name"]


@pytest.mark.parametrize("key", DEMO)
def test_governing_edge_and_neighbour_are_the_witnesses(
    plans: dict[str, WorkedPlan], written: dict[str, dict[str, Any]], key: str
) -> None:
    """Which edge and which neighbour govern is what the workings rest on."""
    worked = plans[key].worked
    for k, hole in enumerate(written[key]["holes"]):
        edge = working(worked, "edge_distance_mm", k).witness
        fields = edge.fields if edge else {"part": None, "edge": None}
        assert hole["edge"]["part"] == fields["part"]
        assert hole["edge"]["edge"] == fields["edge"]
        other = working(worked, "pitch_mm", k).witness
        assert hole["pitch"]["neighbour"] == (other.fields["hole"] if other else None)


def test_statuses_are_words_of_the_one_list(
    written: dict[str, dict[str, Any]],
) -> None:
    """Rules and holes use the list of statuses and no other word."""
    words = {str(one) for one in Status}
    for read in written.values():
        assert {rule["status"] for rule in read["rules"].values()} <= words
        assert {hole["status"] for hole in read["holes"]} <= words
