"""Rules on the herd: too few, too crowded, falling."""

from __future__ import annotations

from collections import deque
from datetime import timedelta
from math import exp, log

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.evidence import Past, latest, limit_words, past, sure, worms_words
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.limits import Limit, level_of
from wormbin.advice.rations import ramp_share, week
from wormbin.advice.wording import mass, percent, stocking, surface
from wormbin.figures import Band, Level
from wormbin.process.views import Day
from wormbin.records.entries import Harvest, Kind
from wormbin.science.practice import PLAN_AT_MOST_KG_M2, START_KG_M2

KNOWN_WITHIN = 3.0
"""The high end of an estimate over its low end up to which worms are taken out on it; else count them first (ours)."""
FALL_DAYS, RISING_DAYS = 28, 7
LEAST_HERD_KG = 0.001
"""Fewer than this, a few worms, are no herd that could be said to shrink (ours)."""
HANDLED = frozenset({Kind.STOCKING, Kind.MOVE, Kind.SURVEY})


def _past_density(case: Case, limit: Limit) -> Past | None:
    area = case.bin.footprint_m2

    def density(day: Day) -> Band | None:
        return day.worms_kg.times(1.0 / area) if area > 0 and ramp_share(case, day.on) > 0 else None

    return past(case, limit, density, lambda kg_m2: stocking(kg_m2, case.settings.units))


def none_yet(case: Case) -> Finding | None:
    """A bin that was begun, and nobody wrote that worms are in it."""
    if case.today.worms_kg.p90 > LEAST_HERD_KG or any(each.kind in HANDLED for each in case.entries):
        return None
    return Finding(
        code="no-worms",
        level=Level.WATCH,
        what="no worms in this bin yet",
        why="the log has bedding, and no worms. Nothing gets eaten until they are in.",
        actions=(
            Action(Doing.WORMS, "put the worms in, then write them down: “write more”, or wormbin stock"),
            Action(Doing.THEN, "feed from the second or third day after that"),
        ),
        sure="The log knows only what you write down.",
        source="the log",
        urgency=2.0,
    )


def too_few(case: Case) -> Finding | None:
    """Fewer worms than the surface carries, so that feed is soon too much."""
    told = _past_density(case, limits.FEW_WORMS)
    if told is None or told.band is None:
        return None
    worms, units, area = case.today.worms_kg.p50, case.settings.units, case.bin.footprint_m2
    more = max(0.0, START_KG_M2 * area - worms)
    return told.finding(
        "few-worms",
        f"few worms: about {mass(worms, units)} on {surface(area, units)}",
        f"that is {told.say(told.band.p50)}. {told.ground} So few soon get too much food.",
        Action(Doing.WORMS, f"add up to {mass(more, units)} of worms, or feed these gently", more),
        week("with so few"),
        *_count_first(case),
        said=worms_words(case), by=("worms_kg",), urgency=3.0 + max(0.0, 1.0 - told.band.p50),
    )  # fmt: skip


def _count_first(case: Case) -> tuple[Action, ...]:
    """The step that asks for a survey before worms are bought or sold on an estimate."""
    if latest(case, "worms_kg") is not None:
        return ()
    return (Action(Doing.MEASURE, "count first, before you buy or sell: a worm survey, 4 samples of 15 x 15 cm", 1.5),)


def _known(case: Case) -> bool:
    """Whether it is known well enough how many worms there are to say how many to take out."""
    worms = case.today.worms_kg
    return worms.p90 <= KNOWN_WITHIN * worms.p10


def too_crowded(case: Case) -> Finding | None:
    """More worms than the surface carries: growth and laying stop."""
    told = _past_density(case, limits.CROWDED)
    if told is None or told.band is None:
        return None
    worms, units, area = case.today.worms_kg.p50, case.settings.units, case.bin.footprint_m2
    out = max(0.0, worms - 0.6 * PLAN_AT_MOST_KG_M2 * area)
    words = f"take out about {mass(out, units)} of worms: split the bin, fill another, or sell"
    return told.finding(
        "crowded",
        f"crowded: about {mass(worms, units)} of worms on {surface(area, units)}",
        f"that is {told.say(told.band.p50)}. {told.ground} In a crowd they stop growing and breeding.",
        *((Action(Doing.WORMS, words, out),) if _known(case) else ()),
        *_count_first(case),
        said=worms_words(case), by=("worms_kg",), urgency=3.0 + told.band.p50 / 10,
    )  # fmt: skip


def _herd(day: Day) -> float:
    return day.worms_kg.p50


def lost_share(case: Case) -> tuple[tuple[Day, float], ...]:
    """For each day, the share of the worms lost in the four weeks before, but for those put in, taken or recounted.

    A day on which worms were stocked, moved or counted says nothing of how the herd fares, so its step is left out.
    """
    handled = {e.when.date() for e in case.entries if e.kind in HANDLED}
    handled |= {e.when.date() for e in case.entries if isinstance(e.what, Harvest) and (e.what.worms_out_kg or 0) > 0}
    fared = 0.0
    trail: list[tuple[Day, float]] = []
    previous: Day | None = None
    for day in case.history:
        if previous is not None and day.on not in handled and min(_herd(previous), _herd(day)) > LEAST_HERD_KG:
            fared += log(_herd(day) / _herd(previous))
        trail.append((day, fared))
        previous = day
    best: deque[tuple[Day, float]] = deque()  # of the last four weeks, the highest first
    out: list[tuple[Day, float]] = []
    for day, now in trail:
        while best and best[-1][1] <= now:
            best.pop()
        best.append((day, now))
        while best[0][0].on < day.on - timedelta(days=FALL_DAYS):
            best.popleft()
        out.append((day, 1.0 - exp(now - best[0][1])))
    return tuple(out)


def falling(case: Case) -> Finding | None:
    """The herd shrinks by itself."""
    limit, units = limits.FALLING, case.settings.units
    trail = lost_share(case)
    if not trail or ramp_share(case, case.on) <= 0:
        return None
    level = level_of(trail, lambda pair: Band.exactly(pair[1]), limit)
    if level is Level.STEADY:
        return None
    lost, worms = trail[-1][1], case.today.worms_kg
    before = trail[max(0, len(trail) - 1 - RISING_DAYS)][0]
    if _herd(before) <= worms.p50:
        return None
    return Finding(
        code="falling",
        level=level,
        what=f"fewer worms: {percent(lost)} lost in four weeks, about {mass(worms.p50, units)} left",
        why=f"{percent(lost)} is gone in {FALL_DAYS} days. {limit_words(limit, level, percent)}",
        actions=(
            week("until they stop shrinking"),
            Action(Doing.MEASURE, "count them to be sure: a worm survey of 4 samples", 1.2),
        ),
        sure=sure(case, worms_words(case), "worms_kg"),
        source=limit.source,
        urgency=6.0 + lost,
    )
