"""Stretches of the log of which nobody knows what was done: advice, catching up and the model ask here, and agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby, pairwise
from statistics import median

from wormbin.records.entries import NO_LOOK, Entry
from wormbin.records.farms import Away
from wormbin.records.habits import stocked_on, unknown_days

TIMES_USUAL = 2.0
"""A silence is longer than so many times the keeper's usual days from line to line (ours)."""
LEAST_RHYTHM_DAYS = 3.0
"""Who writes every day may leave out six without a word (ours)."""
LATELY = 12
"""Days with a line from which the rhythm is told (ours)."""


@dataclass(frozen=True, slots=True)
class Silence:
    """Days of which nobody knows, in order, absences left out; ``marked`` when a keeper said so in a note."""

    days: tuple[date, ...]
    marked: bool = False

    @property
    def first(self) -> date:
        """The first of them."""
        return self.days[0]

    @property
    def last(self) -> date:
        """The last of them."""
        return self.days[-1]


def silences(bin_key: str, entries: Sequence[Entry], away: Sequence[Away], on: date) -> tuple[Silence, ...]:
    """The silences of a bin from its stocking up to the day before ``on``, in order of time.

    ``entries`` are the lines that stand. Days without any line but notes are one when they are more than twice the days
    that lately passed from line to line, and more than six; or when a note marks them as unknown. Days of an absence
    are none, for nothing was done on them.
    """
    stocked = stocked_on(entries)
    if stocked is None or stocked >= on:
        return ()
    looked_in: set[date] = set()
    told = []
    for each in entries:
        if not isinstance(each.what, NO_LOOK):
            looked_in.add(each.when.date())
        elif unknown := unknown_days(each):
            told.append(unknown)
    looked = sorted(day for day in looked_in if stocked <= day < on)
    marked = {day for first, last in told for day in _days(max(first, stocked), min(last, on - timedelta(days=1)))}
    gone = [(max(each.first, stocked), min(each.last, on)) for each in away if each.bin in ("", bin_key)]
    absent = {day for first, last in gone for day in _days(first, last)}
    marked = marked.difference(looked, absent)
    runs = groupby(enumerate(sorted(marked)), lambda place: place[1] - timedelta(days=place[0]))
    found = [Silence(tuple(day for _, day in run), True) for _, run in runs]
    known = sorted({*looked, *marked, on})
    for earlier, later in pairwise(known):
        if (later - earlier).days <= TIMES_USUAL * LEAST_RHYTHM_DAYS:
            continue
        days = tuple(day for day in _days(earlier, later)[1:-1] if day not in absent)
        if len(days) > TIMES_USUAL * _rhythm_days(looked, earlier):
            found.append(Silence(days))
    return tuple(sorted(found, key=lambda each: each.first))


def last_silence(found: Sequence[Silence], entries: Sequence[Entry], on: date) -> Silence | None:
    """The silence that runs up to ``on`` or was ended by the last look, as one; None after a second look."""
    looked = {day for each in entries if not isinstance(each.what, NO_LOOK) and (day := each.when.date()) <= on}
    since = [sum(day > each.last for day in looked) for each in found]
    if not since or since[-1] > 1:
        return None
    last = [each for each, looks in zip(found, since, strict=True) if looks == since[-1]]
    return Silence(tuple(day for each in last for day in each.days), all(each.marked for each in last))


def _rhythm_days(looked: Sequence[date], until: date) -> float:
    """Days that usually passed from line to line up to ``until``."""
    lately = [day for day in looked if day <= until][-LATELY:]
    gaps = [(later - earlier).days for earlier, later in pairwise(lately)]
    return max(LEAST_RHYTHM_DAYS, float(median(gaps))) if gaps else LEAST_RHYTHM_DAYS


def _days(first: date, last: date) -> list[date]:
    """The days from ``first`` to ``last``, both included."""
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]
