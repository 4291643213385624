"""Displayed formulas evaluated a second time: the expression's tree, plain numbers.

A value is a number, or a list with one number per sheet, nan beyond the last sheet.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping

Value = float | list[float]

NAN = math.nan


def _both(
    function: Callable[[float, float], float], left: Value, right: Value
) -> Value:
    """A function of two numbers, sheet by sheet where one of them is per sheet."""
    if isinstance(left, list) and isinstance(right, list):
        return [function(a, b) for a, b in zip(left, right, strict=True)]
    if isinstance(left, list):
        return [function(a, float(right)) for a in left]  # type: ignore[arg-type]
    if isinstance(right, list):
        return [function(left, b) for b in right]
    return function(left, right)


def _divided(a: float, b: float) -> float:
    """Division that gives nan or infinity instead of stopping."""
    if b != 0:
        return a / b
    return NAN if a == 0 or math.isnan(a) else math.copysign(math.inf, a)


def _powered(a: float, b: float) -> float:
    """A power; nan stays nan."""
    return NAN if math.isnan(a) else float(a**b)


def _less(a: float, b: float) -> float:
    """The smaller; the other where one is nan."""
    return b if math.isnan(a) else a if math.isnan(b) else min(a, b)


def _more(a: float, b: float) -> float:
    """The larger; the other where one is nan."""
    return b if math.isnan(a) else a if math.isnan(b) else max(a, b)


def _root(a: float) -> float:
    """Square root; nan below nought."""
    return math.sqrt(a) if a >= 0 else NAN


def _log(a: float) -> float:
    """Natural logarithm; nan below nought, minus infinity of nought."""
    if a > 0:
        return math.log(a)
    return -math.inf if a == 0 else NAN


OPERATORS: dict[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: lambda a, b: a + b,
    ast.Sub: lambda a, b: a - b,
    ast.Mult: lambda a, b: a * b,
    ast.Div: _divided,
    ast.Pow: _powered,
    ast.BitAnd: lambda a, b: float(a and b),
}
COMPARISONS: dict[type[ast.cmpop], Callable[[float, float], float]] = {
    ast.Eq: lambda a, b: float(a == b),
    ast.NotEq: lambda a, b: float(a != b),
    ast.Gt: lambda a, b: float(a > b),
    ast.GtE: lambda a, b: float(a >= b),
    ast.Lt: lambda a, b: float(a < b),
    ast.LtE: lambda a, b: float(a <= b),
}


def _sheets(value: Value) -> list[float]:
    """The sheets that are there."""
    assert isinstance(value, list)
    return [one for one in value if not math.isnan(one)]


def _where(condition: Value, then: Value, otherwise: Value) -> Value:
    """Sheet by sheet one value or the other."""
    longest = next((v for v in (condition, then, otherwise) if isinstance(v, list)), 0)
    if not isinstance(longest, list):
        return then if condition else otherwise
    columns = [
        v if isinstance(v, list) else [v] * len(longest)
        for v in (condition, then, otherwise)
    ]
    return [a if c else b for c, a, b in zip(*columns, strict=True)]


def _nested_above(value: Value, preparation: Value) -> Value:
    """What lies dimpled straight above each sheet, added up."""
    assert isinstance(value, list)
    assert isinstance(preparation, list)
    found, running = [], 0.0
    for one, how in zip(value, preparation, strict=True):
        found.append(running)
        running = running + one if how == 1 else 0.0
    return found


def _of_angle(function: Callable[[float], float]) -> Callable[[float], float]:
    """A function of an angle in degrees."""
    return lambda angle: function(math.radians(angle))


WORDS: dict[str, Callable[..., Value]] = {
    "sum_sheets": lambda v: math.fsum(_sheets(v)),
    "least_sheet": lambda v: min(_sheets(v), default=NAN),
    "most_sheet": lambda v: max(_sheets(v), default=NAN),
    "first_sheet": lambda v: v[0],
    "last_sheet": lambda v: (_sheets(v) or [NAN])[-1],
    "nested_above": _nested_above,
    "where": _where,
    "sqrt": _root,
    "log": _log,
    "floor": lambda v: float(math.floor(v)),
    "min": lambda a, b: _both(_less, a, b),
    "max": lambda a, b: _both(_more, a, b),
    "sin_deg": _of_angle(math.sin),
    "cos_deg": _of_angle(math.cos),
    "tan_deg": _of_angle(math.tan),
}


def evaluate(expression: str, inputs: Mapping[str, Value]) -> Value:
    """The value of a displayed formula for given inputs."""
    return _walk(ast.parse(expression, mode="eval").body, inputs)


def _walk(part: ast.expr, inputs: Mapping[str, Value]) -> Value:
    """One part of the expression's tree."""
    match part:
        case ast.Constant(value=int() | float() as number):
            return float(number)
        case ast.Name(id="nan"):
            return NAN
        case ast.Name(id="pi"):
            return math.pi
        case ast.Name(id=name):
            return inputs[name]
        case ast.BinOp(left, operator, right):
            function = OPERATORS[type(operator)]
            return _both(function, _walk(left, inputs), _walk(right, inputs))
        case ast.Compare(left, [comparison], [right]):
            function = COMPARISONS[type(comparison)]
            return _both(function, _walk(left, inputs), _walk(right, inputs))
        case ast.Call(func=ast.Name(id=word), args=arguments):
            return WORDS[word](*(_walk(one, inputs) for one in arguments))
    raise AssertionError(f"a formula holds {ast.unparse(part)}")
