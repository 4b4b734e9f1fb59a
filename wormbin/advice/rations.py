"""How much a bin can be fed today, and when it can be fed again: the sums behind every "no feed until"."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import floor

from wormbin.advice import limits
from wormbin.advice.action import Action, Doing
from wormbin.advice.air import air_share
from wormbin.advice.backlog import work_days
from wormbin.advice.case import Case
from wormbin.advice.evidence import age_days, latest
from wormbin.advice.left import left_now, overruled
from wormbin.advice.levels import level_of
from wormbin.advice.trays import tray_to_feed
from wormbin.advice.wording import day_words, length, mass, percent, temperature
from wormbin.figures import Level
from wormbin.process.shown import shown_kg_day
from wormbin.records.habits import fed_kg, step_up_kg, stocked_on, usual_gap_days, usual_meal_kg
from wormbin.science import ramp

BUFFER_DAYS = 1.0
"""Work that may still be waiting when the next feeding falls due: a bin that is never bare."""
AT_ONCE_DAYS = 7
"""Never more than a week's work at once, however far the next feeding is: more heats and sours (ours)."""
FEED_KG_M3 = 500.0
"""Kitchen scraps as they lie in the bin (from memory)."""
MARGIN = 0.85
"""A ration leaves this share of the work at which the bin would be called overfed (ours)."""
NOTHING_KG_M2 = 0.25
"""A week's ration under this is not worth giving (ours)."""
SURVEY_HOLDS_DAYS = 90
"""A herd may double in two or three months (ours)."""
SPARINGLY = 1e6
"""The strength of a step that says to feed nothing; rations are as strong as they are small."""


@dataclass(frozen=True, slots=True)
class Ration:
    """How much can be fed today (fresh kg, 0 when nothing), to last until ``until``, and why it is no more."""

    kg: float
    until: date
    because: tuple[str, ...]
    capacity_kg: float = 0.0
    """What the bin can take from bare until then, with a day's work to spare."""
    held: str = ""
    """What holds all feed back (heat, cold, wet, want of air, what is left); empty when nothing does."""


def interval_days(case: Case) -> float:
    """Days between feedings: the plan's, or the keeper's habit when that is longer; at most a week."""
    planned = 7.0 / max(1, len(case.settings.feed_days))
    return min(7.0, max(planned, usual_gap_days(case.entries, case.on) or 0.0))


def ramp_share(case: Case, on: date) -> float:
    """Share of the usual ration for a bin as young as it is on ``on``; 1 once it is settled, 0 before worms went in."""
    stocked = stocked_on(case.entries)
    return ramp.ramp_share((on - stocked).days if stocked is not None else None)


def ramp_ends(case: Case) -> date | None:
    """The day on which the present share of a new bin's ration ends; None when it is settled or not stocked."""
    stocked = stocked_on(case.entries)
    left = ramp.ramp_ends_in((case.on - stocked).days if stocked is not None else None)
    return case.on + timedelta(days=left) if left is not None else None


def no_feed_until(case: Case) -> date | None:
    """The first day, without feeding, on which under a third of a usual meal (or a day's work) waits; None beyond."""
    meal = usual_meal_kg(case.entries, case.on) or 0.0
    for day in case.unfed.days:
        if day.on > case.on and day.feed_waiting_kg.p50 <= max(meal / 3, day.appetite_kg_day.p50):
            return day.on
    return None


def hold(case: Case, at_least_days: int = 0) -> Action:
    """ "no feed until about 14 March", from the look-ahead without feedings, and for ``at_least_days`` in any case."""
    until, ahead, tomorrow = no_feed_until(case), len(case.unfed.days), case.on + timedelta(days=1)
    least = case.on + timedelta(days=at_least_days)
    if until is not None:
        until = max(until, least)
        # What is said is the day on which it will be fed; what is held to is the day from which it may be.
        said = next((day for day in case.feed_days if day >= until), until)
        words = "today" if until <= tomorrow else f"until about {day_words(said, case.on)}"
    elif ahead:
        until, words = case.on + timedelta(days=max(ahead, 7)), f"for the next {max(ahead, 7)} days, then look again"
    else:
        until, words = max(least, tomorrow), "until it is gone"
    return Action(Doing.STOP, f"no feed {words}", until.toordinal(), until=max(until, tomorrow))


