"""YAML 1.2 text to plain groups, lists and texts that remember their lines.

Every scalar stays the text that was typed, so `.032` and `1/8` reach the units
unchanged and `010`, `no` or `2026-01-08` never turn into something else.  Refuses
what a plan never needs and a trap may hide in: anchors and aliases, tags, merge
keys, several documents, deep nesting, files over 4 MB.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    CollectionEndEvent,
    CollectionStartEvent,
    DocumentStartEvent,
    Event,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceStartEvent,
)

from rivetwright.intake.faults import Faults
from rivetwright.intake.faults import Path as Place

BYTES_MOST = 4_000_000
DEPTH_MOST = 12

_NOTHING = ("", "~", "null", "Null", "NULL")
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ufffe\uffff]")
_LOST = re.compile(r"(?:^|[:,\[]\s*)#(?:\d|\w+\s*[,}\]])")


def read_bytes(path: Path | str) -> bytes:
    """Read a file, at most one byte more than is allowed.

    Args:
        path: the file.

    Returns:
        Its bytes.

    Raises:
        PlanRefused: there is no such file, or it cannot be read.
    """
    try:
        with Path(path).open("rb") as opened:
            return opened.read(BYTES_MOST + 1)
    except OSError as why:
        faults = Faults(str(path))
        found = why.strerror or "a file that cannot be read"
        do = "Check its name and folder"
        faults.add((), found, "a file that can be read", do)
        raise faults.refusal() from None


def decode(raw: bytes, faults: Faults) -> str:
    """Turn the bytes of a file into text, or note why that cannot be.

    Args:
        raw: the whole file.
        faults: where what is wrong is noted.

    Returns:
        The text without a byte order mark; empty where it was refused.
    """
    allowed = "a text file in UTF-8"
    if len(raw) > BYTES_MOST:
        faults.add(
            (),
            f"more than {BYTES_MOST:,} bytes",
            f"at most {BYTES_MOST:,} bytes",
            "Split it: one assembly a file.",
        )
        return ""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        faults.add((), "UTF-16", allowed, "Save the file as UTF-8.", line=1)
        return ""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as why:
        line = raw.count(b"\n", 0, why.start) + 1
        found = f"byte 0x{raw[why.start]:02x}, no UTF-8"
        faults.add((), found, allowed, "Save the file as UTF-8.", line=line)
        return ""
    if strange := _CONTROL.search(text):
        line = text.count("\n", 0, strange.start()) + 1
        found = f"control character 0x{ord(strange[0]):02x}"
        faults.add((), found, allowed, "Delete it.", line=line)
        return ""
    if not text.strip():
        faults.add((), "an empty file", "a plan, bulletin or shop", "Write it.", line=1)
        return ""
    return text


def read_lined(text: str, faults: Faults) -> dict[str, Any]:
    """Read YAML text; lines go to `faults.lines`, mistakes too.

    Returns:
        The top group; empty where the text could not be read at all.

    Raises:
        PlanRefused: something was met after which the rest cannot be read.
    """
    reader = _LinedReader(faults)
    try:
        for event in YAML(typ="safe", pure=True).parse(text):
            reader.take(event)
    except _Enough:
        faults.refuse()
    except YAMLError as why:
        _note_syntax(why, text, faults)
    top = reader.top
    if isinstance(top, dict):
        return top
    if not len(faults):
        found = "nothing but comments" if top is None else top
        do = "Begin with format: rivetwright plan 1"
        faults.add((), found, "fields such as `format:` and `parts:`", do, line=1)
    return {}


class _Enough(Exception):
    """Reading cannot go on."""


@dataclass
class _Begun:
    """A group or list whose end has not come yet; `key` waits for its value."""

    value: dict[str, Any] | list[Any]
    path: Place
    key: str | None = None


class _LinedReader:
    """Builds groups and lists from the events of the YAML reader, without recursion."""

    def __init__(self, faults: Faults) -> None:
        self.top: Any = None
        self._faults = faults
        self._begun: list[_Begun] = []
        self._documents = 0

    def take(self, event: Event) -> None:
        """Take the next event."""
        if isinstance(event, DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                found, line = "a second document after ---", event.start_mark.line + 1
                do = "Put it into a file of its own"
                self._faults.add((), found, "one document a file", do, line=line)
                raise _Enough
        elif isinstance(event, CollectionEndEvent):
            self._begun.pop()
        elif isinstance(event, NodeEvent):
            within = self._begun[-1] if self._begun else None
            if within and within.key is None and isinstance(within.value, dict):
                within.key = self._key(event, within)
            else:
                self._take_value(event, within)

    def _take_value(self, event: NodeEvent, within: _Begun | None) -> None:
        """Put a value into the group or list it stands in."""
        path: Place = ()
        line = event.start_mark.line + 1
        if within is not None:
            last = within.key if within.key is not None else len(within.value)
            path = (*within.path, last)
        if within is None or isinstance(within.value, list):
            self._faults.lines[path] = line
        self._check_plain(event, path)
        value = self._value(event, path)
        if value is None and not isinstance(event, AliasEvent):
            self._faults.empty(path)
        if within is None:
            self.top = value
        elif isinstance(within.value, list):
            within.value.append("" if value is None else value)
        else:
            if not self._faults.is_told(path):
                within.value[str(within.key)] = value
            within.key = None
        if isinstance(value, dict | list):
            self._begun.append(_Begun(value, path))

    def _value(self, event: NodeEvent, path: Place) -> Any:
        """Start a group or list, or give the text of a scalar; None: nothing there."""
        if isinstance(event, SequenceStartEvent | MappingStartEvent):
            if len(self._begun) >= DEPTH_MOST:
                found = f"brackets {DEPTH_MOST + 1} deep"
                do = "Take out the brackets that are not needed"
                self._faults.add(path, found, f"at most {DEPTH_MOST} deep", do)
                raise _Enough
            return [] if isinstance(event, SequenceStartEvent) else {}
        if isinstance(event, ScalarEvent):
            is_nothing = event.style is None and event.value in _NOTHING
            return None if is_nothing else event.value
        return None

    def _key(self, event: NodeEvent, within: _Begun) -> str:
        """Read a key; notes one that is no plain text or stands there twice."""
        line = event.start_mark.line + 1
        if not isinstance(event, ScalarEvent) or not event.value.strip():
            path = (*within.path, "(no name)")
            do = "Write name: value"
            self._faults.add(path, "no name", "a name before the colon", do, line=line)
            if isinstance(event, SequenceStartEvent | MappingStartEvent):
                raise _Enough
            return "(no name)"
        name = str(event.value)
        path = (*within.path, name)
        if path in self._faults.lines:
            found = f"{name} a second time, first on line {self._faults.lines[path]}"
            name += " (again)"
            path = (*within.path, name)
            do = "Rename or delete one of them."
            self._faults.add(path, found, "each name once", do, line=line)
        self._faults.lines[path] = line
        if name == "<<":
            do = "Repeat the fields."
            self._faults.add(path, "the merge key <<", "fields written out", do)
        self._check_plain(event, path)
        return name

    def _check_plain(self, event: NodeEvent, path: Place) -> None:
        """Note anchors, aliases and tags."""
        if isinstance(event, AliasEvent):
            found, do = f"the alias *{event.anchor}", "Write the value out again."
        elif event.anchor is not None:
            found, do = f"the anchor &{event.anchor}", "Delete it."
        elif isinstance(event, ScalarEvent | CollectionStartEvent) and event.tag:
            found, do = f"the tag {event.tag}", "Delete the tag."
        else:
            return
        line = event.start_mark.line + 1
        self._faults.add(path, found, "plain values only", do, line=line)


_HINTS = (
    (r"\\t|tab", "spaces for indenting, never a tab", "Replace the tab by spaces."),
    (
        r"mapping values are not allowed",
        "one field a line, or a text in quotes where it has a colon and a space",
        "Check the indent, or put the text in quotes.",
    ),
    (
        r"expected ',' or|flow (?:sequence|mapping)",
        "brackets that close, with commas between the values",
        "Close the bracket or add the comma.",
    ),
    (
        r"could not find expected ':'|simple key",
        "a name, a colon and a space",
        "Check the colon and the indent.",
    ),
    (
        r"cannot start any token",
        "a text that starts with @, ` or % in quotes",
        "Put the text in quotes.",
    ),
    (r"quoted scalar|escape", "quotes that close", "Close the quotes."),
    (r"alias|anchor", "plain values only", "Write the value out."),
    (
        r"block|expected <|dedent|indent",
        "fields of one group at one indent",
        "Check the indent of this line.",
    ),
)


def _note_syntax(why: YAMLError, text: str, faults: Faults) -> None:
    """Say in our words why the text is not YAML, at the line where it shows."""
    mark = why.problem_mark if isinstance(why, MarkedYAMLError) else None
    begun = why.context_mark if isinstance(why, MarkedYAMLError) else None
    lines = text.splitlines()
    at = min(mark.line, len(lines) - 1) if mark else 0
    start = min(begun.line, at) if begun else at
    for k in range(start, at + 1):
        if _LOST.search(lines[k]):
            faults.lines[()] = 1
            faults.add(
                (),
                lines[k].strip(),
                'sizes with # in quotes, "#40"',
                "Put it in quotes, or write No. 40: after a bare # all is comment.",
                line=k + 1,
            )
            return
    problem = str(why)
    for pattern, allowed, do in _HINTS:
        if re.search(pattern, problem):
            break
    else:
        allowed, do = "YAML as docs/plan-file.md shows it", "Compare with an example."
    shown = lines[at].strip() if lines else ""
    faults.add((), shown or "the end of the file", allowed, do, line=at + 1)
