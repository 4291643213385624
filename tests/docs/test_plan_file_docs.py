"""The pages about plan and shop files: every example reads, every field is named."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rivetwright.intake.bulletin_file import read_bulletin_bytes
from rivetwright.intake.plan_file import read_plan_text
from rivetwright.intake.schema import bulletin_schema, plan_schema, shop_schema
from rivetwright.intake.shop_file import read_shop_bytes
from rivetwright.model.bulletin import apply_bulletin
from rivetwright.model.columns import expand

DOCS = Path(__file__).parents[2] / "docs"
PLAN_PAGE = (DOCS / "plan-file.md").read_text("utf-8")
SHOP_PAGE = (DOCS / "shop-file.md").read_text("utf-8")
BLOCKS = re.findall(r"^```yaml\n(.*?)^```$", PLAN_PAGE, re.MULTILINE | re.DOTALL)
WHOLE, *PIECES, BULLETIN = BLOCKS


def sections(text: str) -> dict[str, str]:
    """The top fields of a file, each with its own lines."""
    parts = re.split(r"^(?=\w+:)", text, flags=re.MULTILINE)
    return {part.split(":", 1)[0]: part for part in parts if part.strip()}


def test_whole_example_reads() -> None:
    """The first example is a whole plan of eight holes."""
    assert len(expand(read_plan_text(WHOLE))) == 8


@pytest.mark.parametrize("piece", PIECES, ids=lambda piece: piece.split(":", 1)[0])
def test_example_reads_when_put_into_the_whole_plan(piece: str) -> None:
    """Each further example takes the place of the same fields of the first one."""
    text = "".join((sections(WHOLE) | sections(piece)).values())
    expand(read_plan_text(text))


def test_bulletin_example_applies_to_the_whole_plan() -> None:
    """The bulletin of the page makes revision 2 of the plan of the page."""
    plan = read_plan_text(WHOLE)
    after = apply_bulletin(plan, read_bulletin_bytes(BULLETIN.encode(), "page", plan))
    assert (after.revision, [part.name for part in after.parts]) == (
        2,
        ["11", "12", "13", "14"],
    )


def test_shop_example_reads() -> None:
    """The example of the shop page is a whole shop."""
    (block,) = re.findall(r"^```yaml\n(.*?)^```$", SHOP_PAGE, re.MULTILINE | re.DOTALL)
    shop = read_shop_bytes(block.encode(), "page")
    assert [tool.id for tool in shop.tools] == ["Y1", "Y3", "Y4", "BB1"]


def fields_of(schema: dict[str, object]) -> set[str]:
    """Every field that may stand anywhere in a kind of file."""
    found: set[str] = set()

    def look(part: object) -> None:
        if isinstance(part, dict):
            properties = part.get("properties")
            if isinstance(properties, dict):
                found.update(properties)
            for inner in part.values():
                look(inner)
        elif isinstance(part, list):
            for inner in part:
                look(inner)

    look(schema)
    return found


@pytest.mark.parametrize(
    ("schema", "page"),
    [
        (plan_schema(), PLAN_PAGE),
        (bulletin_schema(), PLAN_PAGE),
        (shop_schema(), SHOP_PAGE + PLAN_PAGE),
    ],
    ids=["plan", "bulletin", "shop"],
)
def test_every_field_is_named_on_its_page(schema: dict[str, object], page: str) -> None:
    """Each field of the schema stands on the page in the writing of a field."""
    missing = {
        name
        for name in fields_of(schema)
        if not re.search(rf"`{name}\b|\b{name}:", page)
    }
    assert not missing
