"""The measure a figure is told in, and where an axis has its marks: round values, and dates that never overlap."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
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


MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

LEAST_GAP = 8
"""Cells between two date marks: the longest label, ``23 Mar``, and a space at each side."""


def day_month(day: date) -> str:
    """``3 Mar``: short, and not to be mistaken for another order of day and month."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def round_values(low: float, high: float, most: int) -> tuple[float, ...]:
    """At most ``most`` values from ``low`` to ``high``, a round step (1, 2 or 5 times a power of ten) apart."""
    span = high - low
    if most < 1 or not (math.isfinite(span) and span > 0.0):
        return ()
    power = math.floor(math.log10(span / most)) if span / most > 1e-300 else -300
    for exponent in (power, power + 1, power + 2):
        for step in (1.0, 2.0, 5.0):
            gap = step * 10.0**exponent
            first, last = math.ceil(low / gap - 1e-9), math.floor(high / gap + 1e-9)
            if 0 <= last - first < most:
                return tuple(n * gap for n in range(first, last + 1))
    return ()


def date_marks(first: date, last: date, columns: int) -> tuple[tuple[date, str], ...]:
    """Dates from ``first`` to ``last`` to mark on ``columns`` cells, each with its label.

    They are days, Mondays, firsts of months or New Year's days, as close as ``LEAST_GAP`` cells allow; ISO weeks begin
    on Monday.
    """
    days = (last - first).days
    if days < 0 or columns < 6:
        return ()
    if step := _step(days, columns):
        return tuple((day, day_month(day)) for day in _days(first, last, step))
    per_cell = max(days, 1) / max(columns - 1, 1)
    apart = LEAST_GAP * per_cell
    for months in (1, 2, 3, 6):
        if months * 28 >= apart:
            return tuple((day, _month_label(day)) for day in _firsts(first, last, months))
    for years in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000):
        if years * 365 >= apart:
            return tuple((day, str(day.year)) for day in _firsts(first, last, 12 * years))
    return ()


def even_days(days: int, columns: int, fine: int = 1) -> float:
    """How many days ``columns`` cells of ``fine`` steps each should show for ``days`` to be seen, and for dates that
    are days or weeks apart to stand a whole number of cells apart; ``days`` where they are months apart."""
    step = _step(days, columns)
    if not step or days < 1:
        return float(days)
    across = columns * fine - 1
    cells = int(step * across / (days * fine))
    return step * across / (cells * fine) if cells >= LEAST_GAP else float(days)


def _step(days: int, columns: int) -> int:
    """Days between two date marks that are days or weeks apart; 0 where they are months apart."""
    apart = LEAST_GAP * max(days, 1) / max(columns, 1)
    return next((step for step in (1, 2, 7, 14) if step >= apart), 0) if days >= 0 and columns >= 6 else 0


def _month_label(day: date) -> str:
    return str(day.year) if day.month == 1 else MONTHS[day.month - 1]


def _days(first: date, last: date, step: int) -> Iterator[date]:
    """Every ``step`` days, the same ones wherever the axis begins; Mondays for weeks."""
    at = first.toordinal()
    at += (1 - at) % step
    while at <= last.toordinal():
        yield date.fromordinal(at)
        at += step


def _firsts(first: date, last: date, months: int) -> Iterator[date]:
    """Firsts of months, every ``months`` counted from January of year 0."""
    count = first.year * 12 + first.month - 1 + (first.day > 1)
    count += -count % months
    while count // 12 <= 9999:
        day = date(count // 12, count % 12 + 1, 1)
        if day > last:
            return
        yield day
        count += months


def spread(labels: Iterable[tuple[int, str]], width: int, sure: int = 0) -> tuple[tuple[int, str], ...]:
    """Labels wanted at a middle column, as (first column, text), without any that would touch one before it.

    Earlier labels in ``labels`` have the better right, but the first ``sure`` ones and those that need not be moved in
    from an edge go before the others; all stay within ``width`` cells.
    """
    wanted = list(labels)
    taken: list[tuple[int, int]] = []
    kept: list[tuple[int, str]] = []

    def moved(label: tuple[int, str]) -> bool:
        middle, text = label
        return not 0 <= middle - len(text) // 2 <= width - len(text)

    for middle, text in (*wanted[:sure], *sorted(wanted[sure:], key=moved)):
        start = min(max(middle - len(text) // 2, 0), width - len(text))
        end = start + len(text)
        if not text or start < 0 or any(start <= other_end and end >= other for other, other_end in taken):
            continue
        taken.append((start, end))
        kept.append((start, text))
    return tuple(sorted(kept))
