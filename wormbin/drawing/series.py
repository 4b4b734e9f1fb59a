"""What a chart shows: the estimate so far and ahead, readings, targets, today and what was done; and a course of bands
as what each column of a chart has to show of it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from itertools import chain

from wormbin.figures import Band


@dataclass(frozen=True, slots=True)
class Point:
    """The estimate for one day, in the quantity's SI unit."""

    on: date
    band: Band


@dataclass(frozen=True, slots=True)
class Reading:
    """A value read by the keeper, drawn as a disc. One that is ``questioned`` does not fit what the model believed, and
    counts for ``weight`` of a reading then, 0 to 1: a question mark."""

    on: date
    value: float
    questioned: bool = False
    by: str = ""
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Event:
    """Something done, or to be done, on a chart's foot: a kind of entry, or ``planned``."""

    on: date
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Series:
    """What a chart shows, in one SI ``unit``. Every part may be empty.

    ``past`` and ``ahead`` are in order of date; ``what_if`` is a second look-ahead drawn over the first. ``target`` is
    the band to be in (either end may be None). ``harvest`` holds the earliest, likely and latest day of castings.
    ``code`` is ``moisture``, ``feed_waiting``, ``worms``, ``castings``, ``temp`` or ``air``.
    """

    past: tuple[Point, ...] = ()
    ahead: tuple[Point, ...] = ()
    readings: tuple[Reading, ...] = ()
    what_if: tuple[Point, ...] = ()
    target: tuple[float | None, float | None] = (None, None)
    today: date | None = None
    events: tuple[Event, ...] = ()
    code: str = ""
    title: str = ""
    unit: str = ""
    harvest: tuple[date | None, date | None, date | None] = (None, None, None)

    def is_planned(self, event: Event) -> bool:
        """Whether something is still to be done."""
        ahead = self.today is not None and day_number(event.on) > day_number(self.today) + 1.0 - 1e-9
        return event.kind == "planned" or ahead

    def span(self) -> tuple[date, date] | None:
        """First and last day on which there is anything to show, or None."""
        days = [day_number(day) for day in self._days()]
        if not days:
            return None
        return date.fromordinal(int(min(days))), date.fromordinal(int(max(days)))

    def _days(self) -> Iterator[date]:
        for course in (self.past, self.ahead, self.what_if):
            # A course is in order, so that its ends are enough: ten years are not walked through.
            yield from (point.on for point in (*course[:1], *course[-1:]))
        yield from (reading.on for reading in self.readings)
        yield from (event.on for event in self.events)
        if self.today:
            yield self.today

    def values(self, first: date, last: date) -> Iterator[float]:
        """Every value to be seen from ``first`` to ``last``: bands, lines, readings; a questioned reading only where
        there is nothing else, so that a slip of the hand does not flatten all the rest."""
        start, end = first.toordinal(), last.toordinal()
        alone = not (self.past or self.ahead or any(not reading.questioned for reading in self.readings))
        for point in chain(self.past, self.ahead, self.what_if):
            if start <= point.on.toordinal() <= end and (band := in_order(point.band)):
                yield band.p10
                yield band.p90
        for reading in self.readings:
            if not alone and reading.questioned:
                continue
            if start <= reading.on.toordinal() <= end and drawable(reading.value):
                yield reading.value


def day_number(when: date) -> float:
    """Days on one line of time; a datetime keeps its wall-clock hour."""
    if isinstance(when, datetime):
        return when.toordinal() + (when.hour * 60 + when.minute) / 1440
    return float(when.toordinal())


LARGEST = 1e100
"""Beyond this a number is an accident, and sums of such numbers would overflow."""


def drawable(value: float) -> bool:
    """Whether a number can be put on an axis."""
    return math.isfinite(value) and abs(value) < LARGEST


def in_order(band: Band) -> Band | None:
    """The band with its three values in order, or None when one of them cannot be drawn."""
    values = (band.p10, band.p50, band.p90)
    if not all(drawable(value) for value in values):
        return None
    return Band(min(band.p10, band.p50), band.p50, max(band.p50, band.p90))


@dataclass(frozen=True, slots=True)
class Column:
    """What one column shows: the widest band and the run of the likely line within it."""

    low: float
    high: float
    line_low: float
    line_high: float


def columns(points: Iterable[Point], first: float, last: float, count: int) -> dict[int, Column]:
    """The course of ``points`` over ``count`` columns from day ``first`` to day ``last``.

    Days between two points are interpolated; a point that is not a number leaves a gap; many points in one column are
    shown as their full range, so that no peak is lost when ten years are drawn.
    """
    found: dict[int, list[float]] = {}
    scale = (count - 1) / (last - first) if last > first and count > 1 else 0.0
    before: tuple[float, Band] | None = None
    for point in points:
        at = (day_number(point.on) - first) * scale
        if before is not None and before[0] > count:
            break
        band = in_order(point.band)
        if band is None:
            before = None
            continue
        if first <= day_number(point.on) < last + 1.0:
            _widen(found, min(round(at), count - 1), band.p10, band.p50, band.p90)
        if before is not None and round(before[0]) != round(at):
            _cross(found, before, (at, band), count)
        before = (at, band)
    return {column: Column(*edges) for column, edges in found.items()}


def _cross(found: dict[int, list[float]], start: tuple[float, Band], end: tuple[float, Band], count: int) -> None:
    """Widen each column between two points by where the line enters, crosses and leaves it."""
    (from_x, a), (to_x, b) = start, end
    if to_x <= from_x or to_x < -0.5 or from_x > count - 0.5:
        return
    for column in range(max(round(from_x), 0), min(round(to_x), count - 1) + 1):
        for x in (column - 0.5, float(column), column + 0.5):
            share = min(max((x - from_x) / (to_x - from_x), 0.0), 1.0)
            low = a.p10 + (b.p10 - a.p10) * share
            high = a.p90 + (b.p90 - a.p90) * share
            # Rounding must not let the line out of its band.
            line = min(max(a.p50 + (b.p50 - a.p50) * share, low), high)
            _widen(found, column, low, line, high)


def _widen(found: dict[int, list[float]], column: int, low: float, line: float, high: float) -> None:
    held = found.get(column)
    if held is None:
        found[column] = [low, high, line, line]
        return
    if low < held[0]:
        held[0] = low
    if high > held[1]:
        held[1] = high
    if line < held[2]:
        held[2] = line
    if line > held[3]:
        held[3] = line
