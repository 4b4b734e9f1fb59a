"""The one clock: how many days of work so much feed is, and how much feed so many days of work are.

A feed is worked off on the day on which it may be fed again (``process.day``). Every rule, the form, the ration
and "no feed until" ask here; today's figure is read off the look-ahead without feedings, the one that is charted.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Protocol

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.figures import Band
from wormbin.process.views import LEFT_DAYS, Day


def may_lie_kg(day: Day) -> float:
    """Fresh kg that may still lie when it is fed again."""
    return max(LEFT_DAYS * day.appetite_kg_day.p50, 1e-9)


def crossing(today: Day, unfed: Sequence[Day]) -> tuple[int, float, float] | None:
    """Where the look-ahead without feedings falls to what may lie: days until the evening before, kg then and after.

    None where no more than that lies today, and where it does not get there.
    """
    aim = may_lie_kg(today)
    course = (today.feed_waiting_kg.p50, *(day.feed_waiting_kg.p50 for day in unfed))
    if course[0] <= aim:
        return None
    return next(((day, *kg) for day, kg in enumerate(pairwise(course)) if kg[1] <= aim), None)


def by_chart(today: Day, unfed: Sequence[Day]) -> Day:
    """Today with its days of work as the look-ahead without feedings has them, so that clock and chart agree."""
    waits, held = today.feed_waiting_kg.p50, today.feed_waiting_days
    daily = today.appetite_kg_day.p50
    aim = may_lie_kg(today)
    if not unfed or waits <= aim or held.p50 <= 0:
        return today
    crossed = crossing(today, unfed)
    if crossed is None:
        found = max(held.p50, float(len(unfed)))
    else:
        day, before, after = crossed
        found = max(day + (before - aim) / (before - after), min(LEFT_DAYS, waits / daily) if daily > 0 else 0.0)
    ratio = found / held.p50
    fed = tuple((kg, days * ratio) for kg, days in today.days_if_fed)
    return replace(today, feed_waiting_days=held.times(ratio), days_if_fed=fed)


def backlog(case: Case) -> Callable[[Day], Band | None]:
    """For a day, the days of work waiting as a band; None when no more than a smear waits, or nobody can tell.

    In a bin's first days its pace may be anything: then a look at what is left is asked for, and no alarm is raised.
    """
    smear = limits.TRIFLE_KG_M2 * case.bin.footprint_m2

    def days(day: Day) -> Band | None:
        band = day.feed_waiting_days
        return band if day.feed_waiting_kg.p50 >= smear and band.p10 >= limits.SURE_OF_DAYS else None

    return days


def worked_a_day(day: Day) -> float:
    """Kg of feed worked a day, on the mean, until what waits on a day is worked off."""
    work = day.feed_waiting_days.p50
    return (day.feed_waiting_kg.p50 - may_lie_kg(day)) / work if work > LEFT_DAYS else day.appetite_kg_day.p50


class OfToday(Protocol):
    """A case, or a replay: whatever knows the day asked about."""

    @property
    def today(self) -> Day:
        """The bin at the moment asked about."""


def _dial(case: OfToday) -> list[tuple[float, float]]:
    """Kg waiting in all and the days of work that they are, both rising."""
    today = case.today
    daily, waits = today.appetite_kg_day.p50, today.feed_waiting_kg.p50
    points = [(0.0, 0.0), (may_lie_kg(today), LEFT_DAYS), (waits, today.feed_waiting_days.p50)]
    points += today.days_if_fed
    if not today.days_if_fed and daily > 0:
        points.append((points[-1][0] + daily * 7, points[-1][1] + 7))
    dial: list[tuple[float, float]] = []
    for kg, days in sorted(points):
        dial.append((kg, max(days, dial[-1][1] if dial else 0.0)))
    return dial


def work_days(case: OfToday, kg: float) -> float:
    """The days of work that ``kg`` waiting in all would be today: more feed never takes fewer days."""
    return _along(_dial(case), kg)


def kg_in(case: OfToday, days: float) -> float:
    """Kg that may wait in all, to be worked off in so many days: the same clock read the other way."""
    return _along([(each, kg) for kg, each in _dial(case)], days)


def _along(points: Sequence[tuple[float, float]], at: float) -> float:
    """On the straight lines through the points, and on beyond the last as between the last two."""
    if len(points) < 2:
        return points[0][1] if points else 0.0
    (x, y), (then_x, then_y) = next(
        ((one, other) for one, other in pairwise(points) if at <= other[0] and other[0] > one[0]),
        (points[-2], points[-1]),
    )
    if then_x <= x:
        return then_y
    return max(0.0, y + (then_y - y) * (at - x) / (then_x - x))


def pace_kg_day(case: OfToday, every_days: float) -> float:
    """Kg a day that it keeps up with when it is fed every so many days: what is worked off of a full feeding."""
    whole = kg_in(case, every_days)
    return max(0.0, whole - may_lie_kg(case.today)) / every_days
