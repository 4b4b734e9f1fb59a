"""Fixed texts in the keeper's measures: the metric amounts in a sentence that was written once, told in US ones."""

from __future__ import annotations

import re

from wormbin.measures.units import FOOT_M, GALLON_L, INCH_M, LB_FT2, POUND_KG

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
