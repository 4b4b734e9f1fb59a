"""The days off of a school's calendar file (RFC 5545): its all-day events, as first and last day with their words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date, datetime, timedelta
from pathlib import Path

from wormbin.measures import shown, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.farms import Away

MOST_LETTERS = 2_000_000
_ESCAPED = re.compile(r"\\([\\;,nN])")


def days_off_in(name: str) -> tuple[Away, ...]:
    """``days_off`` of a file of this name. Raises RefusedError for one that cannot be read, too."""
    try:
        text = Path(name.strip()).expanduser().read_text("utf-8-sig")
    except (OSError, UnicodeError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "it is no text in UTF-8"
        allowed = f"a calendar file that can be read ({why.lower()})"
        raise RefusedError(Problem("holidays", shown(name), allowed, "holidays.ics")) from None
    return days_off(text)


def days_off(text: str) -> tuple[Away, ...]:
    """Every all-day event, in time order; those at a time of day are no days off.

    Raises RefusedError for what is no calendar, and for an event that repeats or cannot be read.
    """
    if len(text) > MOST_LETTERS or "BEGIN:VCALENDAR" not in text.upper():
        raise RefusedError(Problem("holidays", shown(text), "an iCalendar file, as .ics", "holidays.ics"))
    found, problems = [], []
    for event in _events(text):
        what = _words(event.get("SUMMARY", ""))
        if "RRULE" in event or "RDATE" in event:
            problems.append(Problem("holidays", what, "days that do not repeat; type these by hand", "2026-10-03"))
        elif (first := _day(event.get("DTSTART", ""))) is not None:
            end = _day(event.get("DTEND", "")) if "DTEND" in event else first + _length(event.get("DURATION", "P1D"))
            if end is None or end < first:
                problems.append(Problem("holidays", what, "an end that is not before its start"))
            else:
                # The end is the first day after it; an event that ends where it begins is that day.
                found.append(Away(first, max(first, end - timedelta(days=1)), what))
    if problems:
        raise RefusedError(problems)
    return tuple(sorted(set(found), key=lambda each: (each.first, each.last, each.why)))


def _events(text: str) -> Iterator[Mapping[str, str]]:
    """The properties of each event: name -> value, of the event itself and not of an alarm in it."""
    event: dict[str, str] = {}
    inside: list[str] = []
    for line in re.sub(r"\r?\n[ \t]", "", text).splitlines():
        head, _, value = line.partition(":")
        name = head.partition(";")[0].strip().upper()
        if name == "BEGIN":
            inside.append(value.strip().upper())
            if inside[-1] == "VEVENT":
                event = {}
        elif name == "END" and inside:
            if inside.pop() == "VEVENT":
                yield event
        elif inside and inside[-1] == "VEVENT":
            event[name] = value.strip()


def _day(value: str) -> date | None:
    """The day of a DATE, or of a moment at midnight; None for a time of day and for what is neither."""
    try:
        if len(value) == 8:
            return datetime.strptime(value, "%Y%m%d").date()  # noqa: DTZ007
        moment = datetime.strptime(value.removesuffix("Z"), "%Y%m%dT%H%M%S")  # noqa: DTZ007
    except ValueError:
        return None
    return moment.date() if moment.hour == moment.minute == 0 else None


def _length(duration: str) -> timedelta:
    found = re.fullmatch(r"\+?P(\d+)([DW])", duration)
    return timedelta(days=int(found[1]) * (7 if found[2] == "W" else 1)) if found else timedelta(days=1)


def _words(value: str) -> str:
    return tidy(_ESCAPED.sub(lambda found: " " if found[1] in "nN" else found[1], value))[:100]
