"""What a chart shows: the estimate so far and ahead, readings, targets, today and what was done."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import chain

from wormbin.drawing.curve import Point, day_number, drawable, in_order


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
