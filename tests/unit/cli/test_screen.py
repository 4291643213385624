"""Where the command speaks, and how it tells how far it is."""

from __future__ import annotations

from io import StringIO

import pytest
from rich.console import Console

from rivetwright.cli import screen


def test_bar_is_shown_on_a_terminal_and_gone_afterwards(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The rule being worked out is named while it runs."""
    said = StringIO()
    terminal = Console(file=said, force_terminal=True, width=80)
    monkeypatch.setattr(screen, "told", lambda: terminal)
    with screen.progress_bar() as progress:
        assert progress is not None
        progress("flap.yaml: Grip", 1, 2)
    text = said.getvalue()
    assert "flap.yaml: Grip" in text
    assert " 50%" in text
    # The last thing done is to take the bar's line away.
    assert text.endswith("\x1b[2K")


def test_no_bar_elsewhere(monkeypatch: pytest.MonkeyPatch) -> None:
    """Into a file nothing is told but what was asked for."""
    said = StringIO()
    monkeypatch.setattr(screen, "told", lambda: Console(file=said))
    with screen.progress_bar() as progress:
        assert progress is None
    assert said.getvalue() == ""
