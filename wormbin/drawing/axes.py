"""Where an axis has its marks: round values in the keeper's unit, and dates whose labels never overlap."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from datetime import date

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
    per_cell = max(days, 1) / max(columns - 1, 1)
    apart = LEAST_GAP * per_cell
    for step in (1, 2):
        if step >= apart:
            return tuple((day, day_month(day)) for day in _days(first, last, step))
    for step in (7, 14):
        if step >= apart:
            return tuple((day, day_month(day)) for day in _days(first, last, step))
    for months in (1, 2, 3, 6):
        if months * 28 >= apart:
            return tuple((day, _month_label(day)) for day in _firsts(first, last, months))
    for years in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000):
        if years * 365 >= apart:
            return tuple((day, str(day.year)) for day in _firsts(first, last, 12 * years))
    return ()


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


def spread(labels: Iterable[tuple[int, str]], width: int) -> tuple[tuple[int, str], ...]:
    """Labels wanted at a middle column, as (first column, text), without any that would touch one before it.

    Earlier labels in ``labels`` have the better right; all stay within ``width`` cells.
    """
    taken: list[tuple[int, int]] = []
    kept: list[tuple[int, str]] = []
    for middle, text in labels:
        start = min(max(middle - len(text) // 2, 0), width - len(text))
        end = start + len(text)
        if not text or start < 0 or any(start <= other_end and end >= other for other, other_end in taken):
            continue
        taken.append((start, end))
        kept.append((start, text))
    return tuple(sorted(kept))
