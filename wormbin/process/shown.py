"""What a bin has shown that it gets through: fresh kg of feed a day, from the balance of the weeks just gone.

A pace that was never seen is a guess; this one was seen, in the feed given and the feed no longer waiting.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta

from wormbin.process.views import Day
from wormbin.records.entries import Entry
from wormbin.records.habits import feedings

SHOWN_DAYS = 21
LEAST_DAYS = 7


def shown_kg_day(days: Sequence[Day], entries: Iterable[Entry], on: date) -> Callable[[Day], float | None]:
    """For a day up to ``on``, the fresh kg a day got through over the three weeks before it; None in the first week.

    What was given in that time and what waited before it, less what waits now, over the days. ``days`` are the bin's
    past, one a day; a day before the first of them is taken to have had nothing waiting.
    """
    waited = {day.on: day.feed_waiting_kg.p50 for day in days}
    meals = feedings(entries, on)

    def shown(day: Day) -> float | None:
        if not meals:
            return None
        first = max(day.on - timedelta(days=SHOWN_DAYS), meals[0][0])
        span = (day.on - first).days
        if span < LEAST_DAYS:
            return None
        before = waited.get(first - timedelta(days=1), 0.0)
        given = sum(kg for when, kg in meals if first <= when <= day.on)
        return max(0.0, given + before - day.feed_waiting_kg.p50) / span

    return shown
