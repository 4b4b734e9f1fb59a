"""Rules on air: oxygen used faster than it gets in, and castings that lie dense but at rest."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from wormbin.advice import limits
from wormbin.advice.bedding import dry
from wormbin.advice.case import Case
from wormbin.advice.evidence import Past, latest, past, sure
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.limits import AIR_HEAP_REACH, FEW_PORES, Limit, chance_beyond, level_of
from wormbin.advice.rations import hold
from wormbin.advice.rules.moisture import BRAKE
from wormbin.advice.wording import length, mass, percent, percent_band, stocking, surface
from wormbin.figures import Band, Level
from wormbin.process.views import Day
from wormbin.science.constants import WATER_KG_M3


def air_share(day: Day) -> Band | None:
    """Reach of air over depth of the contents (1 is air to the bottom); None when there is nothing in the bin.

    Depth is the smaller doubt of the two (a ruler settles it), so the band is the reach's own over the likely depth.
    """
    depth = day.contents_m.p50
    return day.air_reach_m.times(1.0 / depth) if depth > 0.01 else None


def careful_share(day: Day, area_m2: float) -> Band | None:
    """The same by Millington & Quirk 1961 (from memory) where air is under ``FEW_PORES`` of the contents; else None.

    Sources differ on how far air gets through wet pores. Theirs is FAS^(10/3) / pores^2 in place of FAS^2, about half
    the reach in a dense bed; in a loose one they agree. ``area_m2`` is the surface of the bin.
    """
    share, free = air_share(day), day.free_air_space.p50
    if share is None or free >= FEW_PORES or area_m2 <= 0.0:
        return None
    water = day.total_kg.p50 * day.moisture.p50 / WATER_KG_M3 / (area_m2 * day.contents_m.p50)
    return share.times(min(1.0, free ** (2.0 / 3.0) / min(1.0, max(1e-9, free + water))))


def heap_kg_m2(day: Day, area_m2: float) -> Band | None:
    """Feed waiting, kg fresh a square metre; None where air reaches so deep that it gets into a heap as well."""
    share = air_share(day)
    if share is None or share.p50 >= AIR_HEAP_REACH or area_m2 <= 0.0:
        return None
    return day.feed_waiting_kg.times(1.0 / area_m2)


SURE = 0.8
"""Chance of being short of air from which it is said aloud (ours)."""
WIDE = 0.3
"""A band wider than this part of the depth is told with the figure (ours)."""


def judged_share(case: Case) -> tuple[Limit, Level, Band | None]:
    """The reach of air over depth that this bin is judged by, with its limit and level: the usual one, or else the
    more careful one where only that falls short. The gauge, its sum and the feeding form show the same.
    """
    return share_told(case.history, case.bin.footprint_m2)


def share_told(history: Sequence[Day], area: float) -> tuple[Limit, Level, Band | None]:
    """The same of days that end with the one asked about, in a bin with a surface of ``area`` m2."""
    level = level_of(history, air_share, limits.AIR)
    if level is Level.STEADY:
        careful = level_of(history, lambda d: careful_share(d, area), limits.AIR_CAREFUL)
        if careful is not Level.STEADY:
            return limits.AIR_CAREFUL, careful, careful_share(history[-1], area)
    return limits.AIR, level, air_share(history[-1])


def reach_words(share: Band, say: Callable[[float], str]) -> str:
    """ "5.1 cm", and where the doubt is wide "5.1 cm (1 cm to 11 cm)"; no more than all the way down."""
    low, likely, high = (say(min(1.0, each)) for each in (share.p10, share.p50, share.p90))
    wide = min(1.0, share.p90) - min(1.0, share.p10) > WIDE and not low == likely == high
    return f"{likely} ({low} to {high})" if wide else likely


def air_short(case: Case) -> Finding | None:
    """Air does not reach the bottom against the oxygen that is being used, or in a wet bed or under a heap may not."""
    units, today = case.settings.units, case.today
    limit, level, share = judged_share(case)
    may = "may be " if limit is limits.AIR_CAREFUL else ""
    if level is Level.STEADY or share is None:
        return _under_a_heap(case)
    # A band that reaches over the limit is no alarm: it asks for the readings that would settle it.
    sure_of = (each for each in (Level.ACT, Level.WATCH) if each.rank <= level.rank)
    level = next(
        (each for each in sure_of if chance_beyond(share, limit.edge(each), above=False) >= SURE), Level.STEADY
    )
    depth_m = today.contents_m.p50
    reach, depth = reach_words(share, lambda part: length(part * depth_m, units)), length(depth_m, units)
    ask: tuple[Action, ...] = ()
    if level is Level.STEADY and (latest(case, "contents_m") is None or latest(case, "total_kg") is None):
        ask = (Action(Doing.MEASURE, "stand a ruler in it and weigh it: that tells if it has air"),)
    short = f"{may}short of air" if level is not Level.STEADY else "air may not get down"
    free, moist = percent(today.free_air_space.p50), percent(today.moisture.p50)
    return Past(case, limit, level, share, percent).finding(
        "air-short",
        f"{short}: it reaches {reach} of {depth}",
        f"air should reach {percent(limit.edge(level))} of the way down, so deep is oxygen used up. "
        f"Air fills {free} of the bin, and it is {moist} moist.",
        Action(Doing.FLUFF, "lift and fluff to the base today, and again in three days", 1.0), dry(case),
        *((hold(case, limits.HOLD_DAYS),) if level is Level.ACT else ()), *ask,
        said=f"air fills {percent_band(today.free_air_space)}", by=("contents_m", "total_kg", "moisture"),
        urgency=12.0 * (1.0 - min(1.0, share.p50)) + 6.0, feed=BRAKE[level], short="air is short",
    )  # fmt: skip


def _under_a_heap(case: Case) -> Finding | None:
    """Feed lies so thick that it shuts out the air that it needs itself."""
    units, today, area = case.settings.units, case.today, case.bin.footprint_m2
    told = past(case, limits.AIR_HEAP, lambda d: heap_kg_m2(d, area), lambda kg: stocking(kg, units))
    if told is None or told.band is None:
        return None
    waiting = today.feed_waiting_kg
    low, likely, high = (mass(kg, units) for kg in (waiting.p10, waiting.p50, waiting.p90))
    return told.finding(
        "air-short",
        "the heap of food may be short of air",
        f"{likely} of food lies on {surface(area, units)}, {told.say(told.band.p50)}. {told.ground} "
        f"A heap burns where it lies, and settles shut.",
        Action(Doing.FLUFF, "spread the heap out and fluff under it today, and again in three days", 1.0),
        dry(case), hold(case, limits.HOLD_DAYS),
        said=f"{low} to {high} of food uneaten", by=("left",),
        urgency=6.0 + min(6.0, told.band.p50 / told.limit.watch.enter), short="the food lies in a heap",
    )  # fmt: skip


def dense_castings(case: Case) -> Finding | None:
    """Castings lie dense with little left to burn: worth fluffing or harvesting, no alarm."""
    limit, today = limits.DENSE, case.today
    if level_of(case.history, lambda d: d.free_air_space, limit) is Level.STEADY:
        return None
    if level_of(case.history, air_share, limits.AIR) is not Level.STEADY:
        return None
    wet = today.total_kg.p50
    return Finding(
        code="dense",
        level=Level.STEADY,
        what="the castings lie dense: fluff once, or harvest",
        why=(
            f"air fills {percent(today.free_air_space.p50)} of the bin, under {percent(limit.watch.enter)}. "
            f"It still reaches the bottom: {percent(today.castings_share.p50)} is castings, which need little."
        ),
        actions=(Action(Doing.FLUFF, f"fluff once, or harvest: the bin holds {mass(wet, case.settings.units)}", 0.05),),
        sure=sure(case, f"air fills {percent_band(today.free_air_space)}", "contents_m", "total_kg"),
        source=limit.source,
        urgency=0.5,
    )
