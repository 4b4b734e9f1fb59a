"""What the look-ahead assumes will be given: the keeper's own habit, held to what the bin can take."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from wormbin.process.views import Day, Planned
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry
from wormbin.records.farms import Settings
from wormbin.records.habits import (
    bedding_per_feed,
    step_up_kg,
    stocked_on,
    usual_gap_days,
    usual_material,
    usual_meal_kg,
    water_kg_day,
)
from wormbin.schedule.days import feeding_days
from wormbin.science.ramp import ramp_share

SETTLED_DAYS = 28
LEAST_KG = 0.02


def habit_kg_day(entries: Sequence[Entry], on: date) -> float | None:
    """Fresh kg a day that the keeper usually gives, from feedings after the ramp; None when there are too few."""
    stocked = stocked_on(entries)
    if stocked is None:
        return None
    settled = [e for e in entries if (e.when.date() - stocked).days >= SETTLED_DAYS]
    gap, meal = usual_gap_days(settled, on), usual_meal_kg(settled, on)
    return meal / gap if gap and meal else None


def _step(entries: Sequence[Entry], on: date, share: float) -> Callable[[float], float] | None:
    """For a bin without a habit, the most that is planned for so many days: a step up from what it got so far.

    What a new bin got was held down to its ``share``, and counts for as much more. None with too few feedings.
    """
    one = step_up_kg(entries, on, 0.0)
    if one is None or share <= 0:
        return None
    return lambda days: (step_up_kg(entries, on, days) or one) / share


def planned(
    bin: Bin,
    entries: Sequence[Entry],
    settings: Settings,
    today: Day,
    days: int,
    *,
    room: Callable[[float], float],
    pace_kg_day: float,
    not_before: date | None = None,
) -> tuple[Planned, ...]:
    """Planned feedings for ``days`` from the day after ``today`` on, with the bedding and water that usually go along.

    Each is the habit over the days until the next, but no more than the bin can take by then with what still waits:
    ``room`` tells the kg that may wait in all to be worked off in so many days, ``pace_kg_day`` how fast it goes, both
    by advice's one clock. Without a habit it is what the bin can take, but no leap from what it got so far. A new bin
    follows the ramp; absences are skipped, and nobody feeds double before them. Nothing is planned before
    ``not_before``, the day until which advice holds the feed.
    """
    on = today.on
    last = on + timedelta(days=days)
    stocked = stocked_on(entries)
    if stocked is None or bin.ended is not None:
        return ()
    tomorrow = on + timedelta(days=1)
    when = feeding_days(settings, max(tomorrow, not_before or tomorrow), last, bin.key)
    habit = habit_kg_day(entries, on)
    usual_gap = 7.0 / max(1, len(settings.feed_days))
    step = _step(entries, on, ramp_share((on - stocked).days))
    bedding, water = bedding_per_feed(entries, on), water_kg_day(entries, on)
    material = usual_material(entries, on)
    waiting, previous, out = today.feed_waiting_kg.p50, on, []
    for number, day in enumerate(when):
        waiting = max(0.0, waiting - pace_kg_day * (day - previous).days)
        following = when[number + 1] if number + 1 < len(when) else day + timedelta(days=round(usual_gap))
        gap = min(float((following - day).days), max(7.0, usual_gap))
        most = room(gap) * ramp_share((day - stocked).days) - waiting
        meal = min(most, habit * gap) if habit is not None else most
        if habit is None and step is not None:
            meal = min(meal, step(gap))
        if meal >= LEAST_KG:
            out.append(
                Planned(on=day, feed_kg=meal, bedding_kg=meal * bedding, water_kg=water * gap, material=material)
            )
            waiting += meal
        previous = day
    return tuple(out)
