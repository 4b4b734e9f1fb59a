"""A course of bands through time as what each column of a chart has to show of it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from wormbin.figures import Band


@dataclass(frozen=True, slots=True)
class Point:
    """The estimate for one day, in the quantity's SI unit."""

    on: date
    band: Band


@dataclass(frozen=True, slots=True)
class Column:
    """What one column shows: the widest band and the run of the likely line within it."""

    low: float
    high: float
    line_low: float
    line_high: float


def day_number(when: date) -> float:
    """Days on one line of time; a datetime keeps its wall-clock hour."""
    if isinstance(when, datetime):
        return when.toordinal() + (when.hour * 60 + when.minute) / 1440
    return float(when.toordinal())


def in_order(band: Band) -> Band | None:
    """The band with its three values in order, or None when one of them is not a number."""
    values = (band.p10, band.p50, band.p90)
    if not all(math.isfinite(value) for value in values):
        return None
    return Band(min(band.p10, band.p50), band.p50, max(band.p50, band.p90))


def columns(points: Iterable[Point], first: float, last: float, count: int) -> dict[int, Column]:
    """The course of ``points`` over ``count`` columns from day ``first`` to day ``last``.

    Days between two points are interpolated; a point that is not a number leaves a gap; many points in one column are
    shown as their full range, so that no peak is lost when ten years are drawn.
    """
    found: dict[int, Column] = {}
    scale = (count - 1) / (last - first) if last > first and count > 1 else 0.0
    before: tuple[float, Band] | None = None
    for point in points:
        band = in_order(point.band)
        if band is None:
            before = None
            continue
        at = (day_number(point.on) - first) * scale
        here = (at, band)
        if first <= day_number(point.on) <= last:
            _widen(found, round(at), band)
        if before is not None:
            for column, between in _between(before, here, count):
                _widen(found, column, between)
        before = here
    return found


def _between(start: tuple[float, Band], end: tuple[float, Band], count: int) -> Iterator[tuple[int, Band]]:
    """The bands where the line enters, crosses and leaves each column between two points."""
    (from_x, a), (to_x, b) = start, end
    if to_x <= from_x or to_x < -0.5 or from_x > count - 0.5:
        return
    for column in range(max(round(from_x), 0), min(round(to_x), count - 1) + 1):
        for x in (column - 0.5, float(column), column + 0.5):
            share = min(max((x - from_x) / (to_x - from_x), 0.0), 1.0)
            yield (
                column,
                Band(
                    a.p10 + (b.p10 - a.p10) * share,
                    a.p50 + (b.p50 - a.p50) * share,
                    a.p90 + (b.p90 - a.p90) * share,
                ),
            )


def _widen(found: dict[int, Column], column: int, band: Band) -> None:
    held = found.get(column)
    if held is None:
        found[column] = Column(band.p10, band.p90, band.p50, band.p50)
    else:
        found[column] = Column(
            min(held.low, band.p10),
            max(held.high, band.p90),
            min(held.line_low, band.p50),
            max(held.line_high, band.p50),
        )
