"""A bin's past up to a moment, and its days as short lists of numbers, so that a cache of years stays small."""

from __future__ import annotations

import dataclasses
import typing
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from math import isfinite
from typing import Any

from wormbin.figures import Band
from wormbin.process import day
from wormbin.process.day import Days
from wormbin.process.look import Look
from wormbin.process.replay import Replay
from wormbin.process.views import Day, Judged, Learned
from wormbin.records.entries import Entry
from wormbin.records.habits import Silence

REACH_DAYS = 180
"""So many days back a past is seen, however it was reached; no rule looks back further."""
DIGITS = 5
"""Of a day that is over; nobody is shown more. Ours."""
Reader = Callable[[Any], Any]


@dataclass(frozen=True, slots=True)
class Past:
    """A bin's replay up to a moment, with its last days and all judged readings, those of earlier replays too."""

    replay: Replay
    days: Days
    judged: tuple[Judged, ...]
    entries: tuple[Entry, ...]
    """The lines that stand, up to the moment, in time order."""
    until: datetime
    set_apart: tuple[Entry, ...] = ()
    """Lines as they were written down whose reading stood far off the others of its day, and is not in ``entries``."""

    @property
    def today(self) -> Day:
        """The bin at the moment asked about."""
        return self.days[-1]

    @property
    def silences(self) -> tuple[Silence, ...]:
        """Stretches of which nobody knows what was done, up to yesterday."""
        return self.replay.silences

    @property
    def learned(self) -> Learned:
        """What the log has taught about this bin."""
        return self.replay.learned


def flat(value: Any) -> Any:
    """A frozen view as nested lists in the order of its fields; numbers to ``DIGITS`` digits."""
    if isinstance(value, float):
        # Files hold finite numbers only; what has no end is kept as a word that float() reads back.
        return float(f"{value:.{DIGITS}g}") if isfinite(value) else str(value)
    if isinstance(value, Band):
        return [flat(value.p10), flat(value.p50), flat(value.p90)]
    if isinstance(value, date):
        return value.toordinal()
    if isinstance(value, tuple):
        return [flat(each) for each in value]
    if dataclasses.is_dataclass(value):
        return [flat(getattr(value, name)) for name in _names(value.__class__)]
    return value


def day_from(held: Any) -> Day:
    """The day that ``flat`` was given. Raises ValueError, TypeError, KeyError or IndexError for anything else."""
    day: Day = _reader(Day)(held)
    return day


def days_of(replay: Replay) -> Days:
    """The days of a replay as a cache would give them back; today, which no cache holds, to all its digits."""
    return Days([*replay.looks[:-1], replay.today], days_over)


def days_over(looks: Sequence[Look]) -> list[Day]:
    """Looks made into days as a cache would give them back."""
    return [day_from(flat(each)) for each in day.days_of(looks)]


@cache
def _names(kind: Any) -> tuple[str, ...]:
    return tuple(field.name for field in dataclasses.fields(kind))


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
