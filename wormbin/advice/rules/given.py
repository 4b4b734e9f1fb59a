"""What was given today against what the bin could take: what the form said before it was saved stands afterwards."""

from __future__ import annotations

from dataclasses import replace

from wormbin.advice import limits
from wormbin.advice.action import Action, Doing
from wormbin.advice.bedding import dry
from wormbin.advice.case import Case
from wormbin.advice.evidence import sure, waiting_words
from wormbin.advice.finding import Finding
from wormbin.advice.rations import hold, ration
from wormbin.advice.wording import mass, percent, times
from wormbin.figures import Band, Basis, Level, Quantity
from wormbin.process.views import Day
from wormbin.records.entries import Feeding
from wormbin.records.habits import fed_kg

OVER_FED = "fed-over"
TOO_MUCH = 0.50
"""Over by this share is too much: held back until somebody says to save it anyway, and a watch once it is saved."""
MANY = 3.0
"""Beyond this many times, a share is no longer told to the percent."""
FAR_TOO_MUCH = 1.0
"""Over by this share it is to act on: twice what the bin can take (ours)."""


def over_fed(case: Case) -> Finding | None:
    """More went in today than the bin can take until the next feeding, by as much as the form holds back."""
    given = fed_kg(case.entries, case.on, case.on)
    taste = limits.TRIFLE_KG_M2 * case.bin.footprint_m2
    if given <= taste:
        return None
    can = ration(_before(case, given))
    over, room, units = given - can.kg, max(can.capacity_kg, 1e-9), case.settings.units
    if over <= taste or (can.kg > 0 and over <= TOO_MUCH * room):
        return None
    level = Level.ACT if over > FAR_TOO_MUCH * room else Level.WATCH
    waiting = case.today.feed_waiting_kg.p50
    stop = hold(case, max(1, (can.until - case.on).days))
    return Finding(
        code=OVER_FED,
        level=level,
        bin=case.bin.key,
        what=f"fed about {mass(over, units)} over today's ration",
        why=(
            f"{mass(given, units)} went in today, its ration was {mass(can.kg, units) if can.kg > 0 else 'nothing'}"
            f"{_waits(waiting / room)} ({'; '.join(can.because)})"
        ),
        actions=(
            Action(Doing.TAKE_OUT, f"take out about {mass(over, units)} of what went in and freeze it", over),
            stop,
            dry(case),
        ),
        sure=sure(case, waiting_words(case), "left", "worms_kg"),
        source="the ration that the feeding form shows; the margin is ours",
        urgency=6.0 + min(4.0, over / room),
        numbers=(
            Quantity("given today", given, "kg", Basis.SAID),
            Quantity("ration", can.kg, "kg", Basis.WORKED_OUT),
            Quantity("over it", over, "kg", Basis.WORKED_OUT),
        ),
    )


def _waits(share: float) -> str:
    """How far what waits is over what the bin can take by the next feeding; empty where it is not over it."""
    if share <= 1.0:
        return ""
    much = times(share) if share > MANY else percent(share) + " of"
    return f"; what waits is {much} what it can take by then"


def _before(case: Case, given_kg: float) -> Case:
    """The case as it was before today's feedings, near enough: the same bin without their kilos and their layer."""
    today = case.today
    waits = today.feed_waiting_kg
    was = Band(*(max(0.0, each - given_kg) for each in (waits.p10, waits.p50, waits.p90)))
    thinner = was.p50 / waits.p50 if waits.p50 > 0 else 1.0
    layers = replace(today.layers, feed_m=today.layers.feed_m * thinner)
    day: Day = replace(today, feed_waiting_kg=was, layers=layers)
    lines = tuple(
        entry for entry in case.entries if not (isinstance(entry.what, Feeding) and entry.when.date() == case.on)
    )
    return replace(case, today=day, history=(*case.history[:-1], day), entries=lines)
