"""What a log says about the keeper's habits: how much, how often and of what, and when the bin was last seen."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby, pairwise
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
from wormbin.records.farms import Away

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


TIMES_USUAL = 2.0
"""A silence is longer than so many times the keeper's usual days from line to line (ours)."""
LEAST_RHYTHM_DAYS = 3.0
"""Who writes every day may leave out six without a word (ours)."""
LATELY = 12
"""Days with a line from which the rhythm is told (ours)."""


@dataclass(frozen=True, slots=True)
class Silence:
    """Days of which nobody knows, in order, absences left out; ``marked`` when a keeper said so in a note."""

    days: tuple[date, ...]
    marked: bool = False

    @property
    def first(self) -> date:
        """The first of them."""
        return self.days[0]

    @property
    def last(self) -> date:
        """The last of them."""
        return self.days[-1]


def silences(bin_key: str, entries: Sequence[Entry], away: Sequence[Away], on: date) -> tuple[Silence, ...]:
    """The silences of a bin from its stocking up to the day before ``on``, in order of time.

    ``entries`` are the lines that stand. Days without any line but notes are one when they are more than twice the days
    that lately passed from line to line, and more than six; or when a note marks them as unknown. Days of an absence
    are none, for nothing was done on them.
    """
    stocked = stocked_on(entries)
    if stocked is None or stocked >= on:
        return ()
    looked_in: set[date] = set()
    told = []
    for each in entries:
        if not isinstance(each.what, NO_LOOK):
            looked_in.add(each.when.date())
        elif unknown := unknown_days(each):
            told.append(unknown)
    looked = sorted(day for day in looked_in if stocked <= day < on)
    marked = {day for first, last in told for day in _days(max(first, stocked), min(last, on - timedelta(days=1)))}
    gone = [(max(each.first, stocked), min(each.last, on)) for each in away if each.bin in ("", bin_key)]
    absent = {day for first, last in gone for day in _days(first, last)}
    marked = marked.difference(looked, absent)
    runs = groupby(enumerate(sorted(marked)), lambda place: place[1] - timedelta(days=place[0]))
    found = [Silence(tuple(day for _, day in run), True) for _, run in runs]
    known = sorted({*looked, *marked, on})
    for earlier, later in pairwise(known):
        if (later - earlier).days <= TIMES_USUAL * LEAST_RHYTHM_DAYS:
            continue
        days = tuple(day for day in _days(earlier, later)[1:-1] if day not in absent)
        if len(days) > TIMES_USUAL * _rhythm_days(looked, earlier):
            found.append(Silence(days))
    return tuple(sorted(found, key=lambda each: each.first))


def last_silence(found: Sequence[Silence], entries: Sequence[Entry], on: date) -> Silence | None:
    """The silence that runs up to ``on`` or was ended by the last look, as one; None after a second look."""
    looked = {day for each in entries if not isinstance(each.what, NO_LOOK) and (day := each.when.date()) <= on}
    since = [sum(day > each.last for day in looked) for each in found]
    if not since or since[-1] > 1:
        return None
    last = [each for each, looks in zip(found, since, strict=True) if looks == since[-1]]
    return Silence(tuple(day for each in last for day in each.days), all(each.marked for each in last))


def _rhythm_days(looked: Sequence[date], until: date) -> float:
    """Days that usually passed from line to line up to ``until``."""
    lately = [day for day in looked if day <= until][-LATELY:]
    gaps = [(later - earlier).days for earlier, later in pairwise(lately)]
    return max(LEAST_RHYTHM_DAYS, float(median(gaps))) if gaps else LEAST_RHYTHM_DAYS


def _days(first: date, last: date) -> list[date]:
    """The days from ``first`` to ``last``, both included."""
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]
