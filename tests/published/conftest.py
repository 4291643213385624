"""Transcriptions of printed tables, one CSV file each, its source in the first line."""

from __future__ import annotations

import csv
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

Printed = list[dict[str, str]]

_FOLDER = Path(__file__).with_name("data")


@pytest.fixture
def printed() -> Callable[[str], Printed]:
    """Read a transcription by name, rows in printed order."""

    def read(name: str) -> Printed:
        lines = (_FOLDER / f"{name}.csv").read_text("utf-8").splitlines()
        return list(csv.DictReader(lines[1:]))

    return read


@pytest.fixture
def inch() -> Callable[[str | int | Fraction], Fraction]:
    """Turn printed inches into exact millimetres."""

    def mm(printed_in: str | int | Fraction) -> Fraction:
        return Fraction(printed_in) * Fraction(254, 10)

    return mm


@pytest.fixture
def inch_or_none(
    inch: Callable[[str], Fraction],
) -> Callable[[str], Fraction | None]:
    """Turn printed inches into exact millimetres, a blank cell into None."""

    def mm(printed_in: str) -> Fraction | None:
        return inch(printed_in) if printed_in else None

    return mm
