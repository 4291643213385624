"""The project's files as the tidy tests read them."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = "src/rivetwright"
TEXT_ENDINGS = (
    *(".py", ".md", ".toml", ".yaml", ".yml", ".csv", ".json", ".lock", ".txt", ".sh"),
    *(".css", ".js", ".mjs", ".html", ".typ"),
)
FOLDERS = ("src", "tests", "benchmarks", "docs", "design", "examples", "changes")
MORE_FOLDERS = ("scripts", ".ci")
NOT_OURS = frozenset({"vendor", "__pycache__"})

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Module:
    """A Python file: its path from the project's folder, and its text."""

    path: str
    text: str

    @cached_property
    def tree(self) -> ast.Module:
        """The file parsed."""
        return ast.parse(self.text)

    @property
    def floor(self) -> str:
        """The floor a module of the package stands on; empty for other files."""
        inside = re.match(rf"{PACKAGE}/(\w+)", self.path)
        return inside[1] if inside else ""

    @property
    def functions(self) -> Iterator[Function]:
        """Every function and method, nested ones too."""
        for part in ast.walk(self.tree):
            if isinstance(part, Function):
                yield part

    @property
    def tests(self) -> Iterator[Function]:
        """Every test of a test file."""
        return (each for each in self.functions if each.name.startswith("test_"))

    @property
    def public(self) -> Iterator[tuple[str, Function | ast.ClassDef]]:
        """Public classes, functions and methods with their dotted names."""
        return _public(self.tree.body, "")

    @property
    def public_functions(self) -> Iterator[tuple[str, Function]]:
        """Public functions and methods that a caller calls by name."""
        for name, part in self.public:
            if isinstance(part, Function):
                yield name, part

    def at(self, part: ast.AST) -> str:
        """Where a piece of code stands, as an editor opens it."""
        return f"{self.path}:{getattr(part, 'lineno', 1)}"


def _public(
    body: list[ast.stmt], within: str
) -> Iterator[tuple[str, Function | ast.ClassDef]]:
    for part in body:
        if not isinstance(part, Function | ast.ClassDef) or part.name.startswith("_"):
            continue
        if _is_repeated(part):
            continue
        yield within + part.name, part
        if isinstance(part, ast.ClassDef):
            yield from _public(part.body, f"{within}{part.name}.")


def _is_repeated(part: Function | ast.ClassDef) -> bool:
    """Whether this is an overload or the setter of a property already described."""
    return bool(decorators(part) & {"overload", "setter"})


def decorators(part: Function | ast.ClassDef) -> set[str]:
    """Last names of the decorators: `check` for `@checks.check(...)`."""
    names = set()
    for made in part.decorator_list:
        called = made.func if isinstance(made, ast.Call) else made
        names.add(called.attr if isinstance(called, ast.Attribute) else "")
        names.add(called.id if isinstance(called, ast.Name) else "")
    return names - {""}


def arguments(function: Function) -> list[ast.arg]:
    """The arguments a caller gives, in order."""
    named = function.args
    every = [*named.posonlyargs, *named.args, *named.kwonlyargs]
    every += [more for more in (named.vararg, named.kwarg) if more]
    return [each for each in every if each.arg not in ("self", "cls")]


@cache
def text_files() -> tuple[Path, ...]:
    """Every text file of the project that people of the project wrote."""
    found = [path for path in ROOT.iterdir() if path.is_file()]
    for folder in (*FOLDERS, *MORE_FOLDERS):
        found += (ROOT / folder).rglob("*")
    return tuple(
        path
        for path in sorted(found)
        if path.is_file()
        and not NOT_OURS & set(path.relative_to(ROOT).parts)
        and (path.suffix in TEXT_ENDINGS or path.parent.name == ".ci")
    )


@cache
def modules(*folders: str) -> tuple[Module, ...]:
    """The Python files under the named folders, or the named files."""
    return tuple(
        Module(relative(path), path.read_text(encoding="utf-8"))
        for path in text_files()
        if path.suffix == ".py" and relative(path).startswith(folders)
    )


def package() -> tuple[Module, ...]:
    """The Python files of the package."""
    return modules(PACKAGE + "/")


def product() -> tuple[Module, ...]:
    """The Python files that are not tests."""
    return modules(PACKAGE + "/", "benchmarks/", "scripts/", "run.py")


def everything() -> tuple[Module, ...]:
    """Every Python file of the project."""
    return modules("")


def relative(path: Path) -> str:
    """A path from the project's folder, with forward slashes everywhere."""
    return path.relative_to(ROOT).as_posix()


def none_found(found: Iterable[str]) -> None:
    """Hold where nothing was found; otherwise name every place on its own line."""
    places = list(found)
    assert not places, "\n" + "\n".join(places)
