"""The catalogue has words for everything the program can say, and no other words."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from rivetwright.bench.hole import GROUPS
from rivetwright.bench.verdicts import VERDICTS
from rivetwright.engines import rules
from rivetwright.engines.checks import CHECKS, Finding
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.reach import limits, preparing
from rivetwright.engines.rules import REGISTRY
from rivetwright.errors import NotFound
from rivetwright.model.plan import FAR, NEAR, PREPARATIONS
from rivetwright.model.severity import Severity
from rivetwright.standards.source import Status
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import say_finding, say_witness

NEVER = re.compile(r"\b(invalid|error|please)\b", re.IGNORECASE)
PLACEHOLDER = re.compile(r"\{(\w+)\}")
SENTENCES = ("title", "found", "allowed", "do")
# What a working may show: what rules put out, and what they need of each other.
QUANTITIES = {name for rule in REGISTRY for name in (rule.output, *rule.inputs)}
SECTIONS: dict[str, set[str]] = {
    "severity": set(Severity),
    "severity_means": set(Severity),
    "state": {"planned", "drilled", "open", "hold", "set"},
    "preparation": set(PREPARATIONS),
    "head_side": {NEAR, FAR},
    "verdict": set(VERDICTS),
    "status": set(Status),
    "group": {title for title, _ in GROUPS},
    "kind": {rule.kind for rule in REGISTRY},
    "finding": set(CHECKS),
    "in_the_way": {*limits.EVERY_LIMIT, *preparing.EVERY_LIMIT},
    "quantity": QUANTITIES,
    "quantity_about": QUANTITIES,
}


def texts(words: Mapping[str, Any], at: str = "") -> Iterator[tuple[str, str]]:
    """Every sentence of the catalogue with its place."""
    for key, value in words.items():
        if isinstance(value, str):
            yield f"{at}{key}", value
        else:
            yield from texts(value, f"{at}{key}.")


@pytest.mark.parametrize("section", SECTIONS)
def test_a_section_has_just_the_words_it_needs(section: str) -> None:
    """Each code, quantity, state, kind and status once, and nothing that is gone."""
    assert set(catalogue().section(section)) == SECTIONS[section]


def test_a_finding_has_four_sentences() -> None:
    """Title, found, allowed and do for every code; none empty, the title the check's.

    The title stands in the catalogue so that it can be said in another language.
    """
    for code, words in catalogue().section("finding").items():
        assert tuple(words) == SENTENCES, code
        assert all(words.values()), code
        assert words["title"] == CHECKS[code].title


def test_no_text_has_a_word_we_never_use() -> None:
    """Neither invalid nor error nor please stands anywhere."""
    found = [at for at, text in texts(catalogue().words) if NEVER.search(text)]
    assert found == []


def test_every_text_is_said_whole() -> None:
    """No text is empty, and none begins or ends in a blank."""
    found = [at for at, text in texts(catalogue().words) if text != text.strip()]
    assert found == []
    assert all(text for _, text in texts(catalogue().words))


@pytest.mark.parametrize("code", CHECKS)
def test_every_figure_of_a_sentence_is_one_the_check_gives(
    findings: dict[str, list[Finding]], code: str
) -> None:
    """What stands in braces is a field of each such finding, on demo and made plans."""
    assert findings[code], "no plan of these tests has it"
    words = catalogue().section("finding")[code]
    asked = {name for said in SENTENCES for name in PLACEHOLDER.findall(words[said])}
    for finding in findings[code]:
        assert asked <= set(finding.fields)


@pytest.mark.parametrize("code", CHECKS)
def test_every_finding_is_said_in_both_units(
    findings: dict[str, list[Finding]], code: str
) -> None:
    """No brace, no bare nan and no forbidden word is left in what a person reads."""
    for finding in findings[code]:
        for words in (say_finding(finding), say_finding(finding, "mm")):
            for said in (words.title, words.found, words.allowed, words.do):
                assert said
                assert not re.search(r"[{}]|\bnan\b", said)
                assert not NEVER.search(said)


def test_sentences_of_a_finding_know_their_figures(
    findings: dict[str, list[Finding]],
) -> None:
    """A figure that a finding speaks of is known: no sentence shows a bare dash."""
    for code in set(CHECKS) - {"GRIP-01"}:
        for finding in findings[code]:
            words = say_finding(finding)
            for said in (words.found, words.allowed, words.do):
                assert not re.search(r"(^| )-( |$|[,;])", said), (code, said)


def test_every_witness_is_said(
    demo_plans: list[WorkedPlan],
    reached_plans: list[WorkedPlan],
    findings: dict[str, list[Finding]],
) -> None:
    """What any rule rests on is a sentence, at every kind of hole these plans have.

    The catalogue has no words for a witness that no rule gives.
    """
    plans = [*demo_plans, *reached_plans]
    plans += [work_out(some[0].worked.plan) for some in findings.values()]
    seen: set[str] = set()
    for plan in plans:
        worked = plan.worked
        kinds = {int(k): hole for hole, k in enumerate(worked.stacks.class_of)}
        holes = {*kinds.values(), *(one.holes[0] for one in plan.findings)}
        for rule in REGISTRY:
            for hole in sorted(holes):
                witness = rule.witness(worked, hole) if rule.witness else None
                if witness is not None:
                    said = say_witness(witness)
                    assert said
                    assert not re.search(r"[{}]|\bnan\b", said)
                    key = "codes" if "codes" in witness.fields else "lengths"
                    seen.add(key if witness.what == "candidates" else witness.what)
    assert seen == set(catalogue().section("witness"))


def witnesses() -> Iterator[tuple[str, set[str]]]:
    """Kind and fields of every witness that stands written out in the engines."""
    for path in sorted(Path(rules.__file__).parent.rglob("*.py")):
        for call in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(call, ast.Call) or ast.unparse(call.func) != "Witness":
                continue
            what, fields = call.args[:2]
            if isinstance(what, ast.Constant) and isinstance(fields, ast.Dict):
                keys = {k.value for k in fields.keys if isinstance(k, ast.Constant)}
                yield str(what.value), {str(key) for key in keys}


def test_every_witness_in_the_code_has_words() -> None:
    """A kind that no plan of these tests happens to have is seen all the same."""
    found = list(witnesses())
    assert len(found) > 5
    for what, fields in found:
        if what == "candidates":
            what = "codes" if "codes" in fields else "lengths"
        sentence = catalogue().word("witness", what)
        assert set(PLACEHOLDER.findall(sentence)) <= fields, what


def test_a_missing_word_is_refused_with_the_nearest_one() -> None:
    """A face that asks for words that are not there is told, never left blank."""
    with pytest.raises(NotFound, match="nearest: drilled"):
        catalogue().word("state", "driled")
    with pytest.raises(NotFound, match="look up the words for nowhere set"):
        catalogue().word("nowhere", "set")
