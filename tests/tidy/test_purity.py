"""The lower floors know no clock, no chance and no disk."""

from __future__ import annotations

import ast
from collections.abc import Iterator

from tests.tidy.tree import Module, none_found, package

PURE_FLOORS = ("errors", "units", "model", "engines")
PURE_RECORD = (
    *("chain", "fact", "fold", "fold_holes", "fold_plan", "fold_shop", "kinds"),
    *("order", "ranges", "snapshots", "state", "telling", "touching", "upcast"),
)
PURE_MODULES = tuple(f"src/rivetwright/record/{name}.py" for name in PURE_RECORD)
NEVER_IMPORTED = {
    *("io", "glob", "os", "pathlib", "shutil", "tempfile"),
    *("logging", "sqlite3", "socket", "subprocess", "urllib"),
    *("locale", "random", "secrets", "time", "uuid"),
}
NEVER_CALLED = frozenset({"open", "input", "print", "exec"})
CLOCKS = frozenset({"now", "utcnow", "today"})
# Tables that belong to a floor are read through the package, wherever it lies.
RESOURCES = "importlib.resources"
FLOORS_WITH_TABLES = ("units", "standards")


def impurities(module: Module) -> Iterator[str]:
    """Uses of the clock, of chance or of the disk."""
    for part in ast.walk(module.tree):
        for what in _impure(part, module.floor):
            yield f"{module.at(part)}: {what}"


def _impure(part: ast.AST, floor: str) -> Iterator[str]:
    if isinstance(part, ast.Import):
        names = [one.name for one in part.names]
    elif isinstance(part, ast.ImportFrom):
        names = [part.module or ""]
    else:
        names = []
    for name in names:
        if name.partition(".")[0] in NEVER_IMPORTED:
            yield f"import of {name}"
        if name.startswith(RESOURCES) and floor not in FLOORS_WITH_TABLES:
            yield f"import of {name}"
    if isinstance(part, ast.Attribute) and part.attr in CLOCKS:
        yield f"the clock: {part.attr}"
    if isinstance(part, ast.Call):
        yield from _impure_call(part)


def _impure_call(call: ast.Call) -> Iterator[str]:
    called = ast.unparse(call.func)
    if called in NEVER_CALLED:
        yield f"call of {called}"
    is_chance = ".random." in called
    is_seeded = called.endswith(".default_rng") and call.args
    if is_chance and not is_seeded:
        yield f"chance without a given seed: {called}"


def test_lower_floors_are_pure() -> None:
    """Units, model and engines use neither clock nor chance nor disk."""
    looked_at = [
        module
        for module in package()
        if module.floor in PURE_FLOORS or module.path in PURE_MODULES
    ]
    assert len(looked_at) > len(PURE_FLOORS)
    none_found(found for module in looked_at for found in impurities(module))


def test_each_impurity_is_seen() -> None:
    """One line for each way to the clock, to chance and to the disk."""
    for text in (
        "import time",
        "from pathlib import Path",
        "from importlib.resources import files",
        "date = datetime.now()",
        "text = open('a').read()",
        "x = np.random.rand()",
        "x = np.random.default_rng()",
    ):
        module = Module("src/rivetwright/engines/m.py", text)
        assert len(list(impurities(module))) == 1, text


def test_given_seeds_and_own_tables_pass() -> None:
    """Chance from a seed, and a floor's own table, are no impurity."""
    seeded = Module("src/rivetwright/engines/m.py", "x = np.random.default_rng(7)")
    table = Module(
        "src/rivetwright/units/m.py", "from importlib.resources import files"
    )
    assert list(impurities(seeded)) == list(impurities(table)) == []
