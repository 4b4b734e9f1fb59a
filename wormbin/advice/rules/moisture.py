"""Rules on water: too wet, water standing at the base, too dry."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from statistics import mean

from wormbin.advice import limits
from wormbin.advice.action import Action, Doing
from wormbin.advice.bedding import INSIDE, choices, dry, kg_of_water, kg_to_dry, name_dry
from wormbin.advice.case import Case
from wormbin.advice.evidence import against, listed, name_of, recent, rests_on, squeezed, sure
from wormbin.advice.finding import Finding
from wormbin.advice.levels import level_of
from wormbin.advice.rations import hold
from wormbin.advice.wording import down, length, mass, percent, percent_band, spread, surface, volume
from wormbin.figures import Band, Basis, Level, Quantity
from wormbin.measures import counted
from wormbin.measures.daywords import day_words
from wormbin.process.views import Day, Judged

WATER_KG_M3 = 1000.0
WAIT_DAYS = 3
HAND_DAYS = 2
"""How long a reading taken by hand speaks for itself."""
FRESH_DAYS = 1
"""A single one is told aloud on its day and in the round of the next morning."""
IN_A_ROW_DAYS = 10
ONE_LOOK = timedelta(hours=1)
"""Readings taken within this belong to one look; what was read earlier that day is overtaken by it."""


def too_wet(case: Case) -> Finding | None:
    """The bedding holds more water than the animals are at ease in, by the log or by the keeper's own hand."""
    return too_wet_by_the_log(case) or _wet_in_hand(case)


def too_wet_by_the_log(case: Case) -> Finding | None:
    """The same by what the log makes likely."""
    limit = limits.too_wet(case.settings)
    level = level_of(case.history, lambda d: d.moisture, limit)
    if level is Level.STEADY:
        return None
    today, high = case.today, case.settings.moisture_high
    stop = (
        hold(case, WAIT_DAYS)
        if level is Level.ACT
        else Action(Doing.THEN, "feed drier things or nothing until it is back inside the aim")
    )
    return Finding(
        code="too-wet",
        level=level,
        bin=case.bin.key,
        what=f"too wet: moisture about {percent(today.moisture.p50)}, the aim is at most {percent(high)}",
        why=(
            f"moisture {percent(today.moisture.p50)}, {against(limit, level, percent)} ({limit.source}); "
            f"free air space {percent(today.free_air_space.p50)}"
        ),
        actions=(dry(case), Action(Doing.FLUFF, "lift and fluff, and leave the cover loose", 0.15), stop),
        sure=sure(
            case, f"moisture {percent_band(today.moisture)}", "moisture", band=today.moisture, limit=limit, level=level
        ),
        source=limit.source,
        urgency=8.0 + 100 * (today.moisture.p50 - high),
        numbers=(
            Quantity("moisture", today.moisture.p50, "fraction", Basis.WORKED_OUT),
            Quantity("limit", limit.edge(level), "fraction", Basis.BOOK),
        ),
    )


