"""Plans survive being written and read; broken files never do worse than a refusal."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from hypothesis import example, given, settings
from hypothesis import strategies as st

from rivetwright.errors import PlanRefused
from rivetwright.intake.bulletin_file import read_bulletin_bytes
from rivetwright.intake.plan_file import read_plan, read_plan_bytes, read_plan_text
from rivetwright.intake.shop_file import read_shop_bytes
from rivetwright.intake.write_plan import write_plan
from rivetwright.model.plan import Plan
from tests.property.strategies import plans

EXAMPLES = Path(__file__).parents[2] / "examples" / "ostrel"
SMALL = (Path(__file__).parents[1] / "broken" / "no_unit.yaml").read_text("utf-8")
RIB = read_plan(EXAMPLES / "root-rib.yaml")
GOOD = SMALL.replace("revision: 1", "unit: in\nrevision: 1")

ODD = [
    "", "#40", "0,8", "1/8", ".nan", ".inf", "true", "~", "-1", "0", "1e999", "[", "]",
    "{", "}", "[]", "{}", "&a", "*a", "<<: x", "!!int 3", "---", "...", "\t", "\x00",
    "\ufeff", "\u2028", "'", '"', "|", ">", "%", "@", "`", ":", "- ", "? ",
    "2026-01-08", "999999999999999999999", "A12:18-20", "R1:1-0", "no", "\U0001f9f0",
    "a" * 500,
]  # fmt: skip


def _only_refuses(raw: bytes) -> None:
    """Read bytes as each kind of file; nothing but a refusal with lines may come."""
    readers: dict[bytes, Callable[[], object]] = {
        b"plan": lambda: read_plan_bytes(raw, "fuzzed"),
        b"shop": lambda: read_shop_bytes(raw, "fuzzed"),
        b"bulletin": lambda: read_bulletin_bytes(raw, "fuzzed", RIB),
    }
    for kind, read in readers.items():
        if kind not in raw[:200]:
            continue
        faults = None
        try:
            read()
        except PlanRefused as refused:
            faults = refused.faults
        assert faults is None or all(one.found and one.allowed for one in faults)


@given(plans())
def test_plan_reads_back_equal_when_written(plan: Plan) -> None:
    """Writing a plan and reading the text gives the same plan."""
    read = read_plan_text(write_plan(plan))
    assert replace(read, file="") == plan


@given(plans())
@settings(max_examples=25)
def test_writing_stays_the_same_when_repeated(plan: Plan) -> None:
    """Text, plan, text: the second text is the first."""
    text = write_plan(plan)
    assert write_plan(read_plan_text(text)) == text


@given(st.data())
@settings(max_examples=300)
def test_mutated_file_is_only_refused(data: st.DataObject) -> None:
    """A good file with pieces taken out, put in or doubled is read or refused."""
    text = GOOD
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(text) - 1))
        until = min(len(text), at + data.draw(st.integers(0, 12)))
        put = data.draw(st.sampled_from(ODD) | st.just(text[at:until] * 2))
        text = text[:at] + put + text[until:]
    _only_refuses(text.encode("utf-8", "surrogatepass"))


@given(st.data())
@settings(max_examples=100)
def test_file_with_lines_moved_is_only_refused(data: st.DataObject) -> None:
    """A good file with a line moved elsewhere is read or refused."""
    lines = GOOD.splitlines()
    taken = lines.pop(data.draw(st.integers(0, len(lines) - 1)))
    lines.insert(data.draw(st.integers(0, len(lines))), taken)
    _only_refuses("\n".join(lines).encode())


@given(st.binary(max_size=200))
@example(b"\xff\xfe\x00")
@example(b"format: rivetwright plan 1\nparts: {a: {thickness: 1}}")
@example(b"format: rivetwright shop 1\nid: a\nname: b\nunit: in\nholders: {x: 1}")
def test_bytes_of_any_kind_are_only_refused(raw: bytes) -> None:
    """Bytes that are no plan at all are refused, never worse."""
    _only_refuses(raw)
    _only_refuses(b"# plan shop bulletin\n" + raw)


_values = st.recursive(
    st.sampled_from(ODD) | st.integers(-5, 5).map(str),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["id", "u", "at", "R1", "holes", ""]), inner)
    ),
    max_leaves=6,
)
_FIELDS = [
    "project", "assembly", "unit", "revision", "rules", "blind_codes", "parts", "faces",
    "steps", "rows", "access", "open_holes", "opening", "people", "tools", "dies",
    "shims", "holders", "layers", "kit_contents", "spare", "calendar",
]  # fmt: skip


@given(
    st.sampled_from(["plan", "shop", "bulletin"]),
    st.dictionaries(st.sampled_from(_FIELDS), _values, max_size=4),
)
def test_fields_of_any_shape_are_only_refused(
    kind: str, fields: dict[str, object]
) -> None:
    """Fields with lists for groups, groups for texts and so on are refused."""
    text = f"format: rivetwright {kind} 1\n"
    for name, value in fields.items():
        text += f"{name}: {value!r}\n"
    _only_refuses(text.encode("utf-8", "surrogatepass"))
