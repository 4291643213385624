"""The command `tonight`: the evening, what waits, the chain of a step."""

from __future__ import annotations

import json
from pathlib import Path

from tests.unit.cli.conftest import Command

EVENING = ("--date", "2026-11-25", "--from", "19:00", "--hours", "2", "--alone")


def test_evening_is_told(command: Command, ostrel: Path) -> None:
    """What to set in order, what waits, what unlocks most."""
    done = command("tonight", ostrel, *EVENING)
    assert (done.code, done.told) == (0, "")
    said = done.out
    assert "Wed 2026-11-25, from 19:00: 2 h, alone" in said
    assert said.index("Back-rivet: A17, A18") < said.index("Match-drill: C13")
    assert "100 min (80 to 160) of work fit in; minutes from your own rates." in said
    assert "the answer to Q-2" in said
    assert said.index("What unlocks most") < said.rindex("part 709B")


def test_step_in_question(command: Command, ostrel: Path) -> None:
    """The nose by Saturday: no, with the steps in the way."""
    asked = ("--close", "aileron/aileron-8", "--by", "2026-11-28")
    said = command("tonight", ostrel, *EVENING, *asked).out
    assert "In the way of aileron/aileron-8" in said
    assert "No: not before" in said


def test_evening_as_json(command: Command, ostrel: Path) -> None:
    """22 rivets of 87 + 22; the format is named."""
    said = json.loads(command("tonight", ostrel, *EVENING, "--json").out)
    assert said["format"] == "rivetwright tonight 1"
    setting = [
        one["count"]
        for one in said["can"]
        if one["operation"] in ("squeezer", "back-riveting")
    ]
    assert sum(setting) == 22


def test_no_time_at_all(command: Command, ostrel: Path) -> None:
    """Three minutes: nothing, and what waits all the same."""
    done = command("tonight", ostrel, *EVENING[:4], "--hours", "0.05")
    assert done.code == 0
    assert "Nothing can be done in this time." in done.out


def test_hours_that_are_none_are_refused(command: Command, ostrel: Path) -> None:
    """Refused with what is allowed."""
    done = command("tonight", ostrel, "--hours", "30")
    assert done.code == 2
    assert "at most 24 hours" in done.told


def test_a_stretch_is_warned_of(command: Command, ostrel: Path) -> None:
    """Nothing of tonight begins one: no warning."""
    assert "No good place to stop" not in command("tonight", ostrel, *EVENING).out
