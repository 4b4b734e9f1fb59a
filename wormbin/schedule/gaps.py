"""Gaps in the log that are no absence: forgotten weeks, to be caught up with what was likely done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from wormbin.records.entries import Entry
from wormbin.records.farms import Settings
from wormbin.records.habits import LOOKED_IN, unknown_days, usual_material, usual_meal_kg
from wormbin.schedule.days import feeding_days, is_away

LEAST_DAYS = 10
CHECKS_MISSED = 3


@dataclass(frozen=True, slots=True)
class Gap:
    """Days without a line, both included: the first and the last, and how many of them nobody was away."""

    first: date
    last: date
    forgotten_days: int


@dataclass(frozen=True, slots=True)
class LikelyFeeding:
    """A feeding that was likely given in a gap: to be offered, never written by itself."""

    on: date
    kg: float
    material: str


def gaps(bin_key: str, entries: Sequence[Entry], settings: Settings, on: date) -> tuple[Gap, ...]:
    """Stretches without a line in which at least ten days (or three checks) were forgotten, up to yesterday.

    ``entries`` are the lines that stand. Days of which a keeper said that nothing is known are not asked about again:
    a stretch ends before them and another may begin after them.
    """
    least = max(LEAST_DAYS, CHECKS_MISSED * settings.check_every_days)
    seen = sorted(
        {entry.when.date() for entry in entries if entry.kind in LOOKED_IN and entry.when.date() <= on} | {on}
    )
    told = [unknown for entry in entries if (unknown := unknown_days(entry)) is not None]
    found = []
    for earlier, later in pairwise(seen):
        for first, last in _untold(earlier + timedelta(days=1), later - timedelta(days=1), told):
            days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
            forgotten = sum(is_away(settings.away, day, bin_key) is None for day in days)
            if forgotten >= least:
                found.append(Gap(first, last, forgotten))
    return tuple(found)


def _untold(first: date, last: date, told: Sequence[tuple[date, date]]) -> Iterator[tuple[date, date]]:
    """What is left of the days from ``first`` to ``last`` when these stretches are taken out of them."""
    for gone_first, gone_last in sorted(told):
        if gone_last < first or gone_first > last:
            continue
        if gone_first > first:
            yield first, gone_first - timedelta(days=1)
        first = gone_last + timedelta(days=1)
    if first <= last:
        yield first, last


def likely_feedings(bin_key: str, entries: Sequence[Entry], settings: Settings, gap: Gap) -> tuple[LikelyFeeding, ...]:
    """The usual meal on each feeding day of the gap, from the habit before it; empty when there was none."""
    before = gap.first - timedelta(days=1)
    meal, material = usual_meal_kg(entries, before), usual_material(entries, before)
    if meal is None or not material:
        return ()
    return tuple(LikelyFeeding(day, meal, material) for day in feeding_days(settings, gap.first, gap.last, bin_key))
