"""Every key that the heads can give has its words, and no other."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from enum import Enum
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from rivetwright.engines import heads
from rivetwright.engines.heads import (
    again,
    blind,
    decide,
    entry,
    next_gates,
    pattern,
    sampling,
    square,
    suspect,
    verdict,
)
from rivetwright.engines.heads.removal import removal_card
from rivetwright.standards.table import read_table
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.head_words import (
    say_against,
    say_evidence,
    say_gate,
    say_not_again,
    say_question,
    say_reason,
    say_removal_step,
)
from tests.unit.engines.heads_made import IN, called, causes, head, judged, seen

LOOK = entry.Look


def values(words: type[Enum]) -> set[str]:
    """The words of an enumeration."""
    return {str(one.value) for one in words}


def written(name: str) -> Iterator[str]:
    """Keys written out where something of that name is made in the engine."""
    for path in Path(str(heads.__file__)).parent.glob("*.py"):
        for call in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(call, ast.Call) and name in ast.unparse(call.func).split("."):
                for one in ast.walk(call):
                    if isinstance(one, ast.Constant) and isinstance(one.value, str):
                        yield one.value


GROUPED = {f"off in one {kind}" for kind in pattern.GROUP_CAUSES}
LEANING = {"lean in one row", "lean in one person"}
RULES = {row.cells["name"] for row in read_table("head_rules").rows}
BREACHES = {"too narrow", "too wide", "too low", "too high"}
SECTIONS: dict[str, set[str]] = {
    "head_overall": {one.name for one in verdict.Overall},
    "head_standing": values(verdict.Standing),
    "head_breach": BREACHES,
    "head_look": values(entry.Look),
    "blind_look": values(blind.BlindLook),
    "head_gauge": values(entry.Side),
    "head_field": {*entry.ENDS, "metal"},
    "head_slip": values(entry.Slip),
    "head_cause": values(suspect.Cause),
    "head_test": set(suspect.TESTS.values()),
    "head_action": values(decide.Action),
    "not_again": set(written("NotAgain")),
    "head_gate": values(next_gates.Gate),
    "sampling_why": values(sampling.Why),
    "sampling_change": set(sampling.Conditions.__dataclass_fields__),
    "square_way": set(square.WAYS_TO_MEASURE),
}


@pytest.mark.parametrize("section", SECTIONS)
def test_a_section_has_just_the_words_it_needs(section: str) -> None:
    """Each key once, and nothing that is gone."""
    assert set(catalogue().section(section)) == SECTIONS[section]


def test_every_reason_and_every_step_has_words() -> None:
    """Reasons are written out or rules of the table; steps are written out."""
    rules = set(written("_rule"))
    assert rules <= RULES
    blocked = {"next size is blocked", "next size is not known to fit"}
    made = set(written("Reason")) | rules | blocked
    assert made == set(catalogue().section("head_reason"))
    steps = set(catalogue().section("removal_step"))
    assert steps <= set(written("RemovalStep"))


def test_every_evidence_has_words() -> None:
    """What is written out where something speaks for or against, and groups by kind."""
    spoken = {*written("speak_for"), *written("speak_against")}
    known = set(catalogue().section("head_evidence"))
    keys = {"lower than the limit", "higher than the limit", *GROUPED, *LEANING}
    assert known - spoken == keys
    assert {one for one in spoken if " " in one.strip()} - known == {
        "off in one ",
        "lean in one ",
    }


def test_sections_of_heads_are_in_no_other_file() -> None:
    """A later file of the catalogue takes no section from an earlier one."""
    folder = files("rivetwright.texts")
    names: list[str] = []
    for file in folder.iterdir():
        if file.name.startswith("en.") and file.name.endswith(".toml"):
            names += tomllib.loads(file.read_text("utf-8"))
    assert len(names) == len(set(names))


def whole(said: str) -> bool:
    """No brace, no bare nan, nothing empty."""
    return bool(said) and not re.search(r"[{}]|\bnan\b|None", said)


def shown(**more: Any) -> Iterator[tuple[str, str]]:
    """Every sentence on a spread of heads, in both units."""
    longer = called("MS20470AD4-4")
    looks = frozenset(LOOK)
    some = [
        judged(0.174, 0.061, longer),
        judged(0.240, 0.066, longer, looks=looks),
        judged(0.230, 0.045, called("MS20470AD4-5"), looks=(LOOK.BENT,)),
        judged(0.176, 0.076),
        judged(0.230, 0.034, called("MS20426AD3-4", 0.02, 0.02, how="dimple")),
        judged(0.230, 0.056, looks=(LOOK.CRACKED,)),
        judged(0.230, 0.045, called("MS20426AD4-4"), looks=(LOOK.PROUD,)),
    ]
    for one in some:
        for cause in causes(one).values():
            for evidence in (*cause.speaks_for, *cause.speaks_against):
                yield say_evidence(evidence), say_evidence(evidence, "mm")
        for against in (one.chosen, *one.others):
            yield say_against(against), say_against(against, "mm")


def test_sentences_are_whole_in_both_units() -> None:
    """No figure is missing from any sentence of these heads."""
    for inches, millimetres in shown():
        assert whole(inches), inches
        assert whole(millimetres), millimetres


def test_a_wrong_length_is_said_with_its_figures() -> None:
    """-3 in place of -4: .174 x .061 holds .946 D^3, -3 leaves .946, -4 1.446."""
    found = causes(judged(0.174, 0.061, called("MS20470AD4-4")))
    said = say_evidence(found[suspect.Cause.WRONG_LENGTH].speaks_for[0])
    assert "holds 0.946 D³" in said
    assert "a rivet -3 leaves 0.946" in said
    assert "called for 1.446" in said


def test_a_failed_set_is_said_with_its_limit() -> None:
    """.162 wide where .163 is asked, in inches and millimetres."""
    one = judged(0.162, 0.060).chosen
    assert say_against(one) == "fails MIL-R-47196A: .162 in wide, at least .163 in"
    assert "4.11 mm wide, at least 4.14 mm" in say_against(one, "mm")


def test_a_pattern_is_said() -> None:
    """Groups, steps, drifts and pauses have whole sentences."""
    bad = [
        seen(f"b{k}", 0.072, set_up="Y1", session="s", people="p", tin="t", row="A",
             width_in=0.160, lean_deg=9.0, pause_s=5.0)
        for k in range(5)
    ]  # fmt: skip
    good = [
        seen(f"g{k}", set_up="Y1" if k < 5 else "Y2", row="B", pause_s=60.0)
        for k in range(12)
    ]
    found = pattern.pattern_suspects([*good[:5], *bad, *good[5:]], (IN / 64,))
    assert found
    for one in found:
        for evidence in (*one.speaks_for, *one.speaks_against):
            assert whole(say_evidence(evidence))


def test_a_question_says_what_such_a_rivet_has() -> None:
    """.63 high: 0.15 D = .019 to 1.6 D = .200."""
    (asked,) = judged(0.194, 0.63).questions
    assert say_question(asked) == "Height .630 in: such a rivet has .019 in to .200 in."
    (metal,) = judged(0.130, 0.030).questions
    assert say_question(metal).startswith("This head holds 0.217 times")


def test_a_reason_names_what_it_is_about() -> None:
    """A look by its words; squeezing again with its figures."""
    about = decide.Reason("seen", about="tail bent over")
    assert say_reason(about) == "tail bent over: it does not stay"
    little = again.NotAgain("too little metal", 0.0455 * IN, 0.050 * IN)
    reason = decide.Reason("not again", about=little.key)
    assert "go to .046 in, at least .050 in" in say_reason(reason, little)
    assert say_not_again(again.NotAgain("not measured")).startswith("width")
    assert say_reason(decide.Reason("hole too large")).startswith("the hole")


def test_a_gate_and_a_removal_step_are_said() -> None:
    """2.5 of 2 D; No. 30 to the depth of the head."""
    gate = next_gates.Gated(next_gates.Gate.EDGE, True, 2.5, 2.0)
    assert say_gate(gate) == ("edge distance 2.5 D of the next size, at least 2 D")
    said = [say_removal_step(one) for one in removal_card(called()).steps]
    assert "Drill No. 30 (.129 in) into the head alone, .054 in deep." in said
    assert all(whole(one) for one in said)


def test_a_blind_rivet_is_said_by_its_look() -> None:
    """What was seen stands as the evidence."""
    code = blind.KitBlindCode("BD", "dome", 3, 1, 3)  # type: ignore[arg-type]
    moves = blind.BlindHead(frozenset({blind.BlindLook.STEM_LOOSE}))
    (first, *_) = blind.blind_suspects(blind.judge_blind(moves, code, 2.0))
    assert say_evidence(first.speaks_for[0]) == "stem moves when pressed"
    assert head(0.1, 0.1).width_mm == pytest.approx(0.1 * IN)
