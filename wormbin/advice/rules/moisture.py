"""Rules on water: too wet, water standing at the base, too dry."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from wormbin.advice import limits
from wormbin.advice.bedding import INSIDE, Choice, choices, dry, kg_to_dry, name_dry
from wormbin.advice.case import Case
from wormbin.advice.doses import drain, felt, squeeze_first, water
from wormbin.advice.evidence import Past, last_read, past, sure
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.limits import Limit, level_of
from wormbin.advice.rations import hold
from wormbin.advice.wording import day_words, length, mass, percent, percent_band, spread, volume
from wormbin.figures import Band, Level
from wormbin.materials.material import SOAKS_UP
from wormbin.process.views import Day
from wormbin.science.constants import LIFT_KG, LOOSE_BEDDING_KG_M3, NEW_BED_M, WATER_KG_M3, WET_PORES

BRAKE = {Level.STEADY: 1.0, Level.WATCH: 0.5, Level.ACT: 0.0}
"""What is left of a ration while a bin is wet, hot, cold or short of air (ours)."""


def wet_steps(case: Case, level: Level, moisture: float, age: int = 0) -> tuple[Action, ...]:
    """What is done about a bin that is too wet, at this moisture (read or worked out)."""
    high, today = case.settings.moisture_high, case.today
    if not felt(case):
        return (
            squeeze_first(case, "If it drips, write it down: you then see how much dry bedding it needs"),
            Action(Doing.FLUFF, "lift and fluff, and leave the cover loose", 0.15),
            Action(Doing.THEN, "feed drier things until then"),
        )
    held = min(moisture, 0.92)
    kg = kg_to_dry(today.dry_kg.p50 / (1.0 - held), held, high - INSIDE, bedding_moisture(case))
    stop = (
        hold(case, limits.HOLD_DAYS - age)
        if level is Level.ACT
        else Action(Doing.THEN, "feed drier things, or nothing, until it is right again")
    )
    return (dry(case, kg, soaked=False), Action(Doing.FLUFF, "lift and fluff, and leave the cover loose", 0.15), stop)


def dry_steps(case: Case, level: Level, moisture: float, age: int = 0) -> tuple[Action, ...]:
    """What is done about a bin that is too dry."""
    return (
        water(case, case.settings.moisture_low + 0.03),
        Action(Doing.FLUFF, "then mix it through and close the cover", 0.10),
        *_soak(case),
    )


def too_wet(case: Case) -> Finding | None:
    """The bedding holds more water than the animals are at ease in, by what the log makes likely."""
    told = _past_moisture(case, limits.too_wet(case.settings))
    if told is None:
        return None
    today, high = case.today, case.settings.moisture_high
    moist = percent(today.moisture.p50)
    return told.finding(
        "too-wet",
        f"too wet: about {moist} moist, aim at {percent(high)} at most",
        f"it is about {moist} moist. {told.ground} Water takes the room of air: only "
        f"{percent(today.free_air_space.p50)} is air.",
        *wet_steps(case, told.level, today.moisture.p50),
        said=f"moisture {percent_band(today.moisture)}", by=("moisture",),
        urgency=8.0 + 100 * (today.moisture.p50 - high), feed=BRAKE[told.level], short=f"it is wet ({moist})",
        bars=(Doing.WATER,),
    )  # fmt: skip


def _past_moisture(case: Case, limit: Limit) -> Past | None:
    """Past a limit on moisture; at most a watch where nobody felt it."""
    told = past(case, limit, lambda d: d.moisture, percent)
    return told if told is None or felt(case) else replace(told, level=Level.WATCH)


def bedding_moisture(case: Case) -> float:
    """Moisture of the bedding that would be put in, fraction."""
    options = choices(case)
    return options[0].material.moisture if options else 0.08


def standing_water(case: Case) -> Finding | None:
    """Water stands at the base of the box."""
    area, units = case.bin.footprint_m2, case.settings.units
    if area <= 0:
        return None

    def in_bed(metres: float) -> str:
        return length(metres / WET_PORES, units)

    told = past(case, limits.STANDING, lambda day: standing_m(case, day), in_bed)
    if told is None:
        return None
    # Nobody saw it: by the sums alone it is a reason to look, and no alarm.
    told, deep, likely = (
        replace(told, level=Level.WATCH),
        standing_m(case, case.today).p50,
        case.today.standing_water_kg.p50,
    )
    heavy = case.today.total_kg.p50 + (case.bin.tare_kg or 0.0) > LIFT_KG
    return told.finding(
        "standing-water",
        f"water may stand at the base: about {volume(likely, units)}",
        f"{volume(likely, units)} stands {in_bed(deep)} up in the bed. {told.ground} Nobody saw it yet.",
        drain(case, seen=False),
        *((Action(Doing.CAUTION, f"over {mass(LIFT_KG, units)}: two people lift it"),) if heavy else ()),
        Action(Doing.CAUTION, "what runs out is not tea: pour it on soil away from food crops"),
        said=_litres(case, case.today.standing_water_kg), by=("moisture", "total_kg"), urgency=7.0 + 100 * deep,
        bars=(Doing.WATER,),
    )  # fmt: skip


def _litres(case: Case, water: Band) -> str:
    """The band of standing water in words; it cannot be more than all the water there is."""
    most = case.today.total_kg.p50 * case.today.moisture.p50
    held = Band(*(min(each, most) for each in (water.p10, water.p50, water.p90)))
    return spread(held, lambda litres: volume(litres, case.settings.units))


def too_dry(case: Case) -> Finding | None:
    """The bedding holds too little water for worms to breathe and eat."""
    told = _past_moisture(case, limits.too_dry(case.settings))
    if told is None:
        return None
    value, low = case.today.moisture.p50, case.settings.moisture_low
    return told.finding(
        "too-dry",
        f"too dry: about {percent(value)} moist, aim at {percent(low)} at least",
        f"it is about {percent(value)} moist. {told.ground} Worms breathe through a wet skin.",
        *dry_steps(case, told.level, value),
        said=f"moisture {percent_band(case.today.moisture)}", by=("moisture",), urgency=8.0 + 100 * (low - value),
    )  # fmt: skip


SIDE = 0.005
"""Half a point outside the aim is no side to speak of."""


def beside_the_aim(case: Case) -> Finding | None:
    """Nothing is wrong, and yet the moisture is not where the keeper wants it: by how much, and what mends it."""
    today, settings = case.today, case.settings
    low, high, value = settings.moisture_low, settings.moisture_high, today.moisture.p50
    if low - SIDE <= value <= high + SIDE or today.total_kg.p50 <= 0 or too_dry(case) or too_wet(case):
        return None
    dry_side = value < low
    mends = water(case, low + INSIDE) if dry_side else dry(case)
    return Finding(
        code="dry-side" if dry_side else "wet-side",
        level=Level.STEADY,
        what=(
            f"a little {'dry' if dry_side else 'wet'}: {percent(value)} moist, "
            f"aim at {percent(low).removesuffix('%')}-{percent(high)}"
        ),
        why="no harm yet, but worms grow best inside your aim.",
        actions=(mends,),
        sure=sure(case, f"moisture {percent_band(today.moisture)}", "moisture"),
        source="growth against moisture (Dominguez & Edwards 1997); 75-85 % aimed at",
        urgency=1.2,
    )


def _soak(case: Case) -> tuple[Action, ...]:
    options = choices(case)
    if not options:
        return ()
    words = f"soak {name_dry(options[0].material)} overnight before you add any more of it"
    return (Action(Doing.BEDDING, words),)


NO_BED_M, NO_CASTINGS_M = 0.01, 0.03
"""Under so little bedding and castings the worms have no bed to live in (ours)."""


def no_bedding(case: Case) -> Finding | None:
    """There is no bed: feed and water alone turn airless, and worms have nowhere to go."""
    layers = case.today.layers
    if layers.bedding_m >= NO_BED_M or layers.castings_m >= NO_CASTINGS_M:
        return None
    kg = case.bin.footprint_m2 * NEW_BED_M * LOOSE_BEDDING_KG_M3
    return Finding(
        code="no-bedding",
        level=Level.WATCH,
        what="by the log this bin has no bedding",
        why="worms live in bedding. It holds air and soaks up the water of the food. Food alone turns to mud.",
        actions=(dry(case, kg), Action(Doing.THEN, "if it has bedding already, write it down")),
        sure="The log knows only what you write down.",
        source=limits.PRACTICE,
        urgency=6.5,
    )


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
