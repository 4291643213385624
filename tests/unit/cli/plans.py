"""Small plan files that the tests write."""

from __future__ import annotations

from pathlib import Path

# Two sheets of 0.032 and 0.040 in: grip 0.072, and 0.072 + 0.1875 = 0.2595 in is
# 4.15 sixteenths, so -4 is wanted.
HEAD = """\
format: rivetwright plan 1
project: {{id: 6f0f9a52-3f44-4c0e-9d43-0a51f2c8c101, name: Try Out}}
assembly: {{id: {id}, name: panel}}
unit: {unit}
parts:
  11: {{title: skin, thickness: {thin}}}
  12: {{title: angle, thickness: {thick}}}
steps:
  s-1: {{title: rivet}}
"""
NOWHERE = """\
rows:
  R1: {count: 6, stack: [11, 12], callout: MS20470AD4-4, step: s-1}
"""


def without_places(folder: Path, unit: str = "in", name: str = "panel.yaml") -> Path:
    """A plan of one row whose drawing gives callout and count, and no coordinates."""
    sizes = {"in": (".032", ".040"), "mm": ("0.8128", "1.016")}[unit]
    head = HEAD.format(id="panel", unit=unit, thin=sizes[0], thick=sizes[1])
    file = folder / name
    file.write_text(head + NOWHERE, encoding="utf-8")
    return file