def ration(case: Case, next_feeding: date | None = None) -> Ration:
    """How much can be fed today, to be worked by ``next_feeding`` with a day's work to spare; with the reasons.

    Worked out as what it may be given a day, times days, less what still waits; no more than twice what the keeper
    usually gives unless the worms were surveyed, as nobody has seen this bin get through more; nothing while over a
    third of the last feeding is left, in heat, in the wet or without air; half when one of them is near. A new bin gets
    its week's ration in as many parts as there are feedings.
    """
    today, units = case.today, case.settings.units
    until = next_feeding or case.lasts_until or case.on + timedelta(days=max(1, round(interval_days(case))))
    span = max(1, (until - case.on).days)
    share = ramp_share(case, case.on)
    if share <= 0:
        return Ration(0.0, until, ("no worms are in yet: feed nothing before they are",))
    if stocked_on(case.entries) == case.on:
        return Ration(0.0, until, ("the worms went in today: let them settle, feed from tomorrow or the day after",))
    daily = kg_day(case, span)
    room = daily * (min(span, AT_ONCE_DAYS) + (BUFFER_DAYS if share >= 1 else 0.0))
    because = [f"about {mass(daily, units)} a day until {day_words(until, case.on)}"]
    if span > AT_ONCE_DAYS:
        because.append("a week's work is the most at once")
    if share < 1:
        because.append(f"a new bin gets {percent(share)} of the usual: {mass(7 * daily, units)} a week")
    kg = room - today.feed_waiting_kg.p50
    if today.feed_waiting_kg.p50 > 0.1 * room:
        because.append(f"{mass(today.feed_waiting_kg.p50, units)} still waits")
    if doubt := overruled(case):
        because.append(doubt)
    tray = tray_to_feed(case)
    lies_m, area = (
        (today.parts[tray - 1].layers.feed_m, case.bin.surface_m2)
        if tray
        else (today.layers.feed_m, case.bin.footprint_m2)
    )
    layer = (limits.LAYER_MAX_M - lies_m) * area * FEED_KG_M3
    if layer < kg:
        kg = layer
        because.append(f"the feed would lie thicker than {length(limits.LAYER_MAX_M, units)}")
    # What was given today is not yet a habit: it is a part of the step.
    given = fed_kg(case.entries, case.on, case.on)
    step = step_up_kg(case.entries, case.on - timedelta(days=1), min(span, AT_ONCE_DAYS))
    if share >= 1 and step is not None and step - given < kg and not _surveyed(case):
        kg = step - given
        less_given = f", less the {mass(given, units)} given today" if given > 0 else ""
        because.append(
            f"twice what it usually gets{less_given}: your worms may take more, so raise it step by step, or count them"
        )
    if share >= 1 and (most := _no_backlog_kg(case)) < kg:
        kg = most
        because.append("more would be too many days of work waiting")
    factor, stops = _brakes(case)
    because.extend(stops)
    left = left_now(case)
    if left is not None and left > limits.HOLD_ABOVE_LEFT:
        factor = 0.0
        because.append(f"{percent(left)} of the last feeding is left, over a third")
    held = because[-1] if factor <= 0 else ""
    return Ration(max(0.0, floor(kg * factor * 100) / 100), until, tuple(because), room, held)


