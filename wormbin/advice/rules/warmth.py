"""Rules on warmth: too hot, too cold, and heat to come from what was fed."""

from __future__ import annotations

from dataclasses import replace

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.doses import take_out
from wormbin.advice.evidence import Past, past
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.limits import Limit, level_of
from wormbin.advice.rations import hold, week
from wormbin.advice.rules.moisture import BRAKE
from wormbin.advice.wording import day_words, degrees, temperature
from wormbin.figures import Band, Level

COOL = "move it into shade, open the lid, spread the food thin, lay a frozen bottle in a cloth on top"
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
        else Action(Doing.THEN, "feed half as much until it is cooler"),
    )


def warm_steps(case: Case, level: Level, temp_c: float, age: int = 0) -> tuple[Action, ...]:
    """What is done about a bin that is too cold."""
    return (
        Action(Doing.WARMTH, "bring it in, or wrap it: blanket, straw or foam all round, the lid left loose", 1.0),
        hold(case, limits.HOLD_DAYS - age) if level is Level.ACT else week("while it is this cold"),
    )


def too_hot(case: Case) -> Finding | None:
    """The bedding is hotter than the animals bear."""
    told = _past_warmth(case, limits.too_hot(case.bin.species))
    if told is None:
        return None
    today, warm = case.today, _told(case, case.today.temp_c.p50)
    cause = "the food heats it" if today.heat_rise_c.p50 >= limits.OWN_HEAT_C else "the room is warm"
    own = degrees(today.heat_rise_c.p50, case.settings.units)
    return told.finding(
        "too-hot",
        f"too hot: about {warm} in the bedding, as {cause}",
        f"it is about {warm} inside, {own} of it from the food. {told.ground}",
        *cool_steps(case, told.level, today.temp_c.p50),
        said=_range(case, today.temp_c), by=("temp_c",),
        urgency=10.0 + max(0.0, today.temp_c.p50 - told.limit.watch.enter), feed=BRAKE[told.level],
        short=f"it is {warm} in the bin",
    )  # fmt: skip


def _told(case: Case, celsius: float) -> str:
    return temperature(celsius, case.settings.units)


def _past_warmth(case: Case, limit: Limit) -> Past | None:
    return past(case, limit, lambda d: d.temp_c, lambda celsius: _told(case, celsius))


def _range(case: Case, warm: Band) -> str:
    low, high = _told(case, warm.p10), _told(case, warm.p90)
    return low if low == high else f"{low} to {high}"


def too_cold(case: Case) -> Finding | None:
    """The bedding is colder than the animals bear; they eat little and the feed piles up."""
    told = _past_warmth(case, limits.too_cold(case.bin.species))
    if told is None:
        return None
    band, warm = case.today.temp_c, _told(case, case.today.temp_c.p50)
    return told.finding(
        "too-cold",
        f"too cold: about {warm} in the bedding",
        f"it is about {warm} inside. {told.ground} In the cold they eat little, and the food piles up.",
        *warm_steps(case, told.level, band.p50),
        said=_range(case, band), by=("temp_c",), urgency=9.0 + max(0.0, told.limit.watch.enter - band.p50),
        feed=BRAKE[told.level], short=f"it is {warm} in the bin",
    )  # fmt: skip


def heat_to_come(case: Case) -> Finding | None:
    """What was fed will heat the bin past what the animals bear within a week."""
    limit, today = limits.too_hot(case.bin.species), case.today
    if (
        today.temp_c.p50 < limit.watch.enter - COOL_BY_C
        and today.feed_waiting_kg.p50 < LITTLE_KG_M2 * case.bin.footprint_m2
    ):
        return None
    if level_of(case.history, lambda d: d.temp_c, limit) is not Level.STEADY or not case.unfed.days:
        return None
    peak = max(case.unfed.days[: limits.HEAT_AHEAD_DAYS], key=lambda day: day.temp_c.p50)
    told = _past_warmth(replace(case, today=peak, history=(peak,)), limit)
    if told is None or peak.heat_rise_c.p50 < limits.OWN_HEAT_C:
        return None
    warm = _told(case, peak.temp_c.p50)
    return replace(told, case=case).finding(
        "heat-to-come",
        f"the food will heat it to about {warm} by {day_words(peak.on, case.on)}",
        f"the food makes {degrees(peak.heat_rise_c.p50, case.settings.units)} of that heat. {told.ground}",
        *take_out(case),
        hold(case),
        Action(Doing.WARMTH, "spread the food thin, and keep the bin in the shade", 0.5),
        Action(Doing.MEASURE, "read a thermometer in it every day", 2.0),
        said=_range(case, peak.temp_c), by=("temp_c",),
        urgency=9.0 + max(0.0, peak.temp_c.p50 - limit.watch.enter),
    )  # fmt: skip
