"""The published JSON Schema of the plan, bulletin and shop files.

An editor that knows the schema offers the fields and marks misspelt ones.  The
reader itself checks far more and says what to do; it does not use the schema.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from rivetwright.intake.forms import (
    BULLETIN_FORMAT,
    PLAN_FORMAT,
    BulletinForm,
    PlanForm,
)
from rivetwright.intake.shape import Form
from rivetwright.intake.shop_forms import SHOP_FORMAT, ShopForm

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def plan_schema() -> dict[str, Any]:
    """The schema of a plan file."""
    return _schema(PlanForm, PLAN_FORMAT)


def bulletin_schema() -> dict[str, Any]:
    """The schema of a bulletin file."""
    return _schema(BulletinForm, BULLETIN_FORMAT)


def shop_schema() -> dict[str, Any]:
    """The schema of a shop file."""
    return _schema(ShopForm, SHOP_FORMAT)


def publish(folder: Path) -> None:
    """Write the three schemas into a folder.

    Args:
        folder: an existing folder; files of these names are replaced.
    """
    for name, text in schema_files().items():
        (folder / name).write_text(text, encoding="utf-8")


def schema_files() -> dict[str, str]:
    """The published files: name and text."""
    made = {
        "plan.schema.json": plan_schema(),
        "bulletin.schema.json": bulletin_schema(),
        "shop.schema.json": shop_schema(),
    }
    return {
        name: json.dumps(one, indent=1, ensure_ascii=False, sort_keys=True) + "\n"
        for name, one in made.items()
    }


def _schema(form: type[Form], written: str) -> dict[str, Any]:
    """The schema of one kind of file."""
    made: dict[str, Any] = _without_null(form.model_json_schema(by_alias=True))
    made["properties"]["format"] = {"const": written}
    return {"$schema": DIALECT, **made}


def _without_null(schema: Any) -> Any:
    """Take out `null` and titles that only repeat the name.

    An empty field is refused, and a field left out is not there.
    """
    if isinstance(schema, list):
        return [_without_null(one) for one in schema if one != {"type": "null"}]
    if not isinstance(schema, dict):
        return schema
    kept = {
        name: _without_null(one)
        for name, one in schema.items()
        if not (name == "default" and one is None)
        and not (name == "title" and isinstance(one, str))
    }
    choices = kept.get("anyOf")
    if isinstance(choices, list) and len(choices) == 1:
        rest = {name: one for name, one in kept.items() if name != "anyOf"}
        return {**choices[0], **rest}
    return kept
