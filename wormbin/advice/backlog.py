"""How many days of work wait: by the model's pace, and by what the bin has shown that it gets through; the less counts.

A pace that was never seen is a guess. A bin that got through what it was given for three weeks has shown its pace, and
only when both say that too much waits is it a backlog.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.figures import Band
from wormbin.process.views import Day
from wormbin.records.habits import feedings

SHOWN_DAYS = 21
LEAST_DAYS = 7


def shown_kg_day(case: Case) -> Callable[[Day], float | None]:
    """For a day, the fresh kg a day that the bin got through over the three weeks before it; None in its first week.

    From the balance: what was given in that time and what waited before it, less what waits now.
    """
    waited = {day.on: day.feed_waiting_kg.p50 for day in case.history}
    meals = feedings(case.entries, case.on)

    def shown(day: Day) -> float | None:
        if not meals:
            return None
        first = max(day.on - timedelta(days=SHOWN_DAYS), meals[0][0])
        span = (day.on - first).days
        if span < LEAST_DAYS:
            return None
        before = waited.get(first - timedelta(days=1), 0.0)
        given = sum(kg for on, kg in meals if first <= on <= day.on)
        return max(0.0, given + before - day.feed_waiting_kg.p50) / span

    return shown


def backlog(case: Case) -> Callable[[Day], Band | None]:
    """For a day, the days of work waiting as a band; None when no more than a smear of feed waits."""
    shown = shown_kg_day(case)
    smear = limits.TRIFLE_KG_M2 * case.bin.footprint_m2
    known: dict[date, Band | None] = {}

    def days(day: Day) -> Band | None:
        if day.on not in known:
            known[day.on] = _less(day, shown(day)) if day.feed_waiting_kg.p50 >= smear else None
        return known[day.on]

    return days


def _less(day: Day, shown: float | None) -> Band:
    model = day.feed_waiting_days
    if not shown or model.p50 <= 0:
        return model
    return model.times(min(1.0, day.feed_waiting_kg.p50 / shown / model.p50))
