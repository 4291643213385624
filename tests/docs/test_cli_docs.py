"""The page about the command line says what the commands themselves say."""

from __future__ import annotations

from pathlib import Path

from scripts.page_of_commands import command_names, command_page, help_text


def test_page_is_the_one_the_commands_make(root: Path) -> None:
    """Run python -m scripts.write_docs after a command or an option changed."""
    assert (root / "docs" / "command-line.md").read_text("utf-8") == command_page()


def test_every_command_is_on_the_page() -> None:
    """Each command has its own section with the whole of its help."""
    page = command_page()
    for name in command_names():
        assert f"## rivetwright {name}\n" in page
        assert help_text(name) in page


def test_help_fits_a_narrow_terminal() -> None:
    """No line of any help is wider than 80 letters."""
    lines = [line for name in command_names() for line in help_text(name).splitlines()]
    assert [line for line in lines if len(line) > 80] == []


def test_commands_show_an_example() -> None:
    """Whoever asks for help sees a line that can be typed; the demo needs none."""
    for name in command_names():
        if name != "demo":
            assert f"rivetwright {name} " in help_text(name).partition("Example")[2]