def _wet_in_hand(case: Case) -> Finding | None:
    """The keeper's own readings say too wet where the log does not explain it: what was seen is never talked away.

    One wet reading asks for a second look and for no water, and is a watch as long as it is fresh; two that agree are
    a watch with dry bedding to add; three are believed against the log, as a hand errs.
    """
    looks = _looks(case)
    if not looks or (case.on - looks[-1][0]).days > HAND_DAYS:
        return None
    high, today, units = case.settings.moisture_high, case.today, case.settings.units
    on, newest = looks[-1]
    wet = [mean(each.read for each in reads) >= high + 0.01 for _day, reads in looks]
    if not wet[-1]:
        return None
    before = len(looks) > 1 and wet[-2] and (on - looks[-2][0]).days <= IN_A_ROW_DAYS
    agree = len(newest) + (len(looks[-2][1]) if before else 0)
    fresh = (case.on - on).days <= FRESH_DAYS
    level = Level.ACT if agree > 2 else Level.WATCH if agree == 2 or fresh else Level.STEADY
    read = mean(each.read for each in newest)
    told = _told(newest)
    kg = kg_to_dry(
        today.dry_kg.p50 / max(1.0 - min(read, 0.92), 0.05), min(read, 0.92), high - INSIDE, _bedding_moisture(case)
    )
    told_before = f"; {day_words(looks[-2][0], case.on)} it was too wet in hand as well" if before else ""
    act = agree > 1
    steps = (
        dry(case, kg, soaked=False) if act else Action(Doing.WATER, "add no water"),
        Action(Doing.FLUFF, "lift and fluff, and leave the cover loose", 0.15),
    )
    from_where = down(today.contents_m.p50, units)
    again = Action(Doing.MEASURE, f"squeeze again tomorrow, a handful from {from_where}", 2.0)
    return Finding(
        code="too-wet",
        level=level,
        bin=case.bin.key,
        what=f"too wet in hand: {told}",
        why=(
            f"read {day_words(on, case.on)}, the aim is at most {percent(high)}{told_before}; the log alone makes it "
            f"{percent_band(today.moisture)}: water that was not written down, or a wet spot ({limits.TOLERANCE})"
        ),
        actions=(*steps, *((hold(case, WAIT_DAYS),) if level is Level.ACT else ()), again),
        sure=f"{counted(len(newest), 'reading')} {day_words(on, case.on)}, against the log; "
        + rests_on(case, "moisture"),
        source=limits.TOLERANCE,
        urgency=7.5 + 100 * (read - high),
        numbers=(Quantity("moisture read", read, "fraction", Basis.READ),),
    )


def _told(looks: Sequence[Judged]) -> str:
    """ "moisture meter reading 84% and 4 squeezes, dripping": each way of reading once, with its mean."""
    by: dict[str, list[float]] = {}
    for each in looks:
        by.setdefault(each.by, []).append(each.read)
    parts = []
    for how, reads in by.items():
        if how == "squeeze":
            hand = "a squeeze" if len(reads) == 1 else f"{len(reads)} squeezes"
            parts.append(f"{hand}, {squeezed(mean(reads))}")
        else:
            parts.append(f"{name_of('moisture', how)} {percent(mean(reads))}")
    return listed(parts)


def _looks(case: Case) -> list[tuple[date, list[Judged]]]:
    """Moisture readings of the last weeks by day, oldest first; of a day those of its last look."""
    days: dict[date, list[Judged]] = {}
    for judged in sorted(recent(case, "moisture", IN_A_ROW_DAYS + HAND_DAYS), key=lambda each: each.when):
        days.setdefault(judged.when.date(), []).append(judged)
    return [(on, [each for each in reads if reads[-1].when - each.when <= ONE_LOOK]) for on, reads in days.items()]


def _bedding_moisture(case: Case) -> float:
    options = choices(case)
    return options[0].material.moisture if options else 0.08


def standing_water(case: Case) -> Finding | None:
    """Water stands at the base of the box."""
    area, units = case.bin.footprint_m2, case.settings.units
    if area <= 0:
        return None
    limit = limits.STANDING

    def depth(day: Day) -> Band:
        return day.standing_water_kg.times(1.0 / (WATER_KG_M3 * area))

    level = level_of(case.history, depth, limit)
    if level is Level.STEADY:
        return None
    water = case.today.standing_water_kg
    out = (
        f"open the drain and let out about {volume(water.p50, units)}"
        if case.bin.drainage
        else f"tip or draw off about {volume(water.p50, units)} of water (this box has no drainage)"
    )
    heavy = case.today.total_kg.p50 + (case.bin.tare_kg or 0.0) > limits.LIFT_KG
    return Finding(
        code="standing-water",
        level=level,
        bin=case.bin.key,
        what=f"about {volume(water.p50, units)} of water stands at the base",
        why=(
            f"{volume(water.p50, units)} over {surface(area, units)} is "
            f"{length(depth(case.today).p50, units)} of water, "
            f"{against(limit, level, lambda metres: length(metres, units))} ({limit.source})"
        ),
        actions=(
            Action(Doing.DRAIN, out, water.p50),
            dry(case),
            *((Action(Doing.CAUTION, f"over {mass(limits.LIFT_KG, units)}: two people lift it"),) if heavy else ()),
            Action(Doing.CAUTION, "leachate is not tea: pour it on soil away from food crops"),
        ),
        sure=sure(
            case,
            _litres(case, water),
            "moisture",
            "total_kg",
            band=depth(case.today),
            limit=limit,
            level=level,
        ),
        source=limit.source,
        urgency=7.0 + 100 * depth(case.today).p50,
        numbers=(Quantity("standing water", water.p50, "kg", Basis.WORKED_OUT),),
    )


