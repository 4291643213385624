"""The published schemas are those of the forms, and the examples keep to them."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

from rivetwright.intake.schema import (
    bulletin_schema,
    plan_schema,
    publish,
    schema_files,
    shop_schema,
)

ROOT = Path(__file__).parents[3]


def as_json(value: Any) -> Any:
    """What an editor's checker sees: names as text, days as text."""
    if isinstance(value, dict):
        return {str(name): as_json(one) for name, one in value.items()}
    if isinstance(value, list):
        return [as_json(one) for one in value]
    return value.isoformat() if isinstance(value, date) else value


@pytest.mark.parametrize("name", schema_files())
def test_published_schema_is_that_of_the_forms(name: str) -> None:
    """Publish anew with rivetwright.intake.schema.publish after a form changed."""
    assert (ROOT / "schemas" / name).read_text("utf-8") == schema_files()[name]


def test_publish_writes_three_files(tmp_path: Path) -> None:
    """Plan, bulletin and shop."""
    publish(tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "bulletin.schema.json",
        "plan.schema.json",
        "shop.schema.json",
    ]


@pytest.mark.parametrize(
    ("file", "schema"),
    [
        ("aileron.yaml", plan_schema()),
        ("root-rib.yaml", plan_schema()),
        ("flap.yaml", plan_schema()),
        ("sb-07.yaml", bulletin_schema()),
        ("shop.yaml", shop_schema()),
    ],
)
def test_example_keeps_to_its_schema(file: str, schema: dict[str, Any]) -> None:
    """An editor marks nothing in the examples."""
    text = (ROOT / "examples" / "ostrel" / file).read_text("utf-8")
    read = as_json(YAML(typ="safe", pure=True).load(text))
    faults = [one.message for one in Draft202012Validator(schema).iter_errors(read)]
    assert faults == []


def test_schema_refuses_a_misspelt_field() -> None:
    """A field that no form has is marked by an editor."""
    text = (ROOT / "tests" / "broken" / "misspelt_field.yaml").read_text("utf-8")
    read = as_json(YAML(typ="safe", pure=True).load(text))
    faults = [
        one.message for one in Draft202012Validator(plan_schema()).iter_errors(read)
    ]
    assert any("thicknes" in message for message in faults)
