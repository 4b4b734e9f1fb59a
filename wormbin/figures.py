"""What a number looks like when it may be uncertain: a band, where it comes from, and the sum that made it.

Everything above this floor speaks of numbers in these words, so that an estimate can never be shown as a reading.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType


class Basis(StrEnum):
    """Where a figure comes from; shown as a word beside it, never by colour alone."""

    READ = "read"
    WORKED_OUT = "worked out"
    SAID = "said"
    BOOK = "book value"


class Level(StrEnum):
    """The three severities of the whole program; each has a word here, a shape and a colour on the screen."""

    STEADY = "steady"
    WATCH = "watch"
    ACT = "act"

    @property
    def rank(self) -> int:
        """0, 1 or 2: higher is worse."""
        return ("steady", "watch", "act").index(self.value)


@dataclass(frozen=True, slots=True)
class Band:
    """A 10/50/90 % band: eight times in ten the true value is between ``p10`` and ``p90``."""

    p10: float
    p50: float
    p90: float

    @classmethod
    def exactly(cls, value: float) -> Band:
        """A band of no width, for what is known."""
        return cls(value, value, value)

    @property
    def width(self) -> float:
        """``p90 - p10``, in the unit of the values."""
        return self.p90 - self.p10

    def times(self, factor: float) -> Band:
        """The band with every value multiplied by a known ``factor`` (>= 0)."""
        return Band(self.p10 * factor, self.p50 * factor, self.p90 * factor)


@dataclass(frozen=True, slots=True)
class Quantity:
    """One named number that goes into a working: SI or fraction, with its unit in words, and where it comes from."""

    name: str
    value: float
    unit: str
    basis: Basis
    note: str = ""


@dataclass(frozen=True, slots=True)
class Working:
    """A number opened: what went in, the formula, the source, how sure it is, and what it means in plain words.

    ``formula`` is arithmetic over the names of ``inputs`` (see ``put_in``), so that anyone can put the shown inputs in
    and get ``value`` to the shown digits.
    """

    title: str
    value: float
    unit: str
    formula: str
    inputs: tuple[Quantity, ...]
    source: str
    sure: str
    plain: str = ""
    rests_on: tuple[str, ...] = ()


SHOWN_DIGITS = 6
"""Significant digits in which the inputs of a working are shown, and its value is worked out from them as shown."""


def as_shown(working: Working, digits: int = SHOWN_DIGITS) -> Working:
    """The working with its inputs rounded to the digits that are shown, and the value that the formula makes of those.

    So whoever puts the shown numbers in gets the shown value, to the last digit. Raises ValueError for a formula that
    is no arithmetic over the inputs.
    """
    inputs = tuple(replace(each, value=float(told_figure(each.value, each.unit, digits))) for each in working.inputs)
    return replace(working, inputs=inputs, value=put_in(working.formula, inputs))


def put_in(formula: str, inputs: Iterable[Quantity]) -> float:
    """What a formula makes of its inputs. Raises ValueError for anything but arithmetic over them.

    Allowed are + - * / **, ``min``, ``max``, ``floor``, ``exp``, ``log``, ``sqrt``, numbers and names of inputs.
    """
    values: dict[str, float] = {}
    for each in inputs:
        if each.name in values:
            raise ValueError(f"two inputs are called {each.name}")
        values[each.name] = each.value
    try:
        return _worked_out(ast.parse(formula, mode="eval").body, values)
    except SyntaxError as error:
        raise ValueError(f"no formula: {formula}") from error


_CALLS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {"min": min, "max": max, "floor": math.floor, "exp": math.exp, "log": math.log, "sqrt": math.sqrt}
)
_SIGNS: Mapping[type[ast.operator], Callable[[float, float], float]] = MappingProxyType({
    ast.Add: lambda a, b: a + b, ast.Sub: lambda a, b: a - b, ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b, ast.Pow: lambda a, b: a**b,
})  # fmt: skip


def _worked_out(node: ast.expr, values: Mapping[str, float]) -> float:
    match node:
        case ast.Constant(value=int() | float() as number) if not isinstance(number, bool):
            return float(number)
        case ast.Name(id=name) if name in values:
            return values[name]
        case ast.UnaryOp(op=ast.USub(), operand=inner):
            return -_worked_out(inner, values)
        case ast.BinOp(left=left, op=sign, right=right) if type(sign) in _SIGNS:
            return _SIGNS[type(sign)](_worked_out(left, values), _worked_out(right, values))
        case ast.Call(func=ast.Name(id=name), args=given, keywords=[]) if name in _CALLS:
            return float(_CALLS[name](*(_worked_out(each, values) for each in given)))
        case _:
            raise ValueError(f"not arithmetic over the inputs: {ast.unparse(node)}")


LEFT_BY_ROUNDING = 1e-10
"""Less than this of anything measured is what rounding leaves; more of it may still count in the last digit shown."""


def told_figure(value: float, unit: str, digits: int = 3) -> str:
    """A figure to so many digits for whoever opens a number; what only rounding leaves of kg, L, m or days is nothing.

    A constant of nature in any other unit may be that small, and is told.
    """
    measured = unit.split(" ")[0] in ("kg", "L", "m", "days")
    return "0" if measured and abs(value) < LEFT_BY_ROUNDING else f"{value:.{digits}g}"


LITTLE_WEIGHT = 0.3
"""A reading that counts for less than this part of one that fits counts little (ours)."""


def weight_words(weight: float) -> str:
    """How much a reading counts that does not fit what was believed; its share is with the opened figure."""
    return "counts little" if weight < LITTLE_WEIGHT else "counts less"
