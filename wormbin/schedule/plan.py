"""What was likely given and what will be: the keeper's own habit, held to what the bin can take."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.clock import pace_kg_day
from wormbin.advice.rations import Ration, interval_days, ramp_share, share_later, takes_later
from wormbin.figures import Level
from wormbin.process.views import Planned
from wormbin.records.entries import Entry
from wormbin.records.farms import Settings
from wormbin.records.habits import (
    Silence,
    bedding_per_feed,
    step_up_kg,
    stocked_on,
    usual_gap_days,
    usual_material,
    usual_meal_kg,
    water_kg_day,
)
from wormbin.schedule.days import feeding_days

SETTLED_DAYS = 28
LEAST_MEAL_KG = 0.02


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


def planned(case: Case, can: Ration, days: int) -> tuple[Planned, ...]:
    """Planned feedings for ``days`` from tomorrow on, with the bedding and water that usually go along.

    Each is the habit over the days until the next, but no more than advice allows on that day (``can`` is its ration of
    today) with what still waits then. Without a habit it is what the bin can take, but no leap from what it got so far.
    Absences are skipped, and nobody feeds double before them; nothing is planned while advice holds all feed back, or
    it is too hot.
    """
    on, entries, settings = case.on, case.entries, case.settings
    stocked = stocked_on(entries)
    if stocked is None or case.bin.ended is not None:
        return ()
    tomorrow = on + timedelta(days=1)
    first = tomorrow if can.kg > 0 or can.held_until is None else max(tomorrow, can.held_until)
    when = feeding_days(settings, first, on + timedelta(days=days), case.bin.key)
    habit, pace = habit_kg_day(entries, on), pace_kg_day(case, interval_days(case))
    usual_gap = 7.0 / max(1, len(settings.feed_days))
    step = _step(entries, on, ramp_share(case, on))
    bedding, water = bedding_per_feed(entries, on), water_kg_day(entries, on)
    material = usual_material(entries, on)
    unfed = {each.on: each.feed_waiting_kg.p50 for each in case.unfed.days}
    hot = limits.too_hot(case.bin.species).edge(Level.ACT)
    too_hot = {each.on for each in case.unfed.days if each.temp_c.p50 >= hot}
    waiting, previous = case.today.feed_waiting_kg.p50, on
    out: list[Planned] = []
    for number, day in enumerate(when):
        # Until something is given the look-ahead without feedings tells; afterwards the pace that is kept up.
        waiting = max(0.0, waiting - pace * (day - previous).days) if out or day not in unfed else unfed[day]
        following = when[number + 1] if number + 1 < len(when) else day + timedelta(days=round(usual_gap))
        gap = min(float((following - day).days), max(7.0, usual_gap))
        most = takes_later(case, day, gap, waiting)
        meal = min(most, habit * gap) if habit is not None else most
        if habit is None and step is not None:
            meal = min(meal, step(gap))
        meal *= share_later(case, can, day)
        if meal >= LEAST_MEAL_KG and day not in too_hot:
            out.append(
                Planned(on=day, feed_kg=meal, bedding_kg=meal * bedding, water_kg=water * gap, material=material)
            )
            waiting += meal
        previous = day
    return tuple(out)


@dataclass(frozen=True, slots=True)
class LikelyFeeding:
    """A feeding that was likely given in a gap: to be offered, never written by itself."""

    on: date
    kg: float
    material: str


def likely_feedings(
    bin_key: str, entries: Sequence[Entry], settings: Settings, gap: Silence
) -> tuple[LikelyFeeding, ...]:
    """The usual meal on each feeding day of the gap, from the habit before it; empty when there was none."""
    before = gap.first - timedelta(days=1)
    meal, material = usual_meal_kg(entries, before), usual_material(entries, before)
    if meal is None or not material:
        return ()
    return tuple(LikelyFeeding(day, meal, material) for day in feeding_days(settings, gap.first, gap.last, bin_key))
