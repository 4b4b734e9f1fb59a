"""What a number looks like when it may be uncertain: a band, where it comes from, and the sum that made it.

Everything above this floor speaks of numbers in these words, so that an estimate can never be shown as a reading.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType

VOICES = ("plain", "sum", "source")
"""In which a number is explained: plain words and parts, the sum with its numbers, and where it is all from."""


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
    """One named number that goes into a working, with its unit in words; ``said`` is what it is called, else its name.

    It ``opens`` to the working that made it. One that opens no further says in ``source`` where it is from: a line of
    the log, a setting, a row of a table and its source, or that it is an estimate of the model.
    """

    name: str
    value: float
    unit: str
    basis: Basis
    note: str = ""
    said: str = ""
    source: str = ""
    opens: Working | None = None

    @property
    def words(self) -> str:
        """What it is called."""
        return self.said or self.name.replace("_", " ")

    @property
    def estimated(self) -> bool:
        """Whether anything that it is made of is an estimate of the model."""
        if self.opens is None:
            return self.basis is Basis.WORKED_OUT
        return any(each.estimated for each in self.opens.inputs)


@dataclass(frozen=True, slots=True)
class Working:
    """A number opened: what went in, the formula, the source, how sure it is, and what it means in plain words.

    ``formula`` is arithmetic over the names of ``inputs`` (see ``put_in``), so that anyone can put the shown inputs in
    and get ``value`` to the shown digits, of which ``digits`` are known.
    """

    title: str
    value: float
    unit: str
    formula: str
    inputs: tuple[Quantity, ...]
    source: str
    sure: str = ""
    plain: str = ""
    rests_on: tuple[str, ...] = ()
    digits: int = 3


def to_depth(working: Working, down: int) -> Working:
    """The working with what goes in opened so many levels further, and no more."""
    inputs = (replace(e, opens=e.opens and to_depth(e.opens, down - 1) if down > 0 else None) for e in working.inputs)
    return replace(working, inputs=tuple(inputs))


def put_in(formula: str, inputs: Iterable[Quantity]) -> float:
    """What a formula makes of its inputs. Raises ValueError for anything but arithmetic over them.

    Allowed are + - * / **, ``min``, ``max``, ``sqrt``, ``cut`` (rounded down to 0.01), numbers and names of inputs.
    """
    values: dict[str, float] = {}
    for each in inputs:
        if each.name in values:
            raise ValueError(f"two inputs are called {each.name}")
        values[each.name] = each.value
    return _worked_out(parsed(formula), values)


@lru_cache(maxsize=512)
def parsed(formula: str) -> ast.expr:
    """A formula as Python reads it; not to be changed. Raises ValueError for what is none."""
    try:
        return ast.parse(formula, mode="eval").body
    except SyntaxError as error:
        raise ValueError(f"no formula: {formula}") from error


_CALLS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {"min": min, "max": max, "sqrt": math.sqrt, "cut": lambda value: math.floor(100 * value + 0.001) / 100}
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
"""Less than this of anything measured is what rounding leaves."""


def digits_known(band: Band) -> int:
    """Significant figures that are known of a number with so wide a band: two or three, the last no finer than it."""
    if band.width <= 0 or not band.p50:
        return 3
    return max(2, min(3, math.floor(math.log10(abs(band.p50))) - math.floor(math.log10(band.width)) + 1))


def told_figure(value: float, digits: int = 3) -> str:
    """A figure to so many significant digits, written out; what only rounding leaves is nothing."""
    if abs(value) < LEFT_BY_ROUNDING or not math.isfinite(value):
        return "0" if math.isfinite(value) else "no end"
    value *= 1 + 1e-12  # half a digit goes up, whichever way it lies in binary
    places = digits - 1 - math.floor(math.log10(abs(value)))
    told = f"{round(value, places):.{max(0, places)}f}"
    return told.rstrip("0").rstrip(".") if "." in told else told


FAMILIES: tuple[tuple[Mapping[str, str], float], ...] = (
    ({"kg": "g", "kg a day": "g a day"}, 1000.0), ({"m": "cm"}, 100.0),
)  # fmt: skip
"""Units that become smaller ones where one of the numbers is under one and none is ten."""


def amount(value: float, unit: str, digits: int = 3) -> str:
    """A figure with its unit, to so many digits; a fraction in percent."""
    if unit == "fraction":
        return f"{told_figure(value * 100, digits)}%"
    return f"{told_figure(value, digits)} {unit}".rstrip()


def in_size(value: float, unit: str, digits: int = 3) -> str:
    """A figure that stands alone, in the unit that suits its size."""
    for family, factor in FAMILIES:
        if unit in family and abs(value) < 1.0:
            return amount(value * factor, family[unit], digits)
    return amount(value, unit, digits)


LITTLE_WEIGHT = 0.3
"""A reading that counts for less than this part of one that fits counts little (ours)."""


def weight_words(weight: float) -> str:
    """How much a reading counts that does not fit what was believed; its share is with the opened figure."""
    return "counts little" if weight < LITTLE_WEIGHT else "counts less"
