"""Days of which nobody knows: taken to have gone on about as usual, with a wide doubt about all that was done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp

from wormbin.process import companions, pools
from wormbin.process.companions import Drift
from wormbin.process.day import appetites_of
from wormbin.process.run import Run
from wormbin.records.entries import Entry
from wormbin.records.habits import (
    bedding_per_feed,
    last_feeding,
    last_looked,
    usual_gap_days,
    usual_meal_kg,
    water_kg_day,
)
from wormbin.records.silences import Silence

AMOUNTS_SD = 0.5
"""How far what was given may lie off the usual, natural log (ours)."""
SPARE_DAYS = 3.0
"""Days of work that a keeper who looks lets wait beyond the next feeding (ours)."""
WATERED_UNDER = 0.80
"""Moisture over which nobody who looks gives water (ours: the middle of what is good for worms)."""
WANDERS = Drift(rate=0.0, drying=0.0, worms=0.03, damp=0.05, feed=0.5, castings=0.01, feed_cap=1.1)
"""What a bin may wander beyond what it does under a keeper who writes (ours, held to made-up bins)."""


@dataclass(frozen=True, slots=True)
class Usual:
    """What a keeper usually gives: kg of feed and bedding every so many days from ``since`` on, kg of water a day."""

    since: date
    every_days: int
    feed_kg: float
    bedding_kg: float
    water_kg_day: float


def silent_days(silences: Sequence[Silence], lines: Sequence[Entry]) -> dict[date, Usual | None]:
    """Each silent day with what is usual by the lines before its silence; None before there is any habit."""
    return {day: usual for each in silences for usual in [_usual(lines, each.first)] for day in each.days}


def _usual(lines: Sequence[Entry], first: date) -> Usual | None:
    """As of the last look before ``first``, so that it is the same however the days since are marked."""
    seen = last_looked(lines, first) or first
    gap, meal, last = usual_gap_days(lines, seen), usual_meal_kg(lines, seen), last_feeding(lines, seen)
    if not gap or not meal or last is None:
        return None
    days = max(1, round(gap))
    meal *= days / gap
    bedding = meal * bedding_per_feed(lines, seen)
    return Usual(last.when.date() + timedelta(days=days), days, meal, bedding, water_kg_day(lines, seen))


def go_on_as_usual(run: Run, day: date, usual: Usual | None) -> None:
    """Do what is usual on a day, no more than the bin can take, and widen what silence makes unsure.

    The likely course gets a day's share. On which days feed was given nobody knows, nor how much: each companion gets
    whole meals on days of its own, as much larger or smaller as amounts are unsure.
    """
    if usual is not None:
        look = run.look(day)
        before = pools.mass(run.nine[0].parts, run.p)
        eats = appetites_of(look, look.figures)
        for number, (course, sign) in enumerate(zip(run.nine, (0, *companions.INPUT), strict=True)):
            part, times = course.parts[run.active], exp(AMOUNTS_SD * sign)
            if pools.moisture(part) < WATERED_UNDER:
                part[pools.WATER] += times * usual.water_kg_day
            share = 0.0
            if day >= usual.since:
                own_day = (day.toordinal() + number) % usual.every_days == 0
                share = times * own_day if number else 1.0 / usual.every_days
            waits = sum(pools.waiting_fresh(each) for each in course.parts)
            room = max(0.0, eats[number] * (usual.every_days + SPARE_DAYS) - waits)
            share = min(share, room / usual.feed_kg)
            pools.add_usual(part, run.usual, share * usual.feed_kg)
            pools.add_usual(part, run.usual_bedding, share * usual.bedding_kg)
        run.book(run.ledger.put, run.ledger.taken, before)
        if day >= usual.since:
            # What is left of the last feeding: nobody knows any more of which.
            run.last_feed = None
    companions.drift(run.nine, 1.0, WANDERS)
