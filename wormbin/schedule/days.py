"""Which days are for feeding and for checking: weekday rules, less the days on which nobody is there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta

from wormbin.records.entries import Entry, Feeding
from wormbin.records.farms import Away, Settings, long_absences
from wormbin.records.habits import LOOKED_IN, fed_kg, last_looked

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
SEARCH_DAYS, WEEK_DAYS = 400, 7
WEEKEND: frozenset[int] = frozenset({5, 6})
NEVER_OFF: frozenset[int] = frozenset()
LOOKED_DAYS, LEAST_LOOKED_DAYS = 20, 12
"""Days with a line, from which it is told whether anybody is there at weekends (ours)."""


def is_away(away: Iterable[Away], day: date, bin_key: str = "") -> Away | None:
    """The absence that this day falls into, of this bin or of all; None when somebody is there."""
    return next((each for each in away if each.first <= day <= each.last and each.bin in ("", bin_key)), None)


def back_on(away: Sequence[Away], day: date, bin_key: str = "", off: frozenset[int] = NEVER_OFF) -> date:
    """``day``, or the first day after it on which somebody is there again (absences may follow on one another).

    ``off`` are weekdays (0 is Monday) on which nobody ever is; not all seven.
    """
    while True:
        absence = is_away(away, day, bin_key)
        if absence is not None:
            day = absence.last + timedelta(days=1)
        elif day.weekday() in off and len(off) < len(WEEKDAYS):
            day += timedelta(days=1)
        else:
            return day


def weekend_off(entries: Iterable[Entry], on: date, settings: Settings) -> frozenset[int]:
    """Weekdays without school while its term lasts; else Saturday and Sunday where nobody was at the bin on them for
    long, empty where somebody was.

    Told from the latest ``LOOKED_DAYS`` days with a line, and not from fewer than ``LEAST_LOOKED_DAYS``.
    """
    turns = settings.turns
    if turns.days and (turns.first or on) <= on <= (turns.last or on):
        return frozenset(number for number, name in enumerate(WEEKDAYS) if name not in turns.days)
    days = sorted({each.when.date() for each in entries if each.kind in LOOKED_IN and each.when.date() <= on})
    latest = days[-LOOKED_DAYS:]
    if len(latest) < LEAST_LOOKED_DAYS or any(day.weekday() in WEEKEND for day in latest):
        return NEVER_OFF
    return WEEKEND


def feeding_days(settings: Settings, first: date, last: date, bin_key: str = "") -> tuple[date, ...]:
    """The weekdays for feeding from ``first`` to ``last`` (both included), less absences. Dates only: no clock changes.

    Raises ValueError for a weekday that is not one of MO ... SU.
    """
    from dateutil import rrule

    unknown = [day for day in settings.feed_days if day not in WEEKDAYS]
    if unknown:
        raise ValueError(f"weekdays are MO, TU, WE, TH, FR, SA, SU, not {', '.join(unknown)}")
    if not settings.feed_days or last < first:
        return ()
    rule = rrule.rrule(
        rrule.WEEKLY,
        dtstart=datetime.combine(first, time()),
        until=datetime.combine(last, time()),
        byweekday=[WEEKDAYS.index(day) for day in settings.feed_days],
    )
    days = (moment.date() for moment in rule)
    return tuple(day for day in days if is_away(settings.away, day, bin_key) is None)


def fed_on(entries: Iterable[Entry], day: date) -> bool:
    """Whether feed was given on this day."""
    return any(isinstance(entry.what, Feeding) and entry.when.date() == day for entry in entries)


def next_feeding(
    bin_key: str, entries: Sequence[Entry], settings: Settings, on: date, *, not_before: date | None = None
) -> date | None:
    """The next feeding day: today when it is one and nothing was fed, and never before ``not_before``.

    None when no weekday is set, or every feeding day of the next year is one of absence.
    """
    first = on + timedelta(days=1) if fed_on(entries, on) else on
    if not_before is not None:
        first = max(first, not_before)
    return next(iter(feeding_days(settings, first, first + timedelta(days=SEARCH_DAYS), bin_key)), None)


def feeding_after(bin_key: str, settings: Settings, day: date) -> date:
    """The feeding day until which a feeding on ``day`` must last.

    On a feeding day that is the next one. On any other day it is the first one after the farm's usual gap: that a
    feeding day happens to be near makes no smaller meal of it.
    """
    usual = 7 // max(1, len(settings.feed_days))
    planned = WEEKDAYS[day.weekday()] in settings.feed_days
    first = day + timedelta(days=1 if planned else max(1, usual))
    found = feeding_days(settings, first, first + timedelta(days=SEARCH_DAYS), bin_key)
    return found[0] if found else day + timedelta(days=7)


def last_chance(bin_key: str, entries: Sequence[Entry], settings: Settings, on: date) -> bool:
    """Whether today is left to feed before a long absence, though no feeding day: the last of those was let go by."""
    first = next((first for first, _last in long_absences(settings.away, bin_key) if first > on), None)
    if first is None or (first - on).days > WEEK_DAYS or is_away(settings.away, on, bin_key) is not None:
        return False
    if feeding_days(settings, on + timedelta(days=1), first - timedelta(days=1), bin_key):
        return False
    return fed_kg(entries, last_feeding_day(settings, on, bin_key), on) <= 0


def last_feeding_day(settings: Settings, on: date, bin_key: str) -> date:
    """The latest feeding day up to ``on``; a week ago when there was none since."""
    since = on - timedelta(days=WEEK_DAYS)
    return next(reversed(feeding_days(settings, since, on, bin_key)), since)


def next_check(bin_key: str, entries: Sequence[Entry], settings: Settings, on: date) -> date:
    """The day for the next look: so many days after the last one, today when it is overdue, never in an absence.

    Nor at a weekend where nobody ever is at the bin on one; but on the first day back from a long absence.
    """
    seen = last_looked(entries, on)
    due = on if seen is None else max(on, _look_after(seen, settings, bin_key))
    return back_on(settings.away, due, bin_key, weekend_off(entries, on, settings))


def _look_after(day: date, settings: Settings, bin_key: str) -> date:
    """When a look on ``day`` is followed by another: after the days between looks, or once a long absence is over."""
    due = day + timedelta(days=max(1, settings.check_every_days))
    back = (last + timedelta(days=1) for _first, last in long_absences(settings.away, bin_key))
    return min([due, *(each for each in back if each > day)])


def checks(bin_key: str, entries: Sequence[Entry], settings: Settings, first: date, last: date) -> tuple[date, ...]:
    """The days for a look from the ``first`` to ``last``: so many days apart, when somebody is there."""
    off = weekend_off(entries, first, settings)
    day, found = first, []
    while day <= last:
        found.append(day)
        day = back_on(settings.away, _look_after(day, settings, bin_key), bin_key, off)
    return tuple(found)
