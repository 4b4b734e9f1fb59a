"""One cell of a CSV file, both ways: numbers without loss, and text that no spreadsheet takes for a formula."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from decimal import Decimal

from wormbin.measures.numbers import read_number, unfold_fractions
from wormbin.measures.words import tidy

NOON = 12
_FORMULA_STARTS = "=+-@\t\r"
_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,3})?")
_ALLOWED = "a number in plain digits, 0 to 9, with a decimal point"
_WHEN = re.compile(
    r"(?P<day>\d{4}-\d{2}-\d{2})"
    r"([T ](?P<clock>\d{2}:\d{2}(:\d{2}(\.\d{1,6})?)?) ?(?P<offset>Z|[+-]\d{2}:?\d{2}(:?\d{2})?)?)?",
    re.ASCII,
)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_OFFSET = re.compile(r"[+-]\d{2}:\d{2}(:\d{2}(\.\d{1,6})?)?", re.ASCII)


class NumberError(ValueError):
    """A cell that is not one clear number; the text says what is allowed."""


def shield(text: str) -> str:
    """Text as it is written: an apostrophe in front of what a spreadsheet would run, or of an apostrophe so used."""
    if text[:1] and (text[0] in _FORMULA_STARTS or (text[0] == "'" and text[1:2] and text[1] in _FORMULA_STARTS + "'")):
        return "'" + text
    return text


def unshield(cell: str) -> str:
    """The text that ``shield`` was given; text that was never shielded comes back as it is."""
    if len(cell) > 1 and cell[0] == "'" and cell[1] in _FORMULA_STARTS + "'":
        return cell[1:]
    return cell


def number(cell: str) -> float:
    """A number as a file has it: with a point and perhaps an exponent, or in any clear form that a keeper may type.

    So "1 1/2", "½", "1,5" and "1.500,5" are read, and a point with three digits after it is a decimal point. Raises
    NumberError for anything else, for "1,500" (1.5 or 1500?), for digits but 0 to 9, and for what is not finite.
    """
    text = cell.strip()
    if _NUMBER.fullmatch(text):
        value = float(text)
        if value in (float("inf"), float("-inf")):
            raise NumberError("a number with a decimal point, smaller than that")
        return value
    try:
        found = read_number(tidy(unfold_fractions(text)))
    except ValueError:
        raise NumberError(_ALLOWED) from None
    if found is None or found.rest or not text[:1].strip("abcdefghijklmnopqrstuvwxyz"):
        raise NumberError("a number with a decimal point")
    if found.thousands is not None:
        raise NumberError("a number with a decimal point (1,500 could be 1.5 or 1500)")
    return found.value


def scaled(cell: str, divisor: int) -> float:
    """A number divided by a power of ten, without the rounding of a float division ("82" % -> 0.82)."""
    text = cell.strip().removesuffix("%").strip()
    value = number(text)
    plain = text.replace(",", ".")
    return float(Decimal(plain) / divisor) if _NUMBER.fullmatch(plain) else value / divisor


def written(value: float, factor: int = 1) -> str:
    """A number times a power of ten, with every digit that is needed to read the same number back."""
    text = format((Decimal(repr(value)) * factor).normalize(), "f") if value else "0"
    return text if len(text) < 40 else str(Decimal(repr(value)) * factor)


def is_day(cell: str) -> bool:
    """Whether a cell says a day and no time."""
    return _DAY.fullmatch(cell.strip()) is not None


def moment(cell: str, offset: str = "") -> datetime:
    """A time as ISO 8601. A day alone is noon; a time without an offset keeps its wall clock, at offset +00:00.

    ``offset`` is that of a day alone, as export writes it beside it.
    So the same file means the same moments on every machine, and the day is always the one that was written.
    Raises ValueError for anything else.
    """
    found = _WHEN.fullmatch(cell.strip())
    if not found:
        raise ValueError(cell)
    if found["clock"] is None:
        day = date.fromisoformat(found["day"])
        if not offset:
            return datetime(day.year, day.month, day.day, NOON, tzinfo=UTC)
        if not _OFFSET.fullmatch(offset):
            raise ValueError(offset)
        return datetime.fromisoformat(f"{day.isoformat()}T{NOON}:00{offset}")
    read = datetime.fromisoformat(f"{found['day']}T{found['clock']}{found['offset'] or ''}")
    return read if read.tzinfo else read.replace(tzinfo=UTC)


def when_cells(when: datetime, day_only: bool) -> dict[str, str]:
    """The cells of a line's moment: the day alone, with its offset beside it, where nobody said a time."""
    if not day_only:
        return {"when": when.isoformat()}
    offset = when.isoformat()[len("2026-03-02T12:00:00") :]
    return {"when": when.date().isoformat(), "offset": "" if offset == "+00:00" else offset}


def day(cell: str) -> date:
    """A day as ISO 8601; raises ValueError for anything else."""
    text = cell.strip()
    if not _DAY.fullmatch(text):
        raise ValueError(cell)
    return date.fromisoformat(text)


def split_list(cell: str) -> tuple[str, ...]:
    """The items of a list cell: parted by semicolons or commas, a backslash before one that belongs to an item."""
    items: list[str] = [""]
    escaped = False
    for char in cell:
        if escaped:
            items[-1] += char
            escaped = False
        elif char == "\\":
            escaped = True
        elif char in ";,":
            items.append("")
        else:
            items[-1] += char
    return tuple(item.strip() for item in items if item.strip())


def joined(items: tuple[str, ...]) -> str:
    """A list cell that ``split_list`` reads back."""
    return "; ".join(re.sub(r"([\\;,])", r"\\\1", item) for item in items)
