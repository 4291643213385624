"""YAML becomes plain texts that keep their lines and their writing."""

from __future__ import annotations

import pytest

from rivetwright.errors import PlanRefused
from rivetwright.intake.faults import FAULTS_TOLD, Faults, show_found, show_path
from rivetwright.intake.lined import read_lined
from rivetwright.intake.plan_file import read_plan_text


def test_scalars_stay_as_typed() -> None:
    """No size, yes, date or number turns into something else."""
    text = "a: 010\nb: no\nc: 2026-01-08\nd: .032\ne: 12:30\nf: 1_000\ng: 'x'"
    found = read_lined(text, Faults("f", text))
    assert list(found.values()) == [
        "010",
        "no",
        "2026-01-08",
        ".032",
        "12:30",
        "1_000",
        "x",
    ]


def test_lines_are_known_for_every_value() -> None:
    """Fields by the line of their name, list places by their own line."""
    text = "a: 1\nb:\n  - x\n  - {c: 2,\n     d: 3}\n"
    faults = Faults("f", text)
    read_lined(text, faults)
    assert faults.lines == {
        (): 1,
        ("a",): 1,
        ("b",): 2,
        ("b", 0): 3,
        ("b", 1): 4,
        ("b", 1, "c"): 4,
        ("b", 1, "d"): 5,
    }


def test_quoted_nothing_is_a_text() -> None:
    """An empty text in quotes is a text; a null in quotes is the word."""
    text = "a: ''\nb: 'null'\n"
    assert read_lined(text, Faults("f", text)) == {"a": "", "b": "null"}


def test_windows_line_ends_and_byte_order_mark_are_read() -> None:
    """A file saved on another system is read the same."""
    faults = Faults("f")
    assert read_lined("a: 1\r\nb: 2\r\n", faults) == {"a": "1", "b": "2"}
    assert faults.lines[("b",)] == 2
    with pytest.raises(PlanRefused) as refused:
        read_plan_text("\ufeffformat: rivetwright plan 1\n")
    assert [fault.field for fault in refused.value.faults] == [
        "project",
        "assembly",
        "unit",
    ]


def test_paths_count_from_one() -> None:
    """The third place of a list is [3]."""
    assert show_path(("rows", "A1", "by", 2)) == "rows.A1.by[3]"
    assert show_path(()) == "file"


def test_found_is_shortened() -> None:
    """Long texts are cut, groups and lists counted."""
    assert show_found("x" * 100) == "x" * 60 + "..."
    assert show_found("  ") == "an empty text"
    assert show_found({"a": 1}) == "a group of 1 field(s)"
    assert show_found([1, 2]) == "a list of 2 value(s)"


def test_fault_is_told_once_for_a_place_and_what_is_under_it() -> None:
    """One slip gives one fault."""
    faults = Faults("f")
    faults.add(("a",), "x", "y", "do it.")
    faults.add(("a", "b"), "x", "y")
    faults.add(("a",), "z", "y")
    with pytest.raises(PlanRefused) as refused:
        faults.refuse()
    (fault,) = refused.value.faults
    assert (fault.found, fault.do) == ("x", "Do it")


def test_faults_beyond_the_limit_are_counted() -> None:
    """A hopeless file tells the first faults and how many more there are."""
    faults = Faults("f")
    for k in range(FAULTS_TOLD + 5):
        faults.unknown(("a", k), "part", f"p{k}", ["p"])
    with pytest.raises(PlanRefused) as refused:
        faults.refuse()
    assert len(refused.value.faults) == FAULTS_TOLD + 1
    assert refused.value.faults[-1].found == "5 more faults"
