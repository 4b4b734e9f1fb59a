"""How many days of work wait: by the model's pace, and by what the bin has shown that it gets through; the less counts.

A pace that was never seen is a guess. A bin that got through what it was given for three weeks has shown its pace, and
only when both say that too much waits is it a backlog. A heap is another thing: nobody has seen how this bin works one,
for heaps heat, sour and shut out air. Its pace is taken half way (of the logarithms) between what was shown and what
the model believes.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from math import sqrt

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.figures import Band
from wormbin.process.shown import shown_kg_day
from wormbin.process.views import Day


def backlog(case: Case) -> Callable[[Day], Band | None]:
    """For a day, the days of work waiting as a band; None when no more than a smear waits, or nobody can tell.

    In a bin's first days its pace may be anything: then a look at what is left is asked for, and no alarm is raised.
    """
    shown = shown_kg_day(case.history, case.entries, case.on)
    smear, heap = (per_m2 * case.bin.footprint_m2 for per_m2 in (limits.TRIFLE_KG_M2, limits.HEAP_KG_M2))
    known: dict[date, Band | None] = {}

    def days(day: Day) -> Band | None:
        if day.on not in known:
            band = _days(day, shown(day), day.feed_waiting_kg.p50 >= heap) if day.feed_waiting_kg.p50 >= smear else None
            known[day.on] = band if band is not None and band.p10 >= limits.SURE_OF_DAYS else None
        return known[day.on]

    return days


def _days(day: Day, shown: float | None, heap: bool) -> Band:
    model = day.feed_waiting_days
    if not shown or model.p50 <= 0:
        return model
    longer = day.feed_waiting_kg.p50 / shown / model.p50
    return model.times(longer if longer < 1.0 else sqrt(longer) if heap else 1.0)


def waiting_days(case: Case) -> Band:
    """The days of work waiting today, as the findings count them; where they cannot tell, as the model does."""
    return backlog(case)(case.today) or case.today.feed_waiting_days


def work_days(case: Case, waiting_kg: float, shown: float | None) -> float:
    """The days of work that ``waiting_kg`` would be today: the same sum, before it is given."""
    if waiting_kg <= 0 or waiting_kg < limits.TRIFLE_KG_M2 * case.bin.footprint_m2:
        return 0.0
    model = waiting_kg / max(case.today.appetite_kg_day.p50, 1e-9)
    if not shown:
        return model
    longer = waiting_kg / shown / model
    heap = waiting_kg >= limits.HEAP_KG_M2 * case.bin.footprint_m2
    return model * (longer if longer < 1.0 else sqrt(longer) if heap else 1.0)
