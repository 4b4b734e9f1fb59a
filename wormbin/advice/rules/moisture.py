"""Rules on water: too wet, water standing at the base, too dry."""

from __future__ import annotations

from wormbin.advice import limits
from wormbin.advice.action import Action, Doing
from wormbin.advice.bedding import choices, dry, kg_of_water, name_dry
from wormbin.advice.case import Case
from wormbin.advice.evidence import against, sure
from wormbin.advice.finding import Finding
from wormbin.advice.levels import level_of
from wormbin.advice.rations import hold
from wormbin.advice.wording import length, mass, percent, percent_band, surface, volume
from wormbin.figures import Band, Basis, Level, Quantity
from wormbin.process.views import Day

WATER_KG_M3 = 1000.0
WAIT_DAYS = 3


def too_wet(case: Case) -> Finding | None:
    """The bedding holds more water than the animals are at ease in."""
    limit = limits.too_wet(case.settings)
    level = level_of(case.history, lambda d: d.moisture, limit)
    if level is Level.STEADY:
        return None
    today, high = case.today, case.settings.moisture_high
    stop = (
        hold(case, WAIT_DAYS)
        if level is Level.ACT
        else Action(Doing.THEN, "feed drier things or nothing until it is back in its band")
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
    units, most = case.settings.units, case.today.total_kg.p50 * case.today.moisture.p50
    low, high = volume(min(water.p10, most), units), volume(min(water.p90, most), units)
    return f"{low} to {high}" if low != high else low


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


def _soak(case: Case) -> tuple[Action, ...]:
    options = choices(case)
    if not options:
        return ()
    words = f"soak {name_dry(options[0].material)} overnight before you add any more of it"
    return (Action(Doing.BEDDING, words),)
