"""Marks carried over by hand, where a phone could not send them."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from rivetwright.bench.keep import Answer, Sender, keep
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import FactRefused
from rivetwright.record.devices import MARKS, OWNER

FORM = "marks 1"
_PART = re.compile(r"^RW1 (\d+)/(\d+) (.*)$", re.DOTALL)
CARRIED = "carried"


def carried(text: str) -> tuple[str, list[Mapping[str, Any]]]:
    """The device and the marks of a carried text, whole or in numbered parts.

    Raises:
        FactRefused: a part is missing, or the text is none.
    """
    whole = _joined(text.strip())
    try:
        said = json.loads(whole)
        device, marks = str(said["device"]), said["marks"]
        is_ours = said["rivetwright"] == FORM
    except (ValueError, KeyError, TypeError, RecursionError) as problem:
        raise _no_text("text that is none, or was cut off") from problem
    if not is_ours or not isinstance(marks, list):
        raise _no_text("text of another form")
    if not all(isinstance(mark, dict) for mark in marks):
        raise _no_text("marks that are none")
    return device, marks


def _joined(text: str) -> str:
    """Parts of several codes put together in their order."""
    parts: dict[int, str] = {}
    count = 0
    for line in text.splitlines():
        match = _PART.match(line.strip("\r\n"))
        if match is not None:
            parts[int(match[1])] = match[3]
            count = int(match[2])
    if not parts:
        return text
    absent = [str(k) for k in range(1, count + 1) if k not in parts]
    if absent:
        raise _no_text(f"no part {', '.join(absent[:20])} of {count}")
    return "".join(parts[k] for k in range(1, count + 1))


def keep_carried(
    workshop: Workshop,
    sender: Sender,
    device: str,
    marks: list[Mapping[str, Any]],
    known: Mapping[str, str],
) -> Answer:
    """Take carried marks as those of the device that made them.

    A device that was never paired is not believed: its marks count as carried over
    by whoever brings them. A mark that arrives by both ways is one fact.
    """
    if sender.role != OWNER:
        return keep(workshop, sender, marks)
    if device in known:
        return keep(
            workshop, Sender(device, known[device] or sender.person, MARKS), marks
        )
    own = device if device.startswith("laptop-") else f"{CARRIED}-{sender.device}"
    return keep(workshop, Sender(own[:60], sender.person, MARKS), marks)


def _no_text(found: str) -> FactRefused:
    return FactRefused(
        asked="take marks that were carried over",
        found=found,
        allowed="the whole text, or every part of it, as the phone shows it",
        do="copy it again from the phone, all of it",
    )
