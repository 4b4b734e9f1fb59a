"""Which days are for feeding and for checking: weekday rules, less the days on which nobody is there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta

from wormbin.records.entries import Entry, Feeding
from wormbin.records.farms import Away, Settings
from wormbin.records.habits import last_looked

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
LOOK_DAYS = 400


def is_away(away: Iterable[Away], day: date, bin_key: str = "") -> Away | None:
    """The absence that this day falls into, of this bin or of all; None when somebody is there."""
    return next((each for each in away if each.first <= day <= each.last and each.bin in ("", bin_key)), None)


def back_on(away: Sequence[Away], day: date, bin_key: str = "") -> date:
    """``day``, or the first day after it on which somebody is there again (absences may follow on one another)."""
    while (absence := is_away(away, day, bin_key)) is not None:
        day = absence.last + timedelta(days=1)
    return day


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
    return next(iter(feeding_days(settings, first, first + timedelta(days=LOOK_DAYS), bin_key)), None)


def feeding_after(bin_key: str, settings: Settings, day: date) -> date:
    """The feeding day until which a feeding on ``day`` must last.

    On a feeding day that is the next one. On any other day it is the first one after the farm's usual gap: that a
    feeding day happens to be near makes no smaller meal of it.
    """
    usual = 7 // max(1, len(settings.feed_days))
    planned = WEEKDAYS[day.weekday()] in settings.feed_days
    first = day + timedelta(days=1 if planned else max(1, usual))
    found = feeding_days(settings, first, first + timedelta(days=LOOK_DAYS), bin_key)
    return found[0] if found else day + timedelta(days=7)


def next_check(bin_key: str, entries: Sequence[Entry], settings: Settings, on: date) -> date:
    """The day for the next look: so many days after the last one, today when it is overdue, never in an absence."""
    seen = last_looked(entries, on)
    due = on if seen is None else max(on, seen + timedelta(days=max(1, settings.check_every_days)))
    return back_on(settings.away, due, bin_key)