def _no_backlog_kg(case: Case) -> float:
    """Fresh kg that may come on top of what waits without being called overfeeding, with a margin (bisection).

    A smear is never called so: a slow or cold bin that takes longer over anything gets that.
    """
    most = MARGIN * limits.overfed(interval_days(case)).watch.enter
    area, waits = case.bin.footprint_m2, case.today.feed_waiting_kg.p50
    low = max(0.0, 0.99 * limits.TRIFLE_KG_M2 * area - waits)
    high = limits.LAYER_MAX_M * area * FEED_KG_M3
    for _step in range(12):
        middle = 0.5 * (low + high)
        if work_days(case, waits + middle) <= most:
            low = middle
        else:
            high = middle
    return low


def _surveyed(case: Case) -> bool:
    """Whether a worm survey that still holds says how many there are to feed."""
    survey = latest(case, "worms_kg")
    return survey is not None and not survey.questioned and age_days(case, survey) <= SURVEY_HOLDS_DAYS


def kg_day(case: Case, span: int = AT_ONCE_DAYS) -> float:
    """Fresh kg a day that the bin may be given over the next ``span`` days.

    What it keeps up with; in a new bin no more than its share of half the worms' weight a day. A fuller bin works more,
    but a day's ration does not grow by being given: once fed today, no more is counted on than when that is eaten.
    """
    coming = [day.appetite_kg_day.p50 for day in case.unfed.days[:span]] or [case.today.appetite_kg_day.p50]
    works = sum(coming) / len(coming)
    if fed_kg(case.entries, case.on, case.on) > 0:
        works = min([works, *(day.appetite_kg_day.p50 for day in case.unfed.days[: 2 * AT_ONCE_DAYS])])
    most, share = keeps_up_kg_day(case, works), ramp_share(case, case.on)
    return most if share >= 1 else min(most, share * limits.USUAL_KG_KG_DAY * case.today.worms_kg.p50)


def keeps_up_kg_day(case: Case, modelled_kg_day: float) -> float:
    """What the bin keeps up with, fresh kg a day: the model's word, or what it has shown of late when that is more."""
    shown = shown_kg_day(case.history, case.entries, case.on)(case.today)
    return max(modelled_kg_day, shown or 0.0)


def week(case: Case, when: str) -> Action:
    """How much to feed a week ``when`` something holds: "feed no more than 350 g a week while it is this cold"."""
    kg = case.today.appetite_kg_day.p50 * 7
    if kg < NOTHING_KG_M2 * case.bin.footprint_m2:
        return Action(Doing.THEN, f"feed nothing {when}", SPARINGLY)
    return less(f"feed no more than {mass(kg, case.settings.units)} a week {when}", kg / 7)


def less(text: str, kg_day: float) -> Action:
    """A step that says how much is fed from then on; of two the smaller ration counts."""
    return Action(Doing.THEN, text, min(SPARINGLY, 1.0 / kg_day) if kg_day > 0 else SPARINGLY)


def _brakes(case: Case) -> tuple[float, tuple[str, ...]]:
    """What heat, cold, wet and want of air leave of a ration (0, 0.5 or 1), and the words for it."""
    today, units = case.today, case.settings.units
    hot, cold, wet = limits.too_hot(case.bin.species), limits.too_cold(case.bin.species), limits.too_wet(case.settings)
    levels = (
        (level_of(case.history, lambda d: d.temp_c, hot), f"it is {temperature(today.temp_c.p50, units)} in the bin"),
        (level_of(case.history, lambda d: d.temp_c, cold), f"it is {temperature(today.temp_c.p50, units)} in the bin"),
        (level_of(case.history, lambda d: d.moisture, wet), f"it is wet ({percent(today.moisture.p50)})"),
        (level_of(case.history, air_share, limits.AIR), "air is short"),
    )
    factor = min(_FACTOR[level] for level, _words in levels)
    return factor, tuple(words for level, words in levels if level is not Level.STEADY)


_FACTOR = {Level.STEADY: 1.0, Level.WATCH: 0.5, Level.ACT: 0.0}
