"""The command `stock`: the table, JSON, CSV and PDF."""

from __future__ import annotations

import csv
import json
from pathlib import Path

from tests.unit.cli.conftest import Command


def test_stock_is_told(command: Command, ostrel: Path) -> None:
    """Needed, in doubt, spare, on hand, short; then what to order and stand-ins."""
    done = command("stock", ostrel)
    assert (done.code, done.told) == (0, "")
    lines = {line.split()[0]: line.split() for line in done.out.splitlines() if line}
    assert lines["MS20470AD4-4.5"][1:5] == ["4", "+6", "5", "40"]
    assert "MS20470AD5-8  order 100, short by 7" in done.out
    assert "MS20426AD3-3.5, 18 to spare: longer, cut down to -3" in done.out


def test_stock_as_json(command: Command, ostrel: Path) -> None:
    """Each step with its holes; days as such."""
    said = json.loads(command("stock", ostrel, "--json").out)
    codes = {one["code"]: one for one in said["codes"]}
    assert codes["MS20470AD4-5"]["coming"] == [
        {"count": 20, "due": "2026-12-09", "kit": "SB-07K"}
    ]
    steps = {one["step"] for one in codes["MS20470AD4-5"]["steps"]}
    assert steps == {"rib-7"}
    assert [one["order"] for one in said["orders"]] == [100, 100, 100]


def test_order_list_as_files(command: Command, ostrel: Path, tmp_path: Path) -> None:
    """A table that opens in a spreadsheet, and a page."""
    table, page = tmp_path / "order.csv", tmp_path / "order.pdf"
    done = command("stock", ostrel, "--csv", table, "--pdf", page)
    assert done.code == 0
    with table.open(encoding="utf-8", newline="") as file:
        assert [row[0] for row in csv.reader(file)][1:] == [
            "MS20470AD5-8",
            "MS20426AD3-3",
            "BF4-2",
        ]
    assert page.read_bytes().startswith(b"%PDF")
