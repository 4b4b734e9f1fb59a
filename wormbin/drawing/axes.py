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
