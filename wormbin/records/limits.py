"""What the door lets through: ranges and lengths, each telling what was read and what is allowed."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterator
from datetime import UTC, datetime, time

from wormbin.problems import Problem

MOST_KG = 1_000_000.0
FIRST_YEAR = 1990
NOON = time(12)
"""Where a line stands whose time nobody said."""
FAR_OFF = datetime(2199, 12, 31, tzinfo=UTC)
"""No record is of a later day; where no clock is at hand, this stands for now."""
NAME_LENGTH = 200
WORD_LENGTH = 100
NOTE_LENGTH = 4000
MOST_SEEN = 30
MOST_WORMS = 10_000_000
MOST_LINES = 10**12
LOT_LENGTH = 40
LOT_RULE = f"a name of up to {LOT_LENGTH} letters that does not begin with a hyphen"
PERCENT = (100.0, " %")
MOST_BEHIND = 0.95
"""Share of the castings that may have stayed behind at a harvest; with more there was none."""

Problems = Iterator[Problem]


def shown(value: float, scale: float = 1.0, unit: str = "") -> str:
    """A number as it stands in a message."""
    figure = value * scale
    plain = f"{figure:,.0f}" if math.isfinite(figure) and abs(figure) >= 1e6 and abs(figure) < 1e15 else f"{figure:.6g}"
    return f"{plain}{unit}"


def within(
    field: str,
    value: float | None,
    low: float,
    high: float,
    example: str,
    scale: tuple[float, str] = (1.0, ""),
    *,
    above: bool = False,
) -> Problems:
    """One problem when ``value`` is not finite or not within the limits (with ``above``, or is the lower one)."""
    if value is None or (math.isfinite(value) and low <= value <= high and not (above and value == low)):
        return
    factor, unit = scale
    lowest = f"more than {shown(low, factor)}" if above else shown(low, factor)
    yield Problem(field, shown(value, factor, unit), f"{lowest} to {shown(high, factor, unit)}", example)


def mass(field: str, value: float | None, *, least: float = 0.0, above: bool = True) -> Problems:
    """One problem when a mass in kg is not from ``least`` (not itself, with ``above``) to a thousand tonnes."""
    return within(field, value, least, MOST_KG, "350 g", (1.0, " kg"), above=above)


def text(field: str, value: str, length: int) -> Problems:
    """One problem when a text is too long."""
    if len(value) > length:
        yield Problem(field, value[:30] + "…", f"up to {length:,} letters; these are {len(value):,}")


def count(field: str, value: int | None, *, least: int = 1) -> Problems:
    """One problem when a count of worms is not from ``least`` to ten million."""
    if value is not None and not least <= value <= MOST_WORMS:
        yield Problem(field, str(value)[:30], f"a count from {least} up to {MOST_WORMS:,}", "250 worms")


# Marks that turn the direction of a line around disturb a terminal beyond the text they stand in.
_TURNING = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u061c\ufeff")


def cleaned(text: str, *, lines: bool = False) -> str:
    """Text without control characters, turning marks and half letters, in one Unicode form, blanks trimmed.

    Line ends and tabs become blanks; with ``lines`` line ends stay. Nothing that can be seen is taken away.
    """
    if text.isascii() and text.isprintable():  # nearly all text, and there may be a quarter of a million rows of it
        return text.strip()
    kept = []
    for letter in unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n")):
        category = unicodedata.category(letter)
        if letter == "\n" and lines:
            kept.append(letter)
        elif letter in "\n\t\v\f\x85\u2028\u2029":
            kept.append(" ")
        elif category not in ("Cc", "Cs", "Cn") and letter not in _TURNING:
            kept.append(letter)
    return "".join(kept).strip()
