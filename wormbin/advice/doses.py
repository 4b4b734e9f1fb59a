"""Amounts to put in or take out: never on a guess, never much at once, and no finer than a kitchen can measure."""

from __future__ import annotations

from datetime import timedelta

from wormbin.advice import limits
from wormbin.advice.bedding import kg_of_water
from wormbin.advice.case import Case
from wormbin.advice.clock import kg_in, work_days
from wormbin.advice.finding import Action, Doing
from wormbin.advice.food import sour_share
from wormbin.advice.wording import LEAST_DRY_KG, LEAST_WATER_L, down, poured, scooped
from wormbin.materials.material import Pace
from wormbin.records.entries import Check, Feeding
from wormbin.records.habits import fed_kg, last_feeding
from wormbin.science.practice import USUAL_FEED_KG_KG_DAY

READ_DAYS = 5
"""A dose of water rests on a reading of moisture no older than this (ours)."""
AT_MOST = 0.10
"""Share of the contents' mass that is put in or let out in a day (ours)."""
ENOUGH_DAYS = 5.0
"""Feed that is taken out leaves this many days of work behind (ours)."""
FREEZE_KG, TAKE_OUT_DAYS = 0.5, 2
"""So much feed, so fresh, goes into a kitchen freezer; more or older stuff does not (ours)."""


def felt(case: Case) -> bool:
    """Whether the moisture was read in the last days, by hand, meter or oven."""
    since = case.on - timedelta(days=READ_DAYS)
    return any(
        isinstance(entry.what, Check)
        and (entry.what.moisture is not None or entry.what.squeeze is not None)
        and since <= entry.when.date() <= case.on
        for entry in case.entries
    )


def squeeze_first(case: Case, then: str) -> Action:
    """Feel it before anything is poured: the step in the place of a dose that nothing was read for."""
    return Action(
        Doing.MEASURE, f"squeeze a handful from {down(case.today.contents_m.p50, case.settings.units)}. {then}", 3.0
    )


def water_kg(case: Case, target: float) -> float:
    """Water up to ``target`` (fraction), counted from the wet end of the band, in a day, kg."""
    total = case.today.total_kg.p50
    return min(AT_MOST * total, kg_of_water(total, case.today.moisture.p90, target))


def water(case: Case, target: float) -> Action:
    """Water up to ``target`` (fraction), counted from the wet end of the band; felt for first where nobody did."""
    if not felt(case):
        return squeeze_first(case, "If it crumbles, write down dry: you then see how much water it needs")
    kg = water_kg(case, target)
    if kg < LEAST_WATER_L:
        return Action(Doing.WATER, "spray the dry top lightly. Squeeze again tomorrow", LEAST_WATER_L)
    return Action(
        Doing.WATER, f"add {poured(kg, case.settings.units)} of water, sprinkled all over. Squeeze again tomorrow", kg
    )


def drain(case: Case, seen: bool) -> Action:
    """Water let out at the base: looked for first, unless the keeper saw it and felt how wet the bin is."""
    units, standing = case.settings.units, case.today.standing_water_kg.p50
    if not seen:
        return Action(Doing.LOOK, "look at the base first: tip the box a little, let out what runs, write it down")
    if not felt(case) or standing < LEAST_WATER_L:
        return Action(Doing.DRAIN, "let out what runs at the base. Then squeeze a handful and write it down")
    kg = min(AT_MOST * case.today.total_kg.p50, standing)
    how = "open the drain and let out" if case.bin.drainage else "tip or draw off"
    return Action(Doing.DRAIN, f"{how} about {poured(kg, units)} of water. Squeeze again tomorrow", kg)


def heat_out_kg(case: Case, down_to_c: float, temp_c: float, rise_c: float) -> float:
    """Fresh kg of waiting feed that makes the heat over ``down_to_c``: the rise is in proportion to what burns."""
    if rise_c < limits.OWN_HEAT_C:
        return 0.0
    return case.today.feed_waiting_kg.p50 * min(1.0, max(0.0, temp_c - down_to_c) / rise_c)


def take_out_kg(case: Case) -> float:
    """Fresh kg of feed to take out again, for all that is the matter with it: one figure, whichever rule asks.

    What is over five days of work where two weeks' wait; the share that makes it too hot, now or within a week; what
    lies thicker than it may; what of the last days is over a week's ration, or so sour that it harms.
    """
    today = case.today
    waits, out = today.feed_waiting_kg.p50, 0.0
    if work_days(case, waits) >= limits.TOO_LONG_DAYS:
        out = max(out, waits - kg_in(case, ENOUGH_DAYS))
    cool = limits.too_hot(case.bin.species).watch.leave
    for day in (today, *case.unfed.days[: limits.HEAT_AHEAD_DAYS]):
        if day.temp_c.p50 >= limits.too_hot(case.bin.species).watch.enter:
            out = max(out, heat_out_kg(case, cool, day.temp_c.p50, day.heat_rise_c.p50))
    given = fed_kg(case.entries, case.on - timedelta(days=TAKE_OUT_DAYS), case.on)
    week = fed_kg(case.entries, case.on - timedelta(days=6), case.on)
    worms = 7 * today.worms_kg.p50
    out = max(out, given - USUAL_FEED_KG_KG_DAY * worms, week - limits.BODY_WEIGHTS.watch.leave * worms)
    sour, _share = sour_share(case.entries, case.table, case.on)
    if sour > limits.SOUR_HARMS * today.total_kg.p50:
        out = max(out, min(sour, given))
    thick = today.layers.feed_m
    if thick > limits.LAYER.watch.enter:
        out = max(out, (1.0 - limits.LAYER_MAX_M / thick) * waits)
    return min(out, waits)


def take_out(case: Case) -> tuple[Action, ...]:
    """The step that takes feed out again, and where to; none where it is not worth it."""
    kg = take_out_kg(case)
    if kg < LEAST_DRY_KG:
        return ()
    about = scooped(kg, case.settings.units, case.today.feed_waiting_kg.p50)
    said = f"take out about {about} of food. {where_to(case, kg)}"
    return (Action(Doing.TAKE_OUT, said, kg),)


def where_to(case: Case, kg: float) -> str:
    """Where feed goes that is too much: the freezer only takes a little, and fresh."""
    return "Freeze it" if _freezes(case, kg) else "Put it in a bucket with dry bedding, a second bin or a hot heap"


def _freezes(case: Case, kg: float) -> bool:
    """Whether a kitchen freezer is the place for it: little, fresh, and no manure."""
    fed = last_feeding(case.entries, case.on)
    if fed is None or not isinstance(fed.what, Feeding) or kg > FREEZE_KG:
        return False
    if (case.on - fed.when.date()).days > TAKE_OUT_DAYS:
        return False
    known = {material.key: material for material in case.table}
    return not any(known[each.material].pace is Pace.AGED for each in fed.what.portions if each.material in known)
