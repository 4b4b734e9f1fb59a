"""What was given today against what the bin could take, and what is given first after a long absence."""

from __future__ import annotations

from datetime import timedelta

from wormbin.advice import limits
from wormbin.advice.bedding import dry
from wormbin.advice.case import Case
from wormbin.advice.clock import kg_in
from wormbin.advice.doses import take_out
from wormbin.advice.evidence import sure, waiting_words, worms_words
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.rations import AT_ONCE_DAYS, Ration, hold, ramp_share
from wormbin.advice.wording import day_words, days, mass, worth
from wormbin.figures import Level
from wormbin.measures.dates import days_words
from wormbin.records.farms import long_absences
from wormbin.records.habits import fed_kg, last_check
from wormbin.science.practice import USUAL_FEED_KG_KG_DAY

OVER_FED = "fed-over"
TOO_MUCH = 0.50
"""Longer than the days until the next feeding by this share is too much: held back until somebody says to save it
anyway, and a watch once it is saved (ours)."""


def over_fed(case: Case, can: Ration) -> Finding | None:
    """More went in today than is worked off until the next feeding, by as much as the form holds back."""
    given, waits = fed_kg(case.entries, case.on, case.on), case.today.feed_waiting_kg.p50
    if (heap := _at_once(case)) is not None:
        return heap
    taste = limits.TRIFLE_KG_M2 * case.bin.footprint_m2
    span = min(float(max(1, (can.until - case.on).days)), AT_ONCE_DAYS)
    work, over = case.today.feed_waiting_days.p50, min(given, waits - kg_in(case, span))
    if given <= taste or over <= taste or work <= (1.0 + TOO_MUCH) * span:
        return None
    units = case.settings.units
    return Finding(
        code=OVER_FED,
        level=Level.WATCH,
        what=f"fed about {mass(over, units)} more than they eat by {day_words(can.until, case.on)}",
        why=(
            f"{mass(given, units)} went in today, so {mass(waits, units)} lies uneaten. "
            f"That is {worth(work)}. {days(span)} is the most."
        ),
        actions=(*take_out(case), hold(case), Action(Doing.FLUFF, "spread it thin and bury it", 0.05), dry(case)),
        sure=sure(case, waiting_words(case), "left", "worms_kg"),
        source="the ration in the feeding form; the margin is ours",
        urgency=6.0 + min(4.0, work / span),
        short=f"{mass(given, units)} went in today",
    )


def _at_once(case: Case) -> Finding | None:
    """More than a week's ration by the book, within two days: it heats and sours before it is eaten."""
    units = case.settings.units
    given = fed_kg(case.entries, case.on - timedelta(days=1), case.on)
    share = ramp_share(case, case.on)
    week = 7 * USUAL_FEED_KG_KG_DAY * case.today.worms_kg.p50 * share
    if given <= week or given <= limits.TRIFLE_KG_M2 * case.bin.footprint_m2:
        return None
    return Finding(
        code=OVER_FED,
        level=Level.WATCH,
        what=f"{mass(given, units)} went in at once: a week's food is {mass(week, units)}",
        why=f"half the worms' weight a day makes {mass(week, units)} a week. More at once heats up and goes sour.",
        actions=(
            *take_out(case),
            hold(case, 2),
            Action(Doing.FLUFF, "spread it thin and bury it", 0.05),
            Action(Doing.MEASURE, "tomorrow feel if it is hot, and look how much is left", 2.0),
        ),
        sure=sure(case, worms_words(case), "worms_kg", "left"),
        source="half to one body weight a day (extension rule; NYC Compost Project 2012)",
        urgency=6.5,
        short=f"{mass(given, units)} went in at once",
    )


BACK_DAYS = 7
"""So long after a long absence the first feeding is a small one (ours)."""
BACK_SHARE = 0.5
"""What the first feeding after it is of the usual: worms that went short get through less (ours)."""


def back(case: Case) -> Finding | None:
    """Half the ration until it is fed again after a long absence, and a look before."""
    spans = [span for span in long_absences(case.settings.away, case.bin.key) if span[0] <= case.on]
    first, last = spans[-1] if spans else (case.on, case.on)
    if not 0 < (case.on - last).days <= BACK_DAYS or fed_kg(case.entries, last + timedelta(days=1), case.on) > 0:
        return None
    look = Action(Doing.MEASURE, "open it, squeeze a handful, look how much food is left, and write it down", 4.0)
    check = last_check(case.entries, case.on)
    seen = check is not None and check.when.date() > last
    return Finding(
        code="back",
        level=Level.STEADY,
        what=f"back again: {'' if seen else 'look first, then '}feed half of the usual",
        why=f"you were away for {days_words((last - first).days + 1)}. Worms that went short eat less at first.",
        actions=() if seen else (look,),
        sure="By the days away in your settings.",
        source="half of the usual after an absence (ours)",
        urgency=3.0,
        feed=BACK_SHARE,
        short="back again: half of the usual",
    )
