"""The page about accuracy leaves no measured point out and flatters nothing."""

from __future__ import annotations

from pathlib import Path

from rivetwright.standards.forming import force_points
from rivetwright.standards.table import read_table
from scripts.page_of_accuracy import accuracy_page

PAGE = accuracy_page()


def lines_of(heading: str) -> list[str]:
    """The table lines of a section, heads left out."""
    section = PAGE.partition(f"## {heading}")[2].partition("\n## ")[0]
    return [line for line in section.splitlines() if line.startswith("| ")]


def test_every_loaded_point_has_a_line() -> None:
    """Width and measured force of both series, the untouched rivets left out."""
    lines = lines_of("Squeeze force, 2117-T4")
    for found in force_points():
        point = found.value
        begins = (
            f"| {float(point.width_ratio):.2f} | {float(point.force_n) / 1e3:.2f} |"
        )
        told = [line for line in lines if line.startswith(begins)]
        assert len(told) == (1 if point.force_n else 0), begins


def test_every_printed_loss_has_a_line(root: Path) -> None:
    """Ten of pipes and three of hoses, heads and rule beside."""
    for name, heading, count in (
        ("pipe_losses", "Loss of pipes", 10),
        ("hose_losses", "Loss of hoses", 3),
    ):
        path = root / "tests" / "published" / "data" / f"{name}.csv"
        assert len(path.read_text("utf-8").splitlines()) == count + 2
        assert len(lines_of(heading)) == count + 2


def test_every_printed_head_limit_has_a_line() -> None:
    """Each set at each diameter it prints, and the two rules at four diameters."""
    rules = 4 * len(read_table("shop_head_rules").rows)
    count = len(read_table("shop_heads").rows) + rules
    assert len(lines_of("Least shop heads")) == count + 2


def test_summary_shows_the_worst_of_the_series_kept_apart() -> None:
    """The less kind of the two figures stands in the summary: -10.3 %."""
    assert "| force, 2117-T4 | kept apart | 3 | 7.7 % | -10.3 % | +-12 % |" in PAGE


def test_what_was_not_measured_is_said() -> None:
    """Other alloys and what a yoke gives are named as not measured."""
    assert "No measured force was found." in PAGE
    assert "**nothing measured was found**" in PAGE
