"""The keepers' rules of thumb, played on the same log: half the worms' weight a day, harvest after four months."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from wormbin.records.entries import Entry, Feeding, Harvest, Stocking

SHARE_A_DAY = 0.5
"""Of the worms' weight, fresh feed eaten a day (extension rule: half to one body weight)."""
HARVEST_AFTER_DAYS = 122
"""Four months (extension leaflets say three to six)."""


def waiting_kg(entries: Sequence[Entry], on: date) -> float:
    """Feed that waits if the worms that were put in eat half their weight a day, kg fresh."""
    days = sorted({entry.when.date() for entry in entries if entry.when.date() <= on})
    if not days:
        return 0.0
    worms = waiting = 0.0
    day = days[0]
    while day <= on:
        for entry in entries:
            if entry.when.date() == day:
                if isinstance(entry.what, Stocking):
                    worms += entry.what.worms_kg
                elif isinstance(entry.what, Feeding):
                    waiting += sum(portion.kg for portion in entry.what.portions)
        waiting = max(0.0, waiting - SHARE_A_DAY * worms)
        day += timedelta(days=1)
    return waiting


def harvest_on(started: date, entries: Sequence[Entry], on: date) -> date:
    """Four months after the bin was started or last harvested, and never before tomorrow."""
    last = max((e.when.date() for e in entries if isinstance(e.what, Harvest) and e.when.date() <= on), default=started)
    return max(last + timedelta(days=HARVEST_AFTER_DAYS), on + timedelta(days=1))


def worms_kg(entries: Sequence[Entry], on: date) -> float:
    """What was put in, kg: the only figure that a keeper without a survey has."""
    return sum(e.what.worms_kg for e in entries if isinstance(e.what, Stocking) and e.when.date() <= on)
