"""A judged head in words: nothing missing, both units, no word without a use."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from importlib.resources import files
from pathlib import Path

import pytest

from rivetwright.bench.heads import BY_EYE, OTHER, JudgedHead
from rivetwright.engines.heads.cause import suspects
from rivetwright.engines.heads.decide import decide
from rivetwright.engines.heads.entry import Look
from rivetwright.engines.heads.verdict import HeadVerdict
from rivetwright.engines.heads.volume import Amount, metal_of
from rivetwright.record.kinds import HeadChecked
from rivetwright.record.state import HeadSeen
from rivetwright.texts import head_card
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.head_card import say_head, say_limits
from rivetwright.texts.head_words import look_words
from tests.unit.engines.heads_made import called, judged

BREACHES = {"too narrow", "too wide", "too low", "too high"}


def of(verdict: HeadVerdict) -> JudgedHead:
    """A verdict as the bench has it."""
    head, causes = verdict.head, suspects(verdict)
    body = HeadChecked(
        ("row:1",), head.width_mm, head.height_mm, tuple(map(str, head.looks))
    )
    return JudgedHead(
        hole=0,
        name="A1:1",
        hole_id="row:1",
        seen=HeadSeen("f", "", "builder", body),
        called=verdict.called,
        verdict=verdict,
        metal=metal_of(head, verdict.called),
        causes=causes,
        decision=decide(verdict, causes),
        blind=(),
        is_blind=False,
        settled=None,
        is_there=True,
    )


def sentences(words: object) -> Iterator[str]:
    """Every text in the words of a head."""
    if isinstance(words, str):
        yield words
    elif isinstance(words, tuple):
        for one in words:
            yield from sentences(one)
    elif is_dataclass(words) and not isinstance(words, type):
        for field in fields(words):
            yield from sentences(getattr(words, field.name))


HEADS = {
    "right": (0.194, 0.060, ()),
    "high": (0.176, 0.076, ()),
    "low": (0.230, 0.045, ()),
    "short": (0.150, 0.052, ()),
    "every look": (0.194, 0.060, tuple(Look)),
    "width alone": (0.194, None, ()),
    "asked about": (0.630, 0.060, ()),
}


@pytest.mark.parametrize("which", HEADS)
def test_words_are_whole_in_both_units(which: str) -> None:
    """No brace, no nan, and millimetres where the project is in millimetres."""
    width, height, looks = HEADS[which]
    one = of(judged(width, height, looks=looks))
    for system in ("in", "mm"):
        words = say_head(one, system)  # type: ignore[arg-type]
        assert words.verdict
        for said in sentences(words):
            assert not re.search(r"[{}]|\bnan\b|None", said), said
    assert " mm high" in say_head(of(judged(0.176, 0.076)), "mm").verdict


def test_verdict_is_one_line_with_its_set() -> None:
    """.076 high against .070: what, by how much, by which set, and whose word it is."""
    words = say_head(of(judged(0.176, 0.076)))
    assert words.verdict == (
        "Not as it should be: .076 in high, at most .070 in (MIL-R-47196A)"
    )
    assert words.tone == "stop"
    assert words.status == "SECOND-HAND"
    assert len(words.sources) == 1


def test_metal_is_worked_line_by_line() -> None:
    """.194 x .060 of a 1/8: .194^2 x .060 / .125^3 = 1.156 D^3."""
    words = say_head(of(judged(0.194, 0.060)))
    first = words.metal[0]
    assert first.main == "1.156 D³"
    assert first.how == "(.194 in)² × .060 in / (1/8 in)³"


def test_limits_are_said_as_their_set_prints_them() -> None:
    """Between two heights, at least one height, or nothing for a size not printed."""
    eighth = called()
    assert say_limits(eighth).words == "at least .163 in wide, .050 in to .070 in high"
    handbook = say_limits(eighth, "MIL-HDBK-5H").words
    assert handbook.startswith("at least .163 in wide, at least .0")
    assert say_limits(called("MS20470AD3-3"), "wartime handbook").words == ""


def test_every_word_of_the_card_is_used() -> None:
    """A sentence that nothing asks for is taken out; what is asked for is there."""
    words = catalogue()
    assert set(words.section("head_off")) == BREACHES | {OTHER}
    assert set(words.section("head_by_eye")) == BY_EYE
    text = Path(str(head_card.__file__)).read_text("utf-8")
    for section in ("head_card", "head_metal", "head_found_how"):
        for key in words.section(section):
            assert f'"{key}"' in text or key in set(Amount), key
    assert files("rivetwright.texts").joinpath("en.head_card.toml").is_file()


def test_looks_and_breaches_have_words() -> None:
    """Solid, blind, by eye, and what a size breaks."""
    assert look_words("leans") == "leans"
    assert look_words("stem moves") == "stem moves when pressed"
    assert look_words("low") == "too low by eye"
    assert look_words("too wide") == "too wide"
