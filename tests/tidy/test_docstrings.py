"""What is public is described; what counts has a unit and a source."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

from tests.tidy.tree import (
    Function,
    Module,
    arguments,
    decorators,
    everything,
    modules,
    none_found,
    package,
    product,
)

NUMBERED_FLOORS = ("units", "standards", "engines")
SOURCED_FLOORS = ("standards", "engines")
NUMBER = re.compile(r"\b(float|Fraction|Number)\b")
HIGHER = re.compile(r"\b(Callable|Mapping|dict)\b")  # numbers of any unit, passed on
UNIT = re.compile(r"\[[^\[\]]+\]|\bthe printed unit\b")
SOURCE = re.compile(r"^(Source: \S|Source:$|.*\bSource: \S)", re.MULTILINE)
ARGUMENT = re.compile(r"^ {4}\*{0,2}(\w+):", re.MULTILINE)
SECTION = re.compile(r"^(Args|Returns|Raises|Yields|Example|Source):", re.MULTILINE)
# Their docstring is a page of the documentation; unit and source stand in the
# decorator, whose arguments are not optional.
DESCRIBED_BY_DECORATOR = frozenset({"rule", "check"})


def undescribed(module: Module) -> Iterator[str]:
    """Public names, and the module itself, without a docstring."""
    if not ast.get_docstring(module.tree):
        yield f"{module.path}: the module"
    for name, part in module.public:
        if not ast.get_docstring(part):
            yield f"{module.at(part)}: {name}"


def without_unit(module: Module) -> Iterator[str]:
    """Public functions that take or return numbers and name no unit in brackets."""
    for name, function in module.public_functions:
        written = [one.annotation for one in arguments(function)] + [function.returns]
        texts = [ast.unparse(one) for one in written if one]
        takes_numbers = any(NUMBER.search(t) and not HIGHER.search(t) for t in texts)
        by_decorator = decorators(function) & DESCRIBED_BY_DECORATOR
        has_unit = by_decorator or UNIT.search(described(function))
        if takes_numbers and not has_unit:
            yield f"{module.at(function)}: {name} names no [unit]"


def without_source(module: Module) -> Iterator[str]:
    """Published rules that do not say where they are from.

    On the floor of the engines these are the registered ones.
    """
    for name, function in module.public_functions:
        is_rule = module.floor != "engines" or "rule" in decorators(function)
        is_method = "." in name
        if is_rule and not is_method and not SOURCE.search(described(function)):
            yield f"{module.at(function)}: {name} names no Source:"


def misdescribed(module: Module) -> Iterator[str]:
    """Functions whose Args section names other arguments than they take."""
    for function in module.functions:
        text = described(function)
        sections = SECTION.split(text)
        if "Args" not in sections:
            continue
        told = ARGUMENT.findall(sections[sections.index("Args") + 1])
        taken = [one.arg for one in arguments(function)]
        if told != taken:
            yield f"{module.at(function)}: tells {told}, takes {taken}"


def described(function: Function) -> str:
    """A function's docstring, without its indentation."""
    return ast.get_docstring(function) or ""


def test_public_names_are_described() -> None:
    """Every module, and every public class, function and method, has a docstring."""
    none_found(name for module in product() for name in undescribed(module))


def test_tests_are_described_in_one_line() -> None:
    """Every test says on its docstring's first line what it shows."""
    bare = [
        module.at(test)
        for module in modules("tests/")
        for test in module.tests
        if not described(test).partition("\n")[0].strip()
    ]
    none_found(bare)


def test_functions_of_numbers_name_their_units() -> None:
    """On the floors that calculate, a number's unit stands in brackets."""
    floors = [module for module in package() if module.floor in NUMBERED_FLOORS]
    none_found(found for module in floors for found in without_unit(module))


def test_rules_name_their_sources() -> None:
    """On the floors of published rules, each function names its source."""
    floors = [module for module in package() if module.floor in SOURCED_FLOORS]
    none_found(found for module in floors for found in without_source(module))


def test_described_arguments_are_those_taken() -> None:
    """An Args section names every argument, in order, and no other."""
    none_found(found for module in everything() for found in misdescribed(module))


GOOD = '''"""A module."""
def edge_mm(width_mm: float) -> float:
    """Edge distance.

    Args:
        width_mm: width of the sheet [mm].

    Source: own geometry.
    """
'''


def test_a_full_docstring_passes() -> None:
    """Unit, source and arguments are all there."""
    module = Module("m.py", GOOD)
    for rule in (undescribed, without_unit, without_source, misdescribed):
        assert list(rule(module)) == []


def test_what_a_docstring_lacks_is_seen() -> None:
    """Each rule sees the one thing that was taken out for it."""
    for rule, old, new in (
        (undescribed, '"""A module."""', ""),
        (without_unit, "[mm]", ""),
        (without_source, "Source: own geometry.", ""),
        (misdescribed, "        width_mm:", "        height_mm:"),
    ):
        assert old in GOOD
        assert len(list(rule(Module("m.py", GOOD.replace(old, new))))) == 1
