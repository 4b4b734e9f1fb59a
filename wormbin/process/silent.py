"""Days of which nobody knows: taken to have gone on about as usual, with a wide doubt about all that was done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from wormbin.process import ensemble, pools
from wormbin.process.ensemble import COURSES, HABIT, IDLING, Drift
from wormbin.process.look import Seen
from wormbin.process.run import SOAKED_SD, Run
from wormbin.records.entries import Entry, Stocking
from wormbin.records.habits import (
    bedding_per_feed,
    last_feeding,
    last_looked,
    usual_gap_days,
    usual_meal_kg,
    water_kg_day,
)
from wormbin.records.silences import Silence
from wormbin.science.practice import feed_kg_day

SILENT_AMOUNTS_SD = 0.7
"""How far what was given may lie off the usual, natural log (ours)."""
IDLE = (IDLING < 0.0) & (HABIT < 0.0)
"""Companions, one of four, that hold that nothing was done at all."""
SPARE_DAYS = 3.0
"""Days of work that a keeper who looks lets wait beyond the next feeding (ours)."""
WATERED_UNDER = 0.80
"""Moisture over which nobody who looks gives water (ours: the middle of what is good for worms)."""
WANDERS = Drift(rate=0.0, drying=0.0, worms=0.03, damp=0.05, feed=0.5, castings=0.02, feed_cap=1.4)
"""What a bin may wander beyond what it does under a keeper who writes (ours, held to made-up bins)."""


NO_HABIT_DAYS = 21
"""Days without a line after which a bin without a habit is taken to be looked after by the book (ours)."""


@dataclass(frozen=True, slots=True)
class Usual:
    """What a keeper usually gives: kg of feed and bedding every so many days from ``since`` on, kg of water a day.

    Where it is ``by_the_book`` the bin is kept damp instead.
    """

    since: date
    every_days: int
    feed_kg: float
    bedding_kg: float = 0.0
    water_kg_day: float = 0.0
    by_the_book: bool = False


def silent_days(silences: Sequence[Silence], lines: Sequence[Entry]) -> dict[date, Usual]:
    """Each silent day with what is usual by the lines before its silence."""
    return {day: usual for each in silences for usual in [_usual(lines, each.first)] for day in each.days}


def _usual(lines: Sequence[Entry], first: date) -> Usual:
    """As of the last look before ``first``, so that it is the same however the days since are marked."""
    seen = last_looked(lines, first) or first
    gap, meal, last = usual_gap_days(lines, seen), usual_meal_kg(lines, seen), last_feeding(lines, seen)
    if not gap or not meal or last is None:
        worms = sum(e.what.worms_kg for e in lines if isinstance(e.what, Stocking) and e.when.date() < first)
        return Usual(first + timedelta(days=NO_HABIT_DAYS), 7, 7.0 * feed_kg_day(worms), by_the_book=True)
    days = max(1, round(gap))
    meal *= days / gap
    bedding = meal * bedding_per_feed(lines, seen)
    return Usual(last.when.date() + timedelta(days=days), days, meal, bedding, water_kg_day(lines, seen))


def go_on_as_usual(run: Run, day: date, usual: Usual) -> None:
    """Do what is usual on a day, no more than the bin can take, and widen what silence makes unsure.

    The likely course gets a day's share. On which days feed was given nobody knows, nor how much: each companion gets
    whole meals on days of its own, as much larger or smaller as amounts are unsure.
    """
    if day >= usual.since or not usual.by_the_book:
        before, c = pools.mass(run.likely, run.p), run.c[:, run.active]
        times = np.where(IDLE, 0.0, np.exp(SILENT_AMOUNTS_SD * HABIT))
        c[pools.WATER] += times * usual.water_kg_day * (pools.moisture(c) < WATERED_UNDER)
        if day >= usual.since and usual.feed_kg > 0.0:
            own_day = (day.toordinal() + np.arange(COURSES)) % usual.every_days == 0
            own_day = np.where(np.arange(COURSES) > 0, own_day, 1.0 / usual.every_days)
            eats, waits = Seen([run.look(day)]).appetites()[0], pools.waiting_fresh(run.c).sum(axis=0)
            room = np.maximum(0.0, eats * (usual.every_days + SPARE_DAYS) - waits)
            share = np.minimum(times * own_day, room / usual.feed_kg)
            c += (usual.feed_kg * run.usual + usual.bedding_kg * run.usual_bedding)[:, None] * share
            # What is left of the last feeding: nobody knows any more of which.
            run.last_feed = None
        run.done(before)
        if usual.by_the_book:
            run.keep_damp(sd=SOAKED_SD, who=~IDLE)
    ensemble.drift(run.c, run.own, 1.0, WANDERS)
    run.changed()
