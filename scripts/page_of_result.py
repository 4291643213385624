"""The page about the JSON of a worked-out plan, and its published schema."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from rivetwright.bench.result_form import ALL_FIGURES, UNITS, result_schema
from scripts.pages_of_rules import MADE


def schema_text() -> str:
    """The published JSON Schema."""
    return json.dumps(result_schema(), indent=1, ensure_ascii=False) + "\n"


def _type(form: dict[str, Any]) -> str:
    """What stands in a field, in words."""
    if "const" in form:
        return f"`{form['const']}`"
    if "enum" in form:
        return ", ".join(f"`{word}`" for word in form["enum"])
    kind = form.get("type", "")
    if kind == "array":
        return f"list of {_type(form['items'])}"
    if kind == "object":
        return "group"
    if isinstance(kind, list):
        return " or ".join(kind)
    return str(kind)


def _fields(form: dict[str, Any], path: str = "") -> Iterator[tuple[str, str, str]]:
    """Every field under a form: where it stands, what it holds, what it means."""
    for name, field in form.get("properties", {}).items():
        place = f"{path}.{name}" if path else name
        yield place, _type(field), field.get("description", "")
        inner = field.get("items", field)
        yield from _fields(inner, place)


def _table(form: dict[str, Any]) -> str:
    """The fields of a form as a table."""
    lines = ["| Field | Holds | Meaning |", "|---|---|---|"]
    for place, kind, meaning in _fields(form):
        rule = ALL_FIGURES.get(tuple(place.split(".")))
        linked = f" ([working](quantities.md#{rule}))" if rule else ""
        lines.append(f"| `{place}` | {kind} | {meaning}{linked} |")
    return "\n".join(lines)


def result_page() -> str:
    """The page about the JSON."""
    fields = result_schema()["properties"]
    groups = {
        "holes": fields["holes"]["items"],
        "findings": fields["findings"]["items"],
        "rules": fields["rules"]["additionalProperties"],
    }
    top = {name: form for name, form in fields.items() if name not in groups}
    units = "\n".join(f"- `{end}`: {unit}" for end, unit in UNITS.items())
    lines = [
        MADE,
        "# The result as JSON",
        "`rivetwright plan FILE --json` writes one worked-out assembly; with several "
        "files a list of them, in the order given. The exit code is the same as "
        "without `--json`. The schema is `schemas/plan-result.schema.json`; "
        "`rivetwright schema result` prints it.",
        "Figures are numbers in the unit that their key names. What does not apply or "
        "is not known is `null` or an empty list, never left out. The end of a key "
        "says the unit:",
        units,
        "`figures` names the rule behind each figure of a hole, and `rules` tells its "
        "formula, inputs and source; "
        "`rivetwright why FILE HOLE RULE` opens the working of that very number. "
        "`status` is the weakest thing a figure rests on, table rows counted.",
        "## The whole",
        _table({"properties": top}),
        "## `holes`: one for each hole, in the order of the plan",
        _table(groups["holes"]),
        "## `findings`: stops first",
        _table(groups["findings"]),
        "## `rules`: by name of the quantity",
        _table(groups["rules"]),
    ]
    return "\n\n".join(lines) + "\n"
