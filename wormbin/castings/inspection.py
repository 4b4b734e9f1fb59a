"""A bed's record against the guidance for organic growers: feeding intervals, moisture, temperature, days, gaps."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from wormbin.records.bins import Bin, Method
from wormbin.records.entries import Check, Entry, Feeding, MoistureBy, standing

SOURCE = "NOSB Compost Task Force 2002"
LAYERS_DAYS = 3
"""Thin layers every 1 to 3 days (NOSB Compost Task Force 2002)."""
MOISTURE = (0.70, 0.90)
"""The same guidance."""
MONTHS, FLOW_DAYS, OUTDOOR_MONTHS = 4, 60, 12
"""4 months in an indoor container or wedge, 60 days in continuous flow, 12 months in an outdoor windrow (the same)."""
GAP_DAYS = 7
"""So many days without a reading are a gap (ours)."""


@dataclass(frozen=True, slots=True)
class BedDay:
    """A day on which a bed was fed or read: fresh kg, days since it was fed before, mean moisture, temperature."""

    on: date
    fed_kg: float = 0.0
    since_days: int | None = None
    moisture: float | None = None
    moisture_by: str = ""
    temp_c: float | None = None
    felt: str = ""
    """What a squeeze felt like: a look, and no measurement."""


@dataclass(frozen=True, slots=True)
class BedRecord:
    """The record of a bed from a day to a day, both included."""

    bin: str
    name: str
    method: Method
    first: date
    last: date
    days: tuple[BedDay, ...]

    @property
    def days_asked(self) -> int:
        """So many days the guidance asks for from the first layer to the harvest; an outdoor windrow takes longer."""
        if self.method is Method.FLOW:
            return FLOW_DAYS
        month = self.first.month - 1 + MONTHS
        end = date(self.first.year + month // 12, month % 12 + 1, min(self.first.day, 28))
        return (end - self.first).days

    @property
    def late(self) -> tuple[BedDay, ...]:
        """Feedings that came later after the one before than the guidance has it."""
        return tuple(day for day in self.days if day.since_days is not None and day.since_days > LAYERS_DAYS)

    @property
    def fed(self) -> tuple[BedDay, ...]:
        """The days on which it was fed."""
        return tuple(day for day in self.days if day.fed_kg)

    @property
    def read(self) -> tuple[BedDay, ...]:
        """The days on which a moisture in per cent was read."""
        return tuple(day for day in self.days if day.moisture is not None)

    @property
    def outside(self) -> tuple[BedDay, ...]:
        """Days on which the moisture was read outside the guidance."""
        low, high = MOISTURE
        return tuple(day for day in self.read if day.moisture is not None and not low <= day.moisture <= high)

    @property
    def warm(self) -> tuple[BedDay, ...]:
        """The days on which its temperature was read."""
        return tuple(day for day in self.days if day.temp_c is not None)

    def gaps(self, days: Iterable[BedDay]) -> tuple[tuple[date, date], ...]:
        """First and last day of every stretch of a week and more without one of these days."""
        edges = [self.first - timedelta(days=1), *(day.on for day in days), self.last + timedelta(days=1)]
        return tuple(
            (earlier + timedelta(days=1), later - timedelta(days=1))
            for earlier, later in pairwise(edges)
            if (later - earlier).days > GAP_DAYS
        )


def bed_record(one: Bin, log: Sequence[Entry], first: date, last: date, part: int = 0) -> BedRecord:
    """The record of one bed; ``part`` is the tray or half, 0 for the whole of it."""
    by_day: dict[date, list[Entry]] = {}
    for entry in standing(list(log)):
        on = entry.when.date()
        here = not (part and entry.compartment) or entry.compartment == part
        if here and first <= on <= last and isinstance(entry.what, Feeding | Check):
            by_day.setdefault(on, []).append(entry)
    days, before = [], None
    for on, entries in sorted(by_day.items()):
        day = _day(on, entries, before)
        before = on if day.fed_kg else before
        days.append(day)
    return BedRecord(one.key, one.name, one.method, first, last, tuple(days))


def _day(on: date, entries: Sequence[Entry], before: date | None) -> BedDay:
    checks = [each.what for each in entries if isinstance(each.what, Check)]
    wet = [each for each in checks if each.moisture is not None and each.moisture_by is not MoistureBy.SQUEEZE]
    moisture = [each.moisture for each in wet if each.moisture is not None]
    warm = [each.temp_c for each in checks if each.temp_c is not None]
    fed = sum(
        portion.kg for each in entries if isinstance(each.what, Feeding) for portion in each.what.portions
    )  # fmt: skip
    return BedDay(
        on,
        fed,
        (on - before).days if fed and before is not None else None,
        sum(moisture) / len(moisture) if moisture else None,
        wet[0].moisture_by.value if wet and wet[0].moisture_by is not None else "",
        sum(warm) / len(warm) if warm else None,
        next((each.squeeze.value for each in reversed(checks) if each.squeeze is not None), ""),
    )
