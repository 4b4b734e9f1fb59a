"""Measures printed for the keeper: rounded to what a kitchen scale, a ruler or a jug can show, metric or US.

``units`` is "metric" or "us". What is printed here can be read back by ``parse_amount`` to within its rounding, up
to three digits ("1.234 kg" would be asked about).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from math import floor, isfinite, log10

from wormbin.measures.amounts import Amount
from wormbin.measures.numbers import written_exactly
from wormbin.measures.units import FOOT_M, GALLON_L, INCH_M, LB_FT2, LB_FT3, POUND_KG, UNITS, Dimension

_NOTHING = 1e-12
# No scale of a keeper's, nor of a trial in a pot, shows less than a milligram.
_NO_MASS = 1e-6
_UNKNOWN = "unknown"


def _round(value: float, digits: int) -> float:
    """Rounded to so many significant digits, halves away from zero as people do."""
    if abs(value) < _NOTHING:
        return 0.0
    step = 10.0 ** (digits - 1 - floor(log10(abs(value))))
    whole = floor(abs(value) * step + 0.5 + 1e-9)
    return (whole / step) * (1 if value > 0 else -1)


def figure(value: float, digits: int = 2) -> str:
    """A number to so many significant digits without exponent or needless noughts: 6.75 -> "6.8", 347 -> "350"."""
    if not isfinite(value):
        return _UNKNOWN
    rounded = _round(value, digits)
    if rounded == 0:
        return "0"
    places = max(0, digits - 1 - floor(log10(abs(rounded)) + 1e-12))
    text = f"{rounded:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _in_steps(si: float, steps: Sequence[tuple[str, float]], digits: int) -> tuple[float, str]:
    """The rounded value and unit name, in the first unit of which fewer than its limit are needed."""
    for name, limit in steps:
        value = _round(si / UNITS[name].factor, digits)
        if abs(value) < limit:
            return value, name
    name = steps[-1][0]
    return _round(si / UNITS[name].factor, digits), name


def _named(value: float, name: str, digits: int) -> str:
    plural = "s" if name == "cup" and abs(value) > 1 else ""
    return f"{figure(value, digits)} {_PRINTED.get(name, name)}{plural}"


_PRINTED = {"ml": "mL", "l": "L"}
_ENDLESS = float("inf")
_MASS = {"metric": (("g", 1000.0), ("kg", _ENDLESS)), "us": (("oz", 16.0), ("lb", _ENDLESS))}
_VOLUME = {
    "metric": (("ml", 1000.0), ("l", _ENDLESS)),
    "us": (("tbsp", 4.0), ("cup", 4.0), ("qt", 4.0), ("gal", _ENDLESS)),
}
_LENGTH = {"metric": (("cm", 100.0), ("m", _ENDLESS)), "us": (("in", 36.0), ("ft", _ENDLESS))}
_AREA = {"metric": (("cm2", 1000.0), ("m2", _ENDLESS)), "us": (("in2", 144.0), ("ft2", _ENDLESS))}


def _print(si: float, table: Mapping[str, Sequence[tuple[str, float]]], units: str, digits: int) -> str:
    if not isfinite(si):
        return _UNKNOWN
    return _named(*_in_steps(si, table["us" if units == "us" else "metric"], digits), digits)


def mass(kg: float, units: str = "metric", *, digits: int = 2) -> str:
    """Mass in kg as "120 g", "1.4 kg", "4.2 oz", "3.1 lb"; less than a milligram is nothing."""
    return _print(0.0 if abs(kg) < _NO_MASS else kg, _MASS, units, digits)


def volume(litres: float, units: str = "metric", *, digits: int = 2) -> str:
    """Volume in L as "250 mL", "3.5 L", "1.5 cups", "2.1 qt", "5 gal"."""
    return _print(litres, _VOLUME, units, digits)


def scooped(kg: float, units: str = "metric", most_kg: float = _ENDLESS) -> str:
    """A mass to put in or take out, as a kitchen can measure it: "450 g", "1.5 kg", "4 oz"; never over ``most_kg``."""
    return mass(min(most_kg, _measured(kg, "lb" if units == "us" else "kg")), units)


def poured(litres: float, units: str = "metric") -> str:
    """An amount of water as a kitchen can measure it: "300 mL", "1.5 L", "2 cups"."""
    return volume(_measured(litres, "qt" if units == "us" else "l"), units)


def _measured(si: float, name: str) -> float:
    """To two digits, the second of them 0 or 5: what a cup or a kitchen scale can tell."""
    value = si / UNITS[name].factor
    if value < _NOTHING:
        return 0.0
    step = 5 * 10.0 ** (floor(log10(value)) - 1)
    return max(step, step * floor(value / step + 0.5 + 1e-9)) * UNITS[name].factor


def length(metres: float, units: str = "metric", *, digits: int = 2) -> str:
    """Length in m as "18 cm", "1.2 m", "7.1 in", "4 ft"."""
    return _print(metres, _LENGTH, units, digits)


def area(m2: float, units: str = "metric", *, digits: int = 2) -> str:
    """Area in m2 as "230 cm2", "0.24 m2", "2.6 ft2"."""
    return _print(m2, _AREA, units, digits)


_EXACT: Mapping[Dimension, Mapping[str, Sequence[tuple[str, float]]]] = {
    Dimension.MASS: _MASS, Dimension.VOLUME: _VOLUME, Dimension.LENGTH: _LENGTH, Dimension.AREA: _AREA,
    Dimension.TEMPERATURE: {"metric": (("°c", _ENDLESS),), "us": (("°f", _ENDLESS),)},
    Dimension.FRACTION: {"metric": (("%", _ENDLESS),)},
}  # fmt: skip
_GLUED = {"°c": "C", "°f": "F", "%": "%"}
_FEW = 6


def exact(si: float, of: Dimension, units: str = "metric") -> str:
    """Words that read back as exactly ``si``, to the fifteen digits that a double carries for certain.

    In the measures that are asked for where these take few digits, else in those that do: 18 cm are no round inches.
    """
    tables, wanted = _EXACT[of], float(f"{si:.15g}")
    systems = sorted(tables, key=lambda system: system != ("us" if units == "us" else "metric"))
    names = [_in_steps(si, tables[system], 15)[1] for system in systems]
    names += [name for name, _ in tables["metric"] if name not in names]  # one of them is the SI unit itself
    found = []
    for name in names:
        value = float(f"{si / UNITS[name].factor - UNITS[name].shift:.15g}")
        if Amount(value, UNITS[name], "").si == wanted:
            number = written_exactly(value)
            plural = "s" if name == "cup" and abs(value) > 1 else ""
            found.append((number, number + _GLUED.get(name, f" {_PRINTED.get(name, name)}{plural}")))
    few = (words for number, words in found if len(number.strip("-0.").replace(".", "")) <= _FEW)
    return next(few, found[0][1] if found else written_exactly(wanted * 100) + "%")


def density(kg_m3: float, units: str = "metric") -> str:
    """Bulk density in kg/m3 as "520 kg/m3" or "32 lb/ft3"."""
    if not isfinite(kg_m3):
        return _UNKNOWN
    return f"{figure(kg_m3 * LB_FT3)} lb/ft3" if units == "us" else f"{figure(kg_m3)} kg/m3"


def temperature(celsius: float, units: str = "metric", *, places: int = 0) -> str:
    """Temperature in degC as "21 °C" or "70 °F"."""
    if not isfinite(celsius):
        return _UNKNOWN
    value, name = (celsius * 9 / 5 + 32, "°F") if units == "us" else (celsius, "°C")
    rounded = round(value, places) + 0.0
    return f"{rounded:.{places}f} {name}"


def percent(fraction: float, *, places: int = 0) -> str:
    """A fraction as "82%"; something that is not nought never prints as nought or as all."""
    if not isfinite(fraction):
        return _UNKNOWN
    value = fraction * 100
    smallest = 10.0**-places
    if 0 < value < smallest / 2:
        return f"under {smallest:.{places}f}%"
    if 100 - smallest / 2 < value < 100:
        return f"over {100 - smallest:.{places}f}%"
    return f"{round(value, places) + 0.0:.{places}f}%"


_NUMBER = r"\d+(?:\.\d+)?"
_AMOUNT = re.compile(
    rf"(?<![\w.:/,])({_NUMBER})(?:(-| x | to )({_NUMBER}))? ?(cm|mm|kg/m2|m2|kg|g|mL|L|°C|degrees C|C)"
    r"(?![\w/²2-])(?!:\S)"
)


def told(text: str, units: str) -> str:
    """The text with its metric amounts in the keeper's units: "a layer of 2.5-4 cm" as "a layer of 1-1.5 in".

    Amounts in other units stay as they are. In metric the text is returned unchanged.
    """
    return _AMOUNT.sub(_us, text) if units == "us" and any(char.isdigit() for char in text) else text


def _us(found: re.Match[str]) -> str:
    low, between, high, unit = found.groups()
    factor, name, step = _AS[unit]
    first = _say(float(low), factor, step)
    last = f"{between}{_say(float(high), factor, step)}" if high else ""
    return f"{first}{last} {name}"


def _say(value: float, factor: float, step: float) -> str:
    if factor == 0.0:
        return f"{value * 9 / 5 + 32:.0f}"
    if value == 0.0:
        return "0"
    amount = value * factor
    if step == 0.0:
        return f"{amount:.2g}"
    if amount > 20 * step * 2:
        step *= 10
    return f"{max(step, round(amount / step) * step):g}"


_AS = {
    "cm": (0.01 / INCH_M, "in", 0.5), "mm": (0.001 / INCH_M, "in", 0.125), "kg/m2": (LB_FT2, "lb/ft2", 0.0),
    "m2": (1 / FOOT_M**2, "ft2", 0.0),
    "kg": (1 / POUND_KG, "lb", 0.5), "g": (0.016 / POUND_KG, "oz", 0.5), "L": (4 / GALLON_L, "qt", 0.5),
    "mL": (0.128 / GALLON_L, "fl oz", 1.0),
    "°C": (0.0, "°F", 1.0), "degrees C": (0.0, "°F", 1.0), "C": (0.0, "°F", 1.0),
}  # fmt: skip
"""For each metric unit the factor to its US one (0 for a temperature), its name, and the step that it is told to."""
