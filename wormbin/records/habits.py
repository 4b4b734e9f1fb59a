"""What a log says about the keeper's habits: how much, how often and of what, and when the bin was last seen."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from contextlib import suppress
from datetime import date, timedelta
from itertools import pairwise
from statistics import median

from wormbin.records.entries import (
    LOG_KINDS,
    NO_LOOK,
    Bedding,
    Check,
    Entry,
    Feeding,
    Kind,
    Note,
    Stocking,
    Survey,
    Watering,
    Weighing,
)

RECENT_FEEDINGS = 8
HABIT_DAYS = 60
RAISE = 2.0
"""How many times the usual feeding is a step: the rations of a new bin double from one to the next as well (ours)."""
SEEN = (Check, Weighing, Survey, *NO_LOOK)
"""Lines after which the bin is as it was before: looks of one day with only these between them count together."""
LOOKED_IN = frozenset(set(Kind) - {LOG_KINDS[each].kind for each in NO_LOOK})


NOT_KNOWN = re.compile(r"nothing is known of (\d{4}-\d{2}-\d{2}) to (\d{4}-\d{2}-\d{2})")
"""The words of a note that said so before notes had days of their own; such lines are still read."""


def unknown_days(entry: Entry) -> tuple[date, date] | None:
    """The first and the last day of which a keeper said that nothing is known; None for any other line."""
    if not isinstance(entry.what, Note):
        return None
    first, last = entry.what.unknown_from, entry.what.unknown_until
    if first is not None and last is not None:
        return first, last
    if said := NOT_KNOWN.fullmatch(entry.note.strip()):
        with suppress(ValueError):
            return date.fromisoformat(said[1]), date.fromisoformat(said[2])
    return None


def feedings(entries: Iterable[Entry], until: date | None = None) -> tuple[tuple[date, float], ...]:
    """Days with feedings up to ``until`` (included), each with the fresh kg given that day, in time order."""
    by_day: dict[date, float] = {}
    for entry in entries:
        if isinstance(entry.what, Feeding) and (until is None or entry.when.date() <= until):
            on = entry.when.date()
            by_day[on] = by_day.get(on, 0.0) + sum(portion.kg for portion in entry.what.portions)
    return tuple(sorted(by_day.items()))


def ever_fed(entries: Iterable[Entry]) -> bool:
    """Whether anything was ever fed, so that something can be left of it."""
    return any(isinstance(entry.what, Feeding) for entry in entries)


def fed_kg(entries: Iterable[Entry], first: date, last: date) -> float:
    """Fresh kg of feed given from ``first`` to ``last``, both included."""
    return sum(
        portion.kg
        for entry in entries
        if isinstance(entry.what, Feeding) and first <= entry.when.date() <= last
        for portion in entry.what.portions
    )


def _recent(entries: Iterable[Entry], on: date) -> tuple[tuple[date, float], ...]:
    """The latest days with feedings up to ``on``, oldest first, each with the fresh kg given that day."""
    by_day: dict[date, float] = {}
    for entry in reversed(tuple(entries)):
        if isinstance(entry.what, Feeding) and (day := entry.when.date()) <= on:
            if day not in by_day and len(by_day) == RECENT_FEEDINGS:
                break
            by_day[day] = by_day.get(day, 0.0) + sum(portion.kg for portion in entry.what.portions)
    return tuple(sorted(by_day.items()))


def usual_gap_days(entries: Iterable[Entry], on: date) -> float | None:
    """Median days between the latest feedings up to ``on``; None with fewer than three."""
    days = [day for day, _kg in _recent(entries, on)]
    if len(days) < 3:
        return None
    return float(median((later - earlier).days for earlier, later in pairwise(days)))


def usual_meal_kg(entries: Iterable[Entry], on: date) -> float | None:
    """Median fresh kg of the latest feedings up to ``on``, so that one large bucket is no habit; None without any."""
    meals = [kg for _day, kg in _recent(entries, on)]
    return float(median(meals)) if meals else None


def step_up_kg(entries: Sequence[Entry], on: date, days: float) -> float | None:
    """Fresh kg that is a step up and no leap for a feeding to last ``days``: ``RAISE`` times what is usual.

    For more than ``RAISE`` times the usual days it is in proportion to them, with no double ration on top; None with
    fewer than three feedings.
    """
    gap, meal = usual_gap_days(entries, on), usual_meal_kg(entries, on)
    if gap is None or meal is None or gap <= 0:
        return None
    return meal * max(RAISE, days / gap)


def usual_material(entries: Iterable[Entry], on: date, days: int = 60) -> str:
    """The key of the material fed most often in the last ``days`` (then by mass); empty when nothing was fed."""
    times: Counter[str] = Counter()
    mass: defaultdict[str, float] = defaultdict(float)
    for entry in entries:
        if isinstance(entry.what, Feeding) and on - timedelta(days=days) <= entry.when.date() <= on:
            for portion in entry.what.portions:
                mass[portion.material] += portion.kg
                times[portion.material] += 1
    return max(mass, key=lambda key: (times[key], mass[key], key)) if mass else ""


def bedding_per_feed(entries: Sequence[Entry], on: date) -> float:
    """Kg of bedding given per kg of feed in the last two months, the first bed left out; at most a half."""
    since = on - timedelta(days=HABIT_DAYS)
    fed = fed_kg(entries, since, on)
    start = next(iter(feedings(entries)), (on, 0.0))[0]
    given = sum(
        portion.kg
        for entry in entries
        if isinstance(entry.what, Bedding) and max(since, start + timedelta(days=1)) <= entry.when.date() <= on
        for portion in entry.what.portions
    )
    return min(0.5, given / fed) if fed > 0 else 0.0


def water_kg_day(entries: Sequence[Entry], on: date) -> float:
    """Kg of water a day for a keeper who waters as a habit (twice or more in the last two months).

    What the first bed was soaked with is left out.
    """
    since = max(on - timedelta(days=HABIT_DAYS), (stocked_on(entries) or on) + timedelta(days=1))
    given = [e.what.kg for e in entries if isinstance(e.what, Watering) and since <= e.when.date() <= on]
    span = max(14.0, min(float(HABIT_DAYS), float((on - entries[0].when.date()).days))) if entries else 14.0
    return sum(given) / span if len(given) >= 2 else 0.0


def stocked_on(entries: Iterable[Entry]) -> date | None:
    """The day on which worms first went in; None when none have."""
    for entry in entries:
        if isinstance(entry.what, Stocking) and entry.what.worms_kg > 0:
            return entry.when.date()
    return None


def last_feeding(entries: Sequence[Entry], until: date) -> Entry | None:
    """The latest feeding up to ``until`` (included)."""
    return next((e for e in reversed(entries) if isinstance(e.what, Feeding) and e.when.date() <= until), None)


def last_check(entries: Sequence[Entry], until: date) -> Entry | None:
    """The latest check up to ``until`` (included)."""
    return next((e for e in reversed(entries) if isinstance(e.what, Check) and e.when.date() <= until), None)


def last_looked(entries: Sequence[Entry], until: date) -> date | None:
    """The latest day on which someone had the lid open: any line but a note."""
    return next((e.when.date() for e in reversed(entries) if e.kind in LOOKED_IN and e.when.date() <= until), None)
