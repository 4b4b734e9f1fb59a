"""A day of a bin as a short list of numbers and back, so that a cache of years stays small and quick to read."""

from __future__ import annotations

import dataclasses
import typing
from collections.abc import Callable
from datetime import date
from functools import cache
from math import isfinite
from typing import Any

from wormbin.process.day import day_of
from wormbin.process.lazy_days import Days
from wormbin.process.look import Look
from wormbin.process.replay import Replay
from wormbin.process.views import Day

DIGITS = 5
"""Of a day that is over; nobody is shown more. Ours."""
Reader = Callable[[Any], Any]


def flat(value: Any) -> Any:
    """A frozen view as nested lists in the order of its fields; numbers to ``DIGITS`` digits."""
    if isinstance(value, float):
        # Files hold finite numbers only; what has no end is kept as a word that float() reads back.
        return float(f"{value:.{DIGITS}g}") if isfinite(value) else str(value)
    if isinstance(value, date):
        return value.toordinal()
    if isinstance(value, tuple):
        return [flat(each) for each in value]
    if dataclasses.is_dataclass(value):
        return [flat(getattr(value, field.name)) for field in dataclasses.fields(value)]
    return value


def day_from(held: Any) -> Day:
    """The day that ``flat`` was given. Raises ValueError, TypeError, KeyError or IndexError for anything else."""
    day: Day = _reader(Day)(held)
    return day


def days_of(replay: Replay) -> Days:
    """The days of a replay as a cache would give them back; today, which no cache holds, to all its digits."""
    return Days([*replay.looks[:-1], replay.today], day_over)


def day_over(look: Look) -> Day:
    """A look made into a day as a cache would give it back."""
    return day_from(flat(day_of(look)))


@cache
def _reader(hint: Any) -> Reader:
    if hint in (float, int, str, bool):
        return typing.cast(Reader, hint)
    if hint is date:
        return date.fromordinal
    if typing.get_origin(hint) is tuple:
        one = _reader(typing.get_args(hint)[0])
        return lambda held: tuple(one(each) for each in held)
    hints = typing.get_type_hints(hint)
    readers = [_reader(hints[field.name]) for field in dataclasses.fields(hint)]

    def read(held: Any) -> Any:
        return hint(*(reader(each) for reader, each in zip(readers, held, strict=True)))

    return read
