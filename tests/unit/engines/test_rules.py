"""Registered rules, and the words that formulas are written in."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.engines import plan
from rivetwright.engines.rules import (
    CLASS,
    FORMULA,
    FORMULA_WORDS,
    HOLE,
    REGISTRY,
    Registry,
    formula,
    last_sheet,
    nested_above,
)
from rivetwright.errors import NotFound
from rivetwright.standards.source import Source, Status

OWN = Source("own", "", Status.DERIVED)
NAN = np.nan


def test_unknown_quantity_is_told_the_nearest() -> None:
    """A name that no rule has is refused with the one most like it."""
    assert plan
    with pytest.raises(NotFound) as refused:
        _ = REGISTRY["grip_m"]
    assert "grip_mm" in str(refused.value)


def test_every_rule_comes_once_though_it_has_several_columns() -> None:
    """A rule with further columns is listed once, and found by each of them."""
    outputs = [rule.output for rule in REGISTRY]
    assert len(outputs) == len(set(outputs))
    assert REGISTRY["edge_sheet"] is REGISTRY["edge_distance_mm"]


def test_inputs_of_every_rule_are_rules() -> None:
    """The graph has no loose end, and a class never waits for a hole."""
    for rule in REGISTRY:
        for name in rule.inputs:
            assert rule.level == HOLE or REGISTRY[name].level == CLASS


def test_formula_takes_its_inputs_from_its_text(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Names in the expression are inputs, in order, words of the formula are not."""
    monkeypatch.setattr(REGISTRY, "rules", {})
    formula("area", "Area", "max(wide, 0.0) * high * wide", unit="mm2", source=OWN)
    made = REGISTRY["area"]
    assert made.inputs == ("wide", "high")
    assert made.kind == FORMULA
    assert made.title == "Area"
    assert made.function(np.array([2.0, -2.0]), np.array([3.0, 3.0])).tolist() == [
        12.0,
        0.0,
    ]


def test_two_rules_for_one_column_are_our_own_mistake(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The second rule of a name stops the program at once."""
    monkeypatch.setattr(REGISTRY, "rules", dict(Registry().rules))
    formula("twice", "Twice", "1.0 * a", unit="mm", source=OWN)
    with pytest.raises(AssertionError, match="two rules"):
        formula("twice", "Twice", "2.0 * a", unit="mm", source=OWN)


SHEETS = np.array([[1.0, 2.0, NAN], [3.0, NAN, NAN], [1.0, 5.0, 2.0]])


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("sum_sheets", [3.0, 3.0, 8.0]),
        ("least_sheet", [1.0, 3.0, 1.0]),
        ("most_sheet", [2.0, 3.0, 5.0]),
        ("first_sheet", [1.0, 3.0, 1.0]),
        ("last_sheet", [2.0, 3.0, 2.0]),
    ],
)
def test_words_over_the_sheets(word: str, expected: list[float]) -> None:
    """Stacks 1 + 2, 3, and 1 + 5 + 2; empty places beyond the last sheet."""
    assert FORMULA_WORDS[word](SHEETS).tolist() == expected


def test_last_sheet_of_no_sheet_is_nothing() -> None:
    """A stack without sheets has no last one."""
    assert np.isnan(last_sheet(np.array([[NAN, NAN]]))[0])


def test_nested_above_adds_dimples_up_to_the_next_plain_sheet() -> None:
    """Dimpled 1 and 2 over 4: 0, 1, 3; a plain first sheet nests nothing."""
    thick = np.array([[1.0, 2.0, 4.0], [1.0, 2.0, 4.0]])
    prepared = np.array([[1.0, 1.0, 2.0], [0.0, 1.0, 2.0]])
    assert nested_above(thick, prepared).tolist() == [[0.0, 1.0, 3.0], [0.0, 0.0, 2.0]]


def test_angles_are_degrees() -> None:
    """sin 30, cos 60 and half of tan 45 are 0.5."""
    words = FORMULA_WORDS
    found = [words["sin_deg"](30), words["cos_deg"](60), words["tan_deg"](45) / 2]
    assert found == pytest.approx([0.5] * 3)


def test_log_is_the_natural_one_and_pi_the_circle() -> None:
    """The logarithm of e^2 is 2; half the circle of radius 2 is 6.28 long."""
    words = FORMULA_WORDS
    assert float(words["log"](np.exp(2.0))) == pytest.approx(2.0)
    assert words["pi"] * 2 == pytest.approx(6.2832, abs=1e-4)
