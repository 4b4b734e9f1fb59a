"""How the SI values of one quantity are told to the keeper: what a gauge, a chart and its axis are all read in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from wormbin.measures import length, mass, percent, temperature
from wormbin.measures.units import FOOT_M, INCH_M, POUND_KG

Say = Callable[[float], str]

_PRINTED = {
    "g": 1000.0, "kg": 1.0, "oz": 16 / POUND_KG, "lb": 1 / POUND_KG, "cm": 100.0, "m": 1.0, "in": 1 / INCH_M,
    "ft": 1 / FOOT_M, "°F": 1.8,
}  # fmt: skip
"""What a difference in the SI unit is to be multiplied with, by the unit in which the value is printed."""
LEAST_BIG_KG = {"metric": 1.0, "us": POUND_KG}


@dataclass(frozen=True, slots=True)
class Measure:
    """``say`` prints a value; ``factor`` and ``offset`` give the number it prints, so that marks fall on round numbers
    of the keeper's unit (degF: 1.8 and 32; percent of a fraction: 100 and 0).

    There is no value beyond ``least`` and ``most`` (a share ends at 1), so no mark is either. ``unit`` is its name.
    """

    say: Say = "{:g}".format
    factor: float = 1.0
    offset: float = 0.0
    unit: str = ""
    least: float | None = None
    most: float | None = None

    def shown(self, value: float) -> float:
        """An SI value in the keeper's unit."""
        return value * self.factor + self.offset

    def difference(self, value: float) -> float:
        """What a difference near ``value`` is to be multiplied with, to be told in the unit that the value is in."""
        return _PRINTED.get(self.say(value).rpartition(" ")[2], self.factor)


@cache
def measure_of(unit: str, units: str, *, small: bool = False) -> Measure:
    """How a figure in this SI ``unit`` is told, ``units`` being metric or us; with ``small`` an axis is in g or oz."""
    us = units == "us"
    match unit:
        case "kg":
            name = ("oz" if small else "lb") if us else "g" if small else "kg"
            return Measure(lambda kg: weighed(kg, units), _PRINTED[name], unit=name, least=0.0)
        case "m":
            factor, name = (_PRINTED["in"], "in") if us else (_PRINTED["cm"], "cm")
            return Measure(lambda m: length(m, units), factor, unit=name, least=0.0)
        case "degC":
            factor, offset = (1.8, 32.0) if us else (1.0, 0.0)
            return Measure(lambda c: temperature(c, units), factor, offset, "°F" if us else "°C")
        case "fraction":
            return Measure(percent, 100.0, unit="%", least=0.0, most=1.0)
        case "pH":
            return Measure("{:.1f}".format)
        case _:
            return Measure(lambda value: f"{value:.0f}" if abs(value) >= 10 else f"{value:.2g}")


def weighed(kg: float, units: str) -> str:
    """A mass as a kitchen scale would tell it: nobody weighs the milligrams of a bin."""
    if units == "us":
        return "under 0.1 oz" if 0.0 < kg < 0.05 / _PRINTED["oz"] else mass(kg, units)
    if 0.0 < kg < 0.0005:
        return "under 1 g"
    return mass(round(kg, 3), units)
