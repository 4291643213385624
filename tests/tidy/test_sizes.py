"""Files, functions, scripts and templates stay short enough to read at once."""

from __future__ import annotations

import ast
from collections.abc import Iterator

from tests.tidy.tree import (
    PACKAGE,
    Function,
    Module,
    everything,
    none_found,
    package,
    relative,
    text_files,
)

FILE_LINES_MAX = 500
FUNCTION_LINES_MAX = 45
LONG_FUNCTIONS_MAX = 0  # only ever lowered
SCRIPT_LINES_MAX = 200
TEMPLATE_LINES_MAX = 120
NUMBERS_IN_A_LITERAL_MAX = 24
LONG = "# long:"


def code_lines(function: Function, module: Module) -> int:
    """Lines of code from the def on: no docstring, comment or blank line."""
    lines = module.text.splitlines()
    start = function.lineno - 1
    if ast.get_docstring(function):
        docstring = function.body[0]
        kept = lines[start : docstring.lineno - 1]
        kept += lines[docstring.end_lineno : function.end_lineno]
    else:
        kept = lines[start : function.end_lineno]
    stripped = (line.strip() for line in kept)
    return sum(1 for line in stripped if line and not line.startswith("#"))


def long_functions(module: Module) -> Iterator[tuple[Function, str]]:
    """Functions over the limit, with the text they stand in."""
    lines = module.text.splitlines()
    for function in module.functions:
        if code_lines(function, module) > FUNCTION_LINES_MAX:
            # The reason may stand on the line above the function.
            yield (
                function,
                "\n".join(lines[max(function.lineno - 2, 0) : function.end_lineno]),
            )


def data_tables(module: Module) -> Iterator[str]:
    """Literals that hold so many numbers that they are a table."""
    for part in ast.walk(module.tree):
        if isinstance(part, ast.Dict | ast.List | ast.Tuple | ast.Set):
            numbers = sum(
                isinstance(one, ast.Constant) and isinstance(one.value, int | float)
                for one in ast.walk(part)
            )
            if numbers > NUMBERS_IN_A_LITERAL_MAX:
                yield f"{module.at(part)}: {numbers} numbers"


def test_files_stay_within_their_length() -> None:
    """No Python file is longer than 500 lines."""
    long = {m.path: n for m in everything() if (n := _lines(m.text)) > FILE_LINES_MAX}
    assert long == {}


def test_functions_stay_within_their_length() -> None:
    """A function of over 45 code lines bears a reason, and there are ever fewer."""
    long = [
        (module.at(function), LONG in text)
        for module in everything()
        for function, text in long_functions(module)
    ]
    none_found(where for where, has_reason in long if not has_reason)
    assert len(long) <= LONG_FUNCTIONS_MAX


def test_scripts_and_templates_of_the_web_stay_within_their_length() -> None:
    """An ES module has at most 200 lines, a template at most 120."""
    limits = {
        ".js": SCRIPT_LINES_MAX,
        ".mjs": SCRIPT_LINES_MAX,
        ".html": TEMPLATE_LINES_MAX,
    }
    long = {
        relative(path): count
        for path in text_files()
        if relative(path).startswith(f"{PACKAGE}/web/") and path.suffix in limits
        if (count := _lines(path.read_text(encoding="utf-8"))) > limits[path.suffix]
    }
    assert long == {}


def test_no_table_stands_in_python() -> None:
    """Published figures stand in CSV files with their sources, never in code."""
    none_found(found for module in package() for found in data_tables(module))


def test_a_long_function_is_counted_without_its_docstring_and_comments() -> None:
    """A def, two statements, a comment and a docstring are three code lines."""
    text = 'def f():\n    """Say."""\n    a = 1\n\n    # why\n    return a\n'
    module = Module("f.py", text)
    assert [code_lines(f, module) for f in module.functions] == [3]


def test_a_function_over_the_limit_is_seen() -> None:
    """A def and 45 statements are over the limit of 45 lines, 44 are not."""
    for count, expected in ((44, []), (45, ["f"])):
        text = "def f():\n" + "    a = 1\n" * count
        seen = [function.name for function, _ in long_functions(Module("f.py", text))]
        assert seen == expected


def test_a_table_in_python_is_seen() -> None:
    """A list of 25 numbers is a table, one of 24 is not."""
    for count, expected in ((24, 0), (25, 1)):
        module = Module("t.py", f"T = {list(range(count))}\n")
        assert len(list(data_tables(module))) == expected


def _lines(text: str) -> int:
    return len(text.splitlines())
