"""The head of a log line: as it is said, and as it is understood."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from wormbin.measures import parse_when, says_time, shown, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.limits import NOON


@dataclass(frozen=True, slots=True)
class Heading:
    """The head of a log line, in words: ``when`` (ISO, "yesterday", "today 18:10"; empty is now), who, a note.

    ``compartment`` is "1" ... "5" or empty; ``replaces`` is the id of the line that this one amends.
    With ``ask`` a line that can hardly be is asked about first (``DoubtedError``), and saved only when said again.
    """

    when: str = ""
    by: str = ""
    note: str = ""
    compartment: str = ""
    replaces: str = ""
    ask: bool = False


NOW = Heading()
"""Now, by nobody in particular."""


def of_the_day(heading: Heading, day: date | None) -> Heading:
    """The heading on the day that is asked of, where it names none."""
    return replace(heading, when=day.isoformat()) if day is not None and not heading.when.strip() else heading


AHEAD = timedelta(minutes=10)
"""Clocks differ; more than this ahead of now is a mistyped date."""


@dataclass(frozen=True, slots=True)
class Head:
    """A heading understood. With ``day_only`` a day was said and no time; it stands at its noon."""

    when: datetime
    by: str
    note: str
    compartment: int
    replaces: str
    day_only: bool = False


def _said(heading: Heading, when: datetime) -> str:
    """The moment as it was said, with the day that it means."""
    day, said = when.date().isoformat(), shown(heading.when)
    return day if day in said or not said else f"{said} ({day})"


def _day_only(heading: Heading, when: datetime) -> bool:
    """Whether only a day was said; today before noon is now, which is a time."""
    return bool(heading.when.strip()) and not says_time(heading.when) and when.time() == NOON


def _moment(heading: Heading, now: datetime) -> datetime:
    when = parse_when(heading.when, now) if heading.when.strip() else now.replace(microsecond=0)
    if when > now + AHEAD:
        raise RefusedError(
            Problem("when", shown(heading.when), "a moment that has been, not one to come", "yesterday 18:10")
        )
    return when


def read_moment(heading: Heading, now: datetime) -> Head:
    """The heading of a line that belongs to no bin. Raises RefusedError for a moment that is wrong."""
    when = _moment(heading, now)
    note, replaces = heading.note.strip(), heading.replaces.strip()
    return Head(when, tidy(heading.by)[:60], note, 0, replaces, _day_only(heading, when))


def read_heading(heading: Heading, one: Bin, now: datetime) -> Head:
    """The heading of an entry for bin ``one``. Raises RefusedError for every part of it that is wrong, at once."""
    problems: list[Problem] = []
    when = now.replace(microsecond=0)
    try:
        when = _moment(heading, now)
        if when.date() < one.started:
            problems.append(
                Problem(
                    "when", _said(heading, when), f"a day from {one.started.isoformat()}, when {one.key} was started"
                )
            )
    except RefusedError as error:
        problems.extend(error.problems)
    compartment = 0
    said = tidy(heading.compartment)
    if said:
        if said.isdecimal() and 1 <= int(said) <= one.compartments:
            compartment = int(said)
        else:
            allowed = (
                "1, or nothing said: this bin has one compartment"
                if one.compartments == 1
                else f"1 to {one.compartments}"
            )
            problems.append(Problem("compartment", shown(said), allowed, "1"))
    if problems:
        raise RefusedError(problems)
    note, replaces = heading.note.strip(), heading.replaces.strip()
    return Head(when, tidy(heading.by)[:60], note, compartment, replaces, _day_only(heading, when))