def _litres(case: Case, water: Band) -> str:
    """The band of standing water in words; it cannot be more than all the water there is."""
    most = case.today.total_kg.p50 * case.today.moisture.p50
    held = Band(*(min(each, most) for each in (water.p10, water.p50, water.p90)))
    return spread(held, lambda litres: volume(litres, case.settings.units))


def too_dry(case: Case) -> Finding | None:
    """The bedding holds too little water for worms to breathe and eat."""
    limit, units = limits.too_dry(case.settings), case.settings.units
    level = level_of(case.history, lambda d: d.moisture, limit)
    if level is Level.STEADY:
        return None
    today, low = case.today, case.settings.moisture_low
    target = low + 0.03
    water = kg_of_water(today.total_kg.p50, today.moisture.p50, target)
    goes = "in two goes, half a day apart" if water > 0.1 * today.total_kg.p50 else "as a spray, all over"
    return Finding(
        code="too-dry",
        level=level,
        bin=case.bin.key,
        what=f"too dry: moisture about {percent(today.moisture.p50)}, the aim is at least {percent(low)}",
        why=f"moisture {percent(today.moisture.p50)}, {against(limit, level, percent)} ({limit.source})",
        actions=(
            Action(Doing.WATER, f"add {volume(water, units)} of water {goes}", water),
            Action(Doing.FLUFF, "then mix it through and close the cover", 0.10),
            *_soak(case),
        ),
        sure=sure(
            case, f"moisture {percent_band(today.moisture)}", "moisture", band=today.moisture, limit=limit, level=level
        ),
        source=limit.source,
        urgency=8.0 + 100 * (low - today.moisture.p50),
        numbers=(Quantity("moisture", today.moisture.p50, "fraction", Basis.WORKED_OUT),),
    )


SIDE = 0.005
"""Half a point outside the aim is no side to speak of."""


def beside_the_aim(case: Case) -> Finding | None:
    """Nothing is wrong, and yet the moisture is not where the keeper wants it: by how much, and what mends it."""
    today, settings = case.today, case.settings
    low, high, value = settings.moisture_low, settings.moisture_high, today.moisture.p50
    if low - SIDE <= value <= high + SIDE or today.total_kg.p50 <= 0 or too_dry(case) or too_wet(case):
        return None
    dry_side = value < low
    water = kg_of_water(today.total_kg.p50, value, low + INSIDE)
    mends = (
        Action(Doing.WATER, f"add {volume(water, settings.units)} of water as a spray, all over", water)
        if dry_side
        else dry(case)
    )
    return Finding(
        code="dry-side" if dry_side else "wet-side",
        level=Level.STEADY,
        bin=case.bin.key,
        what=(
            f"steady, but on the {'dry' if dry_side else 'wet'} side: {percent(value)} moist, "
            f"the aim is {percent(low).removesuffix('%')}-{percent(high)}"
        ),
        why=f"moisture {percent(value)}; no harm yet, but growth is best inside the aim (Dominguez & Edwards 1997)",
        actions=(mends,),
        sure=sure(case, f"moisture {percent_band(today.moisture)}", "moisture"),
        source="growth against moisture (Dominguez & Edwards 1997); 75-85 % aimed at",
        urgency=1.2,
        numbers=(Quantity("moisture", value, "fraction", Basis.WORKED_OUT),),
    )


def _soak(case: Case) -> tuple[Action, ...]:
    options = choices(case)
    if not options:
        return ()
    words = f"soak {name_dry(options[0].material)} overnight before you add any more of it"
    return (Action(Doing.BEDDING, words),)
