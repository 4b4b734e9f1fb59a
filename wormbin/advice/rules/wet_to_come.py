"""Whether the planned feeding makes a bin too wet in the days looked ahead at, and the bedding that keeps it right."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from wormbin.advice import limits
from wormbin.advice.bedding import INSIDE, Choice, choices, kg_to_dry, name_dry
from wormbin.advice.case import Case
from wormbin.advice.evidence import last_read
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.levels import level_of
from wormbin.advice.wording import day_words, length, mass, percent, volume
from wormbin.figures import Band, Level
from wormbin.materials.material import SOAKS_UP
from wormbin.process.views import Day
from wormbin.science.constants import WATER_KG_M3

STRIDE_DAYS = 7
"""Moisture moves in weeks: days this far apart are looked at first, and the days between only where it passes."""
MOST_SHARE = 0.5
"""No more than this of dry bedding to a kg of feed: worms leave dry feed alone (ours)."""


@dataclass(frozen=True, slots=True)
class WetToCome:
    """The first day that is too wet, how wet it is then (fraction), and kg of dry bedding to a kg of planned feed.

    ``stands`` when it is water at the base that comes first, ``water_kg`` of it, ``standing_m`` deep. ``choice`` is the
    bedding meant.
    """

    on: date
    moisture: float
    stands: bool
    water_kg: float
    standing_m: float
    share: float
    choice: Choice | None


def wet_to_come(case: Case) -> WetToCome | None:
    """What the planned feedings lead to; None when they do not make it too wet, or none is planned.

    The bedding is what brings the bin back inside the keeper's aim on every later day looked at, by the balance of
    water, over the feed given until then: ``share = total * (moisture - aim) / (aim - bedding's own) / feed``; and what
    takes up the water that would stand.
    """
    days = case.ahead.days
    if not days or not any(each.feed_kg > 0 for each in case.ahead.plan):
        return None
    first_mark = STRIDE_DAYS - 1
    marked = dict(zip(range(first_mark, len(days), STRIDE_DAYS), days[first_mark::STRIDE_DAYS], strict=True))
    marked[len(days) - 1] = days[-1]
    beyond = next((place for place, day in marked.items() if _too_wet(case, day)), None)
    if beyond is None:
        return None
    near = days[max(0, beyond - STRIDE_DAYS) : beyond + 1]
    first = next(day for day in near if _too_wet(case, day))
    options = choices(case)
    choice = options[0] if options else None
    share = max(_share(case, day, choice) for place, day in marked.items() if place >= beyond)
    stands = first.moisture.p50 < limits.too_wet(case.settings).watch.enter
    deep = standing_m(case, first).p50
    share = min(MOST_SHARE, share)
    return WetToCome(first.on, first.moisture.p50, stands, first.standing_water_kg.p50, deep, share, choice)


def standing_m(case: Case, day: Day) -> Band:
    """How deep water stands at the base, m."""
    return day.standing_water_kg.times(1.0 / (WATER_KG_M3 * max(case.bin.footprint_m2, 1e-9)))


def _too_wet(case: Case, day: Day) -> bool:
    wet, standing = limits.too_wet(case.settings).watch.enter, limits.STANDING.watch.enter
    return day.moisture.p50 >= wet or standing_m(case, day).p50 >= standing


def _share(case: Case, day: Day, choice: Choice | None) -> float:
    """Bedding to a kg of feed that takes up what comes until ``day``; what is too much today is put right today."""
    given = sum(each.feed_kg for each in case.ahead.plan if each.on <= day.on)
    if given <= 0 or choice is None:
        return 0.0
    target, own = case.settings.moisture_high - INSIDE, choice.material.moisture
    to_dry = kg_to_dry(day.total_kg.p50, day.moisture.p50, target, own)
    now_dry = kg_to_dry(case.today.total_kg.p50, case.today.moisture.p50, target, own)
    may_stand = max(limits.STANDING.watch.leave * case.bin.footprint_m2 * WATER_KG_M3, case.today.standing_water_kg.p50)
    to_soak = (day.standing_water_kg.p50 - may_stand) / (choice.material.water_holding or SOAKS_UP)
    return max(0.0, to_dry - now_dry, to_soak) / given


LEAST_DRY_BEDDING_KG = 0.01
SURE_DAYS = 7
"""Within so many days what comes is a warning; further off it is said, and alarms nobody (ours)."""


def wet_ahead(case: Case) -> Finding | None:
    """The feeding as planned makes the bin too wet in the days looked ahead at: how much dry bedding goes with it."""
    wet, standing = limits.too_wet(case.settings), limits.STANDING
    if level_of(case.history, lambda day: day.moisture, wet) is not Level.STEADY:
        return None
    if level_of(case.history, lambda day: standing_m(case, day), standing) is not Level.STEADY:
        return None
    found = wet_to_come(case)
    if found is None:
        return None
    units = case.settings.units
    would = (
        f"water will stand {length(found.standing_m, units)} deep at the base, {volume(found.water_kg, units)} of it"
        if found.stands
        else f"it will be {percent(found.moisture)} moist. You aim at {percent(case.settings.moisture_high)} at most"
    )
    holes = "" if case.bin.drainage else " The box has no holes, so the water of the food stays in."
    return Finding(
        code="wet-ahead",
        level=Level.WATCH if (found.on - case.on).days <= SURE_DAYS else Level.STEADY,
        what=f"if you feed as planned, it is too wet by {day_words(found.on, case.on)}",
        why=f"then {would}.{holes}",
        actions=(Action(Doing.WITH_FEED, with_each(case, found), found.share),),
        sure=f"Estimate, if you feed as planned. {last_read(case, 'moisture')}",
        source=(standing if found.stands else wet).source,
        urgency=2.8,
    )


def with_each(case: Case, found: WetToCome) -> str:
    """ "strew 40 g dry shredded cardboard over each feeding of about 470 g"."""
    meals = [each.feed_kg for each in case.ahead.plan if each.feed_kg > 0]
    meal = sum(meals) / len(meals)
    units = case.settings.units
    if found.choice is None:
        return "strew a handful of dry shredded cardboard over each feeding"
    kg = mass(max(found.share * meal, LEAST_DRY_BEDDING_KG), units)
    noted = found.choice.find_first
    return f"strew {kg} {name_dry(found.choice.material)} over each feeding of about {mass(meal, units)}{noted}"
