"""Rules on what the planned feedings lead to, before anything is wrong."""

from __future__ import annotations

from wormbin.advice import limits
from wormbin.advice.action import Action, Doing
from wormbin.advice.bedding import name_dry
from wormbin.advice.case import Case
from wormbin.advice.evidence import against, rests_on
from wormbin.advice.finding import Finding
from wormbin.advice.levels import level_of
from wormbin.advice.wet_to_come import WetToCome, standing_m, wet_to_come
from wormbin.advice.wording import day_words, length, mass, percent, volume
from wormbin.figures import Level

LEAST_KG = 0.01
SOON_DAYS = 7
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
        f"{volume(found.water_kg, units)} of water would stand {length(found.standing_m, units)} deep at the base"
        if found.stands
        else f"moisture {percent(found.moisture)}, the aim is at most {percent(case.settings.moisture_high)}"
    )
    limit = (
        against(standing, Level.WATCH, lambda metres: length(metres, units))
        if found.stands
        else against(wet, Level.WATCH, percent)
    )
    holes = "" if case.bin.drainage else "; no drainage, so what feed brings stays"
    return Finding(
        code="wet-ahead",
        level=Level.WATCH if (found.on - case.on).days <= SOON_DAYS else Level.STEADY,
        what=f"with the feeding as planned it will be too wet by {day_words(found.on, case.on)}",
        why=f"by then {would}, {limit}{holes} ({(standing if found.stands else wet).source})",
        actions=(Action(Doing.WITH_FEED, with_each(case, found), found.share),),
        sure=f"looked ahead under the planned feedings; {rests_on(case, 'moisture')}",
        source=wet.source,
        urgency=2.8,
    )


def with_each(case: Case, found: WetToCome) -> str:
    """ "strew 40 g dry shredded cardboard over each feeding of about 470 g"."""
    meals = [each.feed_kg for each in case.ahead.plan if each.feed_kg > 0]
    meal = sum(meals) / len(meals)
    units = case.settings.units
    if found.choice is None:
        return "strew a handful of dry shredded cardboard over each feeding"
    kg = mass(max(found.share * meal, LEAST_KG), units)
    noted = "" if found.choice.noted else " (none is noted as on hand)"
    return f"strew {kg} {name_dry(found.choice.material)} over each feeding of about {mass(meal, units)}{noted}"
