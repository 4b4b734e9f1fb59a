"""Dates and moments as keepers write them, read and told; anything doubtful is asked about."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from typing import Literal

from wormbin.measures.words import bounded, shown, tidy
from wormbin.problems import Problem, RefusedError, UnclearError

Toward = Literal["past", "future"]

_ALLOWED = "a date such as 2026-03-02, today, yesterday or a weekday"
_WHEN = "a date such as 2026-03-02 or a moment such as 2026-03-02T18:10"
_EXAMPLE = "2026-03-02"
_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip
_WORDS = {"today": 0, "yesterday": -1, "tomorrow": 1}
_SLASHED = re.compile(r"([0-9]{1,2})[/.-]([0-9]{1,2})(?:[/.-]([0-9]{4}|[0-9]{2}))?")
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_MOMENT = re.compile(
    r"(.+?)[ t]([0-9]{1,2}):([0-9]{2})(?::([0-9]{2})(?:\.[0-9]{1,6})?)? ?(z|[+-][0-9]{2}:?[0-9]{2})?", re.IGNORECASE
)
_CLOCK = re.compile(r"[0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?")
_SPAN = re.compile(r"(?:in )?([0-9]{1,3}) (day|week)s?( ago)?")
_LENGTH = re.compile(r"(?:for )?([0-9]{1,3}) ?(d|days?|w|wks?|weeks?)")
_FIRST, _LAST = date(1970, 1, 1), date(2199, 12, 31)


def _month(word: str) -> int | None:
    """The number of a month by its name or its first three letters and more."""
    found = [place for place, name in enumerate(_MONTHS, 1) if len(word) >= 3 and name.startswith(word)]
    return found[0] if len(found) == 1 else None


def _weekday(word: str) -> int | None:
    """Monday 0 ... Sunday 6, by name or its first three letters and more."""
    found = [place for place, name in enumerate(_DAYS) if len(word) >= 3 and name.startswith(word.removesuffix("."))]
    return found[0] if len(found) == 1 else None


class _Asked:
    """One text for one date field, with its two ways of saying no."""

    def __init__(self, text: str, field: str, allowed: str) -> None:
        self.text, self.field, self.allowed = text, field, allowed
        bounded(text, field, allowed, _EXAMPLE)

    def refused(self, allowed: str = "") -> RefusedError:
        return RefusedError(Problem(self.field, shown(self.text), allowed or self.allowed, _EXAMPLE))

    def unclear(self, allowed: str, choices: list[date]) -> UnclearError:
        written = tuple(each.isoformat() for each in choices)
        return UnclearError(
            Problem(self.field, shown(self.text), allowed, written[0] if written else _EXAMPLE), written
        )


def _possible(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _slashed(asked: _Asked, found: re.Match[str], today: date) -> RefusedError:
    """7/8/2026 has two readings in the world: both are offered, none is taken."""
    first, second = int(found[1]), int(found[2])
    year = today.year if found[3] is None else int(found[3]) + (2000 if len(found[3]) == 2 else 0)
    readings = [_possible(year, first, second), _possible(year, second, first)]
    choices = sorted({each for each in readings if each is not None and _FIRST <= each <= _LAST})
    if not choices:
        return asked.refused("a day that exists, year first: 2026-03-02")
    return asked.unclear("a date written year first: " + " or ".join(each.isoformat() for each in choices), choices)


def _in_words(asked: _Asked, words: list[str], today: date, toward: Toward) -> date | None:
    """Saturday, last saturday, 2 March 2026, March 2 2026, 3 days ago, in 5 days; None when it is none of these."""
    from dateutil.relativedelta import relativedelta, weekday

    leading = words[0] if len(words) == 2 and words[0] in {"last", "next", "this", "on"} else ""
    day = _weekday(words[-1]) if len(words) == 1 or leading else None
    if day is not None:
        before = today + relativedelta(days=-1, weekday=weekday(day, -1))
        after = today + relativedelta(days=+1, weekday=weekday(day, +1))
        if leading == "last":
            return before
        if leading == "next":
            raise asked.unclear("a date that means one day only", [after, after + timedelta(days=7)])
        if day == today.weekday():
            return today
        return before if toward == "past" and leading != "this" else after
    if span := _SPAN.fullmatch(" ".join(words)):
        length = int(span[1]) * (7 if span[2] == "week" else 1)
        into = words[0] == "in"
        if into == bool(span[3]):
            return None
        return today + timedelta(days=length if into else -length)
    return _by_month(asked, words, today, toward)


def _by_month(asked: _Asked, words: list[str], today: date, toward: Toward) -> date | None:
    """2 March 2026 or March 2, 2026; without a year the last such day, or for a plan the next, today included."""
    months = [_month(word) for word in words[:2]]
    if len(words) not in {2, 3} or len([each for each in months if each]) != 1:
        return None
    place = 0 if months[0] else 1
    month = months[place] or 0
    number = re.fullmatch(r"([0-9]{1,2})(?:st|nd|rd|th)?", words[1 - place])
    if number is None:
        return None
    if len(words) == 2:
        years = range(today.year, today.year - 9, -1) if toward == "past" else range(today.year, today.year + 9)
        days = (_possible(year, month, int(number[1])) for year in years)
        found = next((day for day in days if day and (day <= today if toward == "past" else day >= today)), None)
        if found is None:
            raise asked.refused("a day that exists")
        return found
    if not re.fullmatch("[0-9]{4}", words[2]):
        return None
    found = _possible(int(words[2]), month, int(number[1]))
    if found is None:
        raise asked.refused("a day that exists")
    return found


def _date(asked: _Asked, plain: str, today: date, toward: Toward) -> date:
    """The date that a tidied, lower-case text means."""
    if plain in _WORDS:
        return today + timedelta(days=_WORDS[plain])
    if _ISO.fullmatch(plain):
        found = _possible(*map(int, plain.split("-")))
        if found is None:
            raise asked.refused("a day that exists, such as 2026-02-28")
        return found
    if slashed := _SLASHED.fullmatch(plain):
        raise _slashed(asked, slashed, today)
    told = _in_words(asked, plain.replace(",", " ").split(), today, toward)
    if told is None:
        raise asked.refused()
    return told


def _within(asked: _Asked, found: date) -> date:
    if not _FIRST <= found <= _LAST:
        raise asked.refused(f"a date from {_FIRST.isoformat()} to {_LAST.isoformat()}")
    return found


def parse_date(text: str, today: date, field: str = "date", *, toward: Toward = "past") -> date:
    """Read "2026-03-02", "today", "saturday", "3 days ago" or "2 March 2026" on the day ``today``.

    A weekday alone is the nearest one ``toward`` the past (a log) or the future (a plan), today included. "7/8/2026",
    "next saturday" raise UnclearError with the dates that may be meant; "8 nov" is the last one, in a plan the next.
    """
    asked = _Asked(text, field, _ALLOWED)
    try:
        return _within(asked, _date(asked, tidy(text).casefold(), today, toward))
    except OverflowError:
        raise asked.refused() from None


def parse_last(text: str, first: date, today: date, field: str = "until") -> date:
    """Read the last day of a time that begins on ``first``: a date as ``parse_date`` reads it, or how long it is.

    "12 days" and "12d" are twelve days with the first one counted, "2 weeks" fourteen.
    """
    length = _LENGTH.fullmatch(tidy(text).casefold())
    if length is None:
        return parse_date(text, max(first, today), field, toward="future")
    days = int(length[1]) * (7 if length[2].startswith("w") else 1)
    asked = _Asked(text, field, "a last day, or a time of at least a day")
    if days < 1:
        raise asked.refused()
    return _within(asked, first + timedelta(days=days - 1))


def says_time(text: str) -> bool:
    """Whether a moment, as ``parse_when`` reads it, says a time of day ("yesterday 7:30") or only a day."""
    return _MOMENT.fullmatch(_of_today(tidy(text).casefold())) is not None


def _of_today(plain: str) -> str:
    """A time of day alone as one of today."""
    return f"today {plain}" if _CLOCK.fullmatch(plain) else plain


def parse_when(
    text: str, now: datetime, field: str = "when", *, toward: Toward = "past", at: time = time(12)
) -> datetime:
    """Read a moment, aware: "2026-03-02T18:10", "2026-03-02 18:10+01:00", "yesterday 7:30", "18:10", or a date alone.

    Without an offset it is the wall clock of ``now``'s zone (``now`` must be aware); a time that the clocks skip in
    spring is moved past the gap. A date alone gets the time ``at``, but never a moment after ``now`` on today's date.
    """
    if now.tzinfo is None:
        raise ValueError("now must carry a time zone")
    asked = _Asked(text, field, _WHEN)
    plain = _of_today(tidy(text).casefold())
    try:
        found = _MOMENT.fullmatch(plain)
        if found is None:
            day = _within(asked, _date(asked, plain, now.date(), toward))
            moment = _placed(datetime.combine(day, at), now)
            return min(moment, now) if day == now.date() else moment
        day = _within(asked, _date(asked, found[1], now.date(), toward))
        clock = datetime.combine(day, time(int(found[2]), int(found[3]), int(found[4] or 0)))
        if found[5] is None:
            return _placed(clock, now)
        offset = "+0000" if found[5] == "z" else found[5].replace(":", "")
        return datetime.strptime(f"{clock:%Y-%m-%dT%H:%M:%S}{offset}", "%Y-%m-%dT%H:%M:%S%z")
    except (OverflowError, ValueError) as error:
        if isinstance(error, RefusedError):
            raise
        raise asked.refused() from None


def _placed(clock: datetime, now: datetime) -> datetime:
    """The wall-clock time in the zone of ``now``, past the gap when the clocks skip it."""
    from dateutil.tz import resolve_imaginary

    return resolve_imaginary(clock.replace(tzinfo=now.tzinfo))


MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
NEAR_DAYS = 120


def day_words(day: date, today: date) -> str:
    """ "today", "tomorrow", "yesterday", "14 March"; with the year when it is another's and not near."""
    gap = (day - today).days
    if gap in (-1, 0, 1):
        return ("yesterday", "today", "tomorrow")[gap + 1]
    year = "" if day.year == today.year or abs(gap) < NEAR_DAYS else f" {day.year}"
    return f"{day.day} {MONTHS[day.month - 1]}{year}"


def on_day(day: date, today: date) -> str:
    """ "today", "tomorrow", "on 6 March": a day in the middle of a sentence."""
    return day_words(day, today) if abs((day - today).days) <= 1 else f"on {day_words(day, today)}"


def days_words(count: float) -> str:
    """A number of days: "1 day", "2.5 days", "9 days", "over 60 days"; half days only under three."""
    if not count <= 60:
        return "over 60 days"
    if count < 2.75:
        half = round(max(0.0, count) * 2) / 2
        return "1 day" if half == 1 else f"{half:g} days"
    return f"{count:.0f} days"


def time_words(minutes: float) -> str:
    """How long something takes: "20 min", "1.5 h", "8 h"."""
    return f"{minutes:.0f} min" if minutes < 60 else f"{minutes / 60:.1f}".removesuffix(".0") + " h"
