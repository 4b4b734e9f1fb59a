"""Rules on warmth: too hot, too cold, and heat to come from what was fed."""

from __future__ import annotations

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.doses import take_out
from wormbin.advice.evidence import against, sure
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.levels import Limit, level_of
from wormbin.advice.rations import hold, week
from wormbin.advice.rules.moisture import BRAKE
from wormbin.advice.wording import day_words, degrees, temperature
from wormbin.figures import Level

COOL = "move it into shade, open the lid, spread the feed thin, lay a frozen bottle in a cloth on top"
STOP_C = 30.0
"""Over this nothing is fed (Earthworm Ecology 2004, Table 18.3: limits 4-30 C)."""
COOL_BY_C, LITTLE_KG_M2 = 8.0, 6.0
"""So far under the limit, so little feed waiting a square metre cannot heat a bin to it: the days ahead stay shut."""


def cool_steps(case: Case, level: Level, temp_c: float, age: int = 0) -> tuple[Action, ...]:
    """What is done about a bin that is too hot."""
    return (
        Action(Doing.WARMTH, COOL, 2.0),
        *take_out(case),
        hold(case, limits.HOLD_DAYS - age)
        if level is Level.ACT or temp_c >= STOP_C
        else Action(Doing.THEN, "half rations until it is cooler"),
    )


def warm_steps(case: Case, level: Level, temp_c: float, age: int = 0) -> tuple[Action, ...]:
    """What is done about a bin that is too cold."""
    return (
        Action(Doing.WARMTH, "bring it in, or wrap it: blanket, straw or foam all round, the lid left loose", 1.0),
        hold(case, limits.HOLD_DAYS - age) if level is Level.ACT else week("while it is this cold"),
    )


def too_hot(case: Case) -> Finding | None:
    """The bedding is hotter than the animals bear."""
    limit, units, today = limits.too_hot(case.bin.species), case.settings.units, case.today
    level = level_of(case.history, lambda d: d.temp_c, limit)
    if level is Level.STEADY:
        return None
    cause = "its own heat" if today.heat_rise_c.p50 >= limits.OWN_HEAT_C else "the room"
    return Finding(
        code="too-hot",
        level=level,
        what=f"too hot: about {temperature(today.temp_c.p50, units)} in the bedding, from {cause}",
        why=(
            f"{temperature(today.temp_c.p50, units)} ({degrees(today.heat_rise_c.p50, units)} of it its own "
            f"heat), {_limit(case, limit, level)} ({limit.source})"
        ),
        actions=cool_steps(case, level, today.temp_c.p50),
        sure=sure(
            case,
            _range(case, today.temp_c.p10, today.temp_c.p90),
            "temp_c",
            band=today.temp_c,
            limit=limit,
            level=level,
        ),
        source=limit.source,
        urgency=10.0 + max(0.0, today.temp_c.p50 - limit.watch.enter),
        feed=BRAKE[level],
        short=f"it is {temperature(today.temp_c.p50, units)} in the bin",
    )


def _limit(case: Case, limit: Limit, level: Level) -> str:
    return against(limit, level, lambda celsius: temperature(celsius, case.settings.units))


def _range(case: Case, low_c: float, high_c: float) -> str:
    low, high = temperature(low_c, case.settings.units), temperature(high_c, case.settings.units)
    return low if low == high else f"{low} to {high}"


def too_cold(case: Case) -> Finding | None:
    """The bedding is colder than the animals bear; they eat little and the feed piles up."""
    limit, units, today = limits.too_cold(case.bin.species), case.settings.units, case.today
    level = level_of(case.history, lambda d: d.temp_c, limit)
    if level is Level.STEADY:
        return None
    return Finding(
        code="too-cold",
        level=level,
        what=f"too cold: about {temperature(today.temp_c.p50, units)} in the bedding",
        why=f"{temperature(today.temp_c.p50, units)}, {_limit(case, limit, level)} ({limit.source})",
        actions=warm_steps(case, level, today.temp_c.p50),
        sure=sure(
            case,
            _range(case, today.temp_c.p10, today.temp_c.p90),
            "temp_c",
            band=today.temp_c,
            limit=limit,
            level=level,
        ),
        source=limit.source,
        urgency=9.0 + max(0.0, limit.watch.enter - today.temp_c.p50),
        feed=BRAKE[level],
        short=f"it is {temperature(today.temp_c.p50, units)} in the bin",
    )


def heat_to_come(case: Case) -> Finding | None:
    """What was fed will heat the bin past what the animals bear within a week."""
    limit, units = limits.too_hot(case.bin.species), case.settings.units
    today = case.today
    if (
        today.temp_c.p50 < limit.watch.enter - COOL_BY_C
        and today.feed_waiting_kg.p50 < LITTLE_KG_M2 * case.bin.footprint_m2
    ):
        return None
    if level_of(case.history, lambda d: d.temp_c, limit) is not Level.STEADY or not case.unfed.days:
        return None
    peak = max(case.unfed.days[: limits.HEAT_AHEAD_DAYS], key=lambda day: day.temp_c.p50)
    level = level_of((peak,), lambda d: d.temp_c, limit)
    if level is Level.STEADY or peak.heat_rise_c.p50 < limits.OWN_HEAT_C:
        return None
    return Finding(
        code="heat-to-come",
        level=level,
        what=f"will heat to about {temperature(peak.temp_c.p50, units)} by {day_words(peak.on, case.on)}",
        why=(
            f"{degrees(peak.heat_rise_c.p50, units)} of own heat takes it to "
            f"{temperature(peak.temp_c.p50, units)}, {_limit(case, limit, level)} ({limit.source})"
        ),
        actions=(
            *take_out(case),
            hold(case),
            Action(Doing.WARMTH, "spread the feed thin, and keep the bin in the shade", 0.5),
            Action(Doing.MEASURE, "look in daily with a thermometer", 2.0),
        ),
        sure=sure(
            case, _range(case, peak.temp_c.p10, peak.temp_c.p90), "temp_c", band=peak.temp_c, limit=limit, level=level
        ),
        source=limit.source,
        urgency=9.0 + max(0.0, peak.temp_c.p50 - limit.watch.enter),
    )
