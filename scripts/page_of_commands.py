"""The page about the command line: what each command's own help says."""

from __future__ import annotations

from typer.main import get_command
from typer.testing import CliRunner

from rivetwright.cli.main import app
from scripts.pages_of_rules import MADE

WIDTH = "80"
INTRODUCTION = (
    "`python3 run.py setup` makes the command `.venv/bin/rivetwright`; "
    "`python -m rivetwright` is the same.",
    "Exit codes: 0, nothing stops; 1, something must not be set; 2, refused. A refusal "
    "is told on the error output: in a file with its line and field, what was found, "
    "what is allowed and what to do, every mistake of the file at once, and nothing is "
    "taken over.",
    "Results go to the standard output and progress to the error output, and progress "
    "only where that is a terminal. Tables fit the terminal's width; `COLUMNS` sets "
    "another one.",
)


def command_names() -> tuple[str, ...]:
    """The commands in the order that the help lists them: `record begin` too."""
    names = []
    for name, command in _parts(get_command(app)).items():
        names += [f"{name} {part}" for part in _parts(command)] or [name]
    return tuple(names)


def _parts(command: object) -> dict[str, object]:
    """The commands of a group; none where it is no group."""
    return getattr(command, "commands", {})


def help_text(name: str = "") -> str:
    """What a command's own help says, 80 letters wide."""
    command = name.split()
    runner = CliRunner(env={"COLUMNS": WIDTH, "TERMINAL_WIDTH": WIDTH})
    said = runner.invoke(app, [*command, "--help"], prog_name="rivetwright")
    assert said.exit_code == 0, said.output
    return "\n".join(line.rstrip() for line in said.stdout.rstrip().splitlines())


def command_page() -> str:
    """The page about the command line."""
    lines = [MADE, "# Command line", *INTRODUCTION, f"```text\n{help_text()}\n```"]
    for name in command_names():
        lines += [f"## rivetwright {name}", f"```text\n{help_text(name)}\n```"]
    return "\n\n".join(lines) + "\n"
