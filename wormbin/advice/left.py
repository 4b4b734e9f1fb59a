"""What the keeper's eye says is left of the last feeding, and how long that stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from wormbin.advice.case import Case
from wormbin.records.entries import Check, Entry, Feeding
from wormbin.records.habits import last_feeding

SPEAKS_DAYS = 7
"""A look at what is left speaks for a week at the most, less what was eaten since."""


@dataclass(frozen=True, slots=True)
class LeftRead:
    """The newest look at what is left of the last feeding: its day, the share read, and that share in kg fresh.

    ``taken_kg`` is what was taken to wait at the end of that day, the reading weighed with the rest of the log.
    """

    on: date
    share: float
    kg: float
    taken_kg: float


def left_read(case: Case) -> LeftRead | None:
    """The newest reading of what is left since the last feeding; a check without one does not take it back."""
    fed = last_feeding(case.entries, case.on)
    if fed is None or not isinstance(fed.what, Feeding):
        return None
    newest: tuple[Entry, float] | None = None
    for entry in case.entries:
        on = entry.when.date()
        if isinstance(entry.what, Check) and entry.what.left is not None and fed.when <= entry.when and on <= case.on:
            newest = entry, entry.what.left
    if newest is None:
        return None
    on, share = newest[0].when.date(), newest[1]
    given = sum(portion.kg for portion in fed.what.portions)
    taken = next((day.feed_waiting_kg.p50 for day in case.history if day.on == on), 0.0)
    return LeftRead(on, share, share * given, taken)


def left_now(case: Case) -> float | None:
    """The share left of the last feeding by eye, less what was eaten since; None without a look in the last days."""
    read = left_read(case)
    if read is None or (case.on - read.on).days > SPEAKS_DAYS:
        return None
    now = case.today.feed_waiting_kg.p50
    return read.share * min(1.0, now / read.taken_kg) if read.taken_kg > 0 else read.share
