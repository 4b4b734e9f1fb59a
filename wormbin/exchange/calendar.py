"""Everything that falls due as an iCalendar file (RFC 5545): all-day events with stable UIDs.

VEVENT and not VTODO, since phones show only events. A second import of a later file updates what the first one made.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from wormbin.measures import shown, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.farms import Away

PRODUCT = "-//wormbin//bin calendar//EN"
NAME = "Worm bins"
REMINDER = "PT8H"
"""When of an all-day event one is reminded: at eight in the morning."""
LINE_OCTETS = 75


@dataclass(frozen=True, slots=True)
class Due:
    """Something due on a day: which bin, what kind of thing (``feed``, ``check``, ``harvest`` ...), and its words.

    ``slot`` tells things of one kind and bin apart that must keep their own identity when their day moves (the third
    step of a harvest); empty means that the day itself is the identity.
    """

    on: date
    bin: str
    kind: str
    title: str
    words: str = ""
    slot: str = ""
    last: date | None = None


_KEPT = ("DTSTART;VALUE=DATE", "DTEND;VALUE=DATE", "SUMMARY", "CATEGORIES")


@dataclass(frozen=True, slots=True)
class Event:
    """An event of a file handed out before: its identity, its first day as it stands there, what names it."""

    uid: str
    first: str
    kept: tuple[tuple[str, str], ...]


def uid(due: Due) -> str:
    """An identity that stays the same from file to file."""
    said = "|".join((due.bin, due.kind, due.slot or due.on.isoformat()))
    return hashlib.sha256(said.encode()).hexdigest()[:24] + "@wormbin"


def calendar(dues: Iterable[Due], now: datetime, before: Iterable[Event] = (), today: date = date.min) -> str:
    """The whole file as text with CRLF line ends; ``now`` (aware) is its stamp and its sequence.

    What an earlier file had (``before``) from ``today`` on and this one has not is sent as cancelled, so that a
    calendar which took that file in takes it out again (RFC 5545, STATUS).
    """
    stamp = now.astimezone(UTC)
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN", "METHOD:PUBLISH"]
    lines += [f"NAME:{NAME}", f"X-WR-CALNAME:{NAME}"]  # RFC 7986, and what went before it
    seen: set[str] = set()
    for due in sorted(dues, key=lambda each: (each.on, each.bin, each.kind, each.slot)):
        identity = uid(due)
        if identity not in seen:
            seen.add(identity)
            lines += _event(due, identity, stamp)
    for gone in before:
        if gone.uid not in seen and gone.first >= f"{today:%Y%m%d}":
            lines += _cancelled(gone, stamp)
    lines.append("END:VCALENDAR")
    return "".join(part + "\r\n" for line in lines for part in folded(line))


def _cancelled(gone: Event, stamp: datetime) -> list[str]:
    return [
        "BEGIN:VEVENT",
        f"UID:{gone.uid}",
        *_stamped(stamp),
        *(f"{name}:{value}" for name, value in gone.kept),
        "STATUS:CANCELLED",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _stamped(stamp: datetime) -> list[str]:
    return [f"DTSTAMP:{stamp:%Y%m%dT%H%M%SZ}", f"SEQUENCE:{max(0, int(stamp.timestamp()) // 60)}"]


def events(calendar: str) -> Iterator[Event]:
    """The events of a file that was written here; of any other text none."""
    unfolded = calendar.replace("\r\n", "\n").replace("\n ", "")
    if f"PRODID:{PRODUCT}" not in unfolded:
        return
    for part in unfolded.split("BEGIN:VEVENT\n")[1:]:
        fields = dict(line.partition(":")[::2] for line in part.partition("END:VEVENT")[0].splitlines())
        first = fields.get("DTSTART;VALUE=DATE", "")
        if fields.get("UID") and first:
            yield Event(fields["UID"], first, tuple((name, fields[name]) for name in _KEPT if name in fields))


def _event(due: Due, identity: str, stamp: datetime) -> list[str]:
    end = (due.last or due.on) + timedelta(days=1)
    lines = [
        "BEGIN:VEVENT",
        f"UID:{identity}",
        *_stamped(stamp),
        f"DTSTART;VALUE=DATE:{due.on:%Y%m%d}",
        f"DTEND;VALUE=DATE:{end:%Y%m%d}",
        f"SUMMARY:{text(due.title)}",
    ]
    if due.words:
        lines.append(f"DESCRIPTION:{text(due.words)}")
    lines += [f"CATEGORIES:{text(due.kind)}", "TRANSP:TRANSPARENT"]
    alarm = ["BEGIN:VALARM", "ACTION:DISPLAY", f"DESCRIPTION:{text(due.title)}", f"TRIGGER:{REMINDER}", "END:VALARM"]
    return [*lines, *alarm, "END:VEVENT"]


def text(words: str) -> str:
    """A TEXT value: backslash, semicolon and comma escaped, line ends as \\n, other control characters left out."""
    escaped = words.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    escaped = escaped.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")
    return "".join(char for char in escaped if char == "\t" or (char >= " " and char != "\x7f"))


def folded(line: str) -> Iterator[str]:
    """A content line in pieces of at most 75 octets, never cutting a letter; the later ones begin with a space."""
    piece, room = "", LINE_OCTETS
    for char in line:
        size = len(char.encode("utf-8", "replace"))
        if size > room:
            yield piece
            piece, room = " ", LINE_OCTETS - 1
        piece += char
        room -= size
    yield piece


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
