"""Names, messages and texts keep to the words of the bench."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

from tests.tidy.tree import (
    PACKAGE,
    Module,
    modules,
    none_found,
    package,
    product,
    relative,
    text_files,
)

NEVER_IN_NAMES = {
    *("item", "items", "object", "objects", "node", "nodes", "entity", "entities"),
    *("data", "info", "manager", "handler", "handlers"),
    *("helper", "helpers", "util", "utils"),
}
NEVER_IN_MESSAGES = re.compile(r"\binvalid\b|\berror:|\bplease\b", re.IGNORECASE)
NEVER_IN_TEXTS = re.compile(r"(?<!aria-)\binvalid\b|\berror:|\bplease\b", re.IGNORECASE)
# Written in two halves, so that this file does not find itself.
UNFINISHED = re.compile(r"\b(TO" r"DO|FIX" r"ME|X" r"XX|HA" r"CK)\b")
MACHINE = re.compile(
    r"(?<![\w.])/(?:ro"
    r"ot|ho"
    r"me|wo"
    r"rk|Us"
    r"ers)/\w|[A-Z]:\\Us"
    r"ers\\|\.\./sha"
    r"red"
)
NEVER_IN_TESTS = frozenset(
    ["skip", "skipif", "xfail", "importorskip", "sleep", "wait_for_timeout"]
)


def names_given(module: Module) -> Iterator[tuple[ast.AST, str]]:
    """Every name that a file gives to something."""
    for part in ast.walk(module.tree):
        if isinstance(part, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            yield part, part.name
        elif isinstance(part, ast.arg):
            yield part, part.arg
        elif isinstance(part, ast.Name) and isinstance(part.ctx, ast.Store):
            yield part, part.id
        elif isinstance(part, ast.alias) and part.asname:
            yield part, part.asname


def words_of(name: str) -> set[str]:
    """The words of a name: both `hole_data` and `HoleData` hold `data`."""
    return {word.lower() for word in re.findall(r"[A-Z]?[a-z]+|[A-Z]+", name)}


def empty_names(module: Module) -> Iterator[str]:
    """Names that hold a word which says nothing."""
    stem = module.path.rpartition("/")[2].removesuffix(".py")
    for word in words_of(stem) & NEVER_IN_NAMES:
        yield f"{module.path}: {word}"
    for part, name in names_given(module):
        for word in words_of(name) & NEVER_IN_NAMES:
            yield f"{module.at(part)}: {name}: {word}"


def messages(module: Module) -> Iterator[ast.Constant]:
    """Texts in the code that are not docstrings."""
    docstrings = {
        id(part.body[0].value)
        for part in ast.walk(module.tree)
        if isinstance(part, ast.Module | ast.ClassDef | ast.FunctionDef)
        and part.body
        and isinstance(part.body[0], ast.Expr)
    }
    for part in ast.walk(module.tree):
        is_text = isinstance(part, ast.Constant) and isinstance(part.value, str)
        if is_text and id(part) not in docstrings:
            yield part


def rude_messages(module: Module) -> Iterator[str]:
    """Texts with a word that no message of ours uses."""
    for text in messages(module):
        if NEVER_IN_MESSAGES.search(str(text.value)):
            yield f"{module.at(text)}: {text.value!r}"


def dodges(module: Module) -> Iterator[str]:
    """Tests that are left out, or that wait for a time instead of an event."""
    for part in ast.walk(module.tree):
        if isinstance(part, ast.Attribute) and part.attr in NEVER_IN_TESTS:
            yield f"{module.at(part)}: {part.attr}"


def found_in_files(pattern: re.Pattern[str]) -> list[str]:
    """Places in any file of the project where a pattern is found."""
    return [
        f"{relative(path)}:{number}: {line.strip()[:80]}"
        for path in text_files()
        if path.suffix != ".lock"
        for number, line in enumerate(path.read_text("utf-8").splitlines(), start=1)
        if pattern.search(line)
    ]


def test_names_say_something() -> None:
    """No name holds a word such as item, data or manager."""
    none_found(name for module in product() for name in empty_names(module))


def test_messages_keep_to_our_words() -> None:
    """No text in the code says invalid, error: or please."""
    none_found(text for module in package() for text in rude_messages(module))


def test_pages_and_catalogues_keep_to_our_words() -> None:
    """No template, catalogue or table of the package says them either."""
    endings = {".html", ".typ", ".toml", ".yaml", ".json", ".csv"}
    found = [
        f"{relative(path)}: {match[0]}"
        for path in text_files()
        if relative(path).startswith(PACKAGE + "/") and path.suffix in endings
        for match in NEVER_IN_TEXTS.finditer(path.read_text(encoding="utf-8"))
    ]
    none_found(found)


def test_nothing_is_left_unfinished() -> None:
    """No file holds a mark for work left over."""
    none_found(found_in_files(UNFINISHED))


def test_no_path_of_a_machine_is_named() -> None:
    """No file names a folder that only one machine has."""
    none_found(found_in_files(MACHINE))


def test_no_test_is_left_out_or_sleeps() -> None:
    """Every test runs, and waits for what happens rather than for a time."""
    none_found(found for module in modules("tests/") for found in dodges(module))


def test_an_empty_name_is_seen() -> None:
    """Each way of giving a name is looked at, in both ways of writing."""
    for text in (
        "hole_data = 1",
        "class HoleManager: ...",
        "def f(item): ...",
        "import x as node",
        "for info in ():\n    pass",
    ):
        assert len(list(empty_names(Module("m.py", text)))) == 1
    assert len(list(empty_names(Module("utils.py", "")))) == 1
    assert list(empty_names(Module("m.py", "dataclass = update = 1"))) == []


def test_a_rude_message_is_seen() -> None:
    """A plain and a composed text are read; a docstring may name the word."""
    assert len(list(rude_messages(Module("m.py", "a = 'Invalid size'")))) == 1
    assert len(list(rude_messages(Module("m.py", "a = f'{b}: please try'")))) == 1
    assert list(rude_messages(Module("m.py", '"""Never invalid."""'))) == []


def test_a_mark_and_a_machine_path_are_seen() -> None:
    """Both patterns find what they are for."""
    assert UNFINISHED.search("# TO" + "DO: later")
    assert MACHINE.search("open('/ho" + "me/someone/plan.yaml')")


def test_a_dodging_test_is_seen() -> None:
    """A mark that leaves a test out, and a sleep, are both found."""
    for text in ("@pytest.mark.xfail\ndef test_a(): ...", "time.sleep(1)"):
        assert len(list(dodges(Module("tests/test_a.py", text)))) == 1
