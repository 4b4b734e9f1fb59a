"""Rules on how much is fed: too much waiting, too thick, too soon for a new bin, or none at all."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import isfinite

from wormbin.advice import limits
from wormbin.advice.bedding import dry
from wormbin.advice.case import Case
from wormbin.advice.clock import backlog, kg_in, worked_a_day
from wormbin.advice.doses import take_out
from wormbin.advice.evidence import Past, last_read, past, sure, waiting_words, worms_words
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.limits import level_of
from wormbin.advice.looks import left_now, left_read, of_looks
from wormbin.advice.rations import (
    AT_ONCE_DAYS,
    WEEK,
    Ration,
    hold,
    interval_days,
    ramp_ends,
    ramp_share,
    week_by_weight_kg,
)
from wormbin.advice.trays import into
from wormbin.advice.wording import day_words, days, length, mass, mass_band, percent, scooped, top, worth
from wormbin.figures import Band, Level
from wormbin.measures.dates import days_words
from wormbin.process.views import Day
from wormbin.records.farms import long_absences
from wormbin.records.habits import fed_kg, last_check, stocked_on
from wormbin.science.constants import COVER_M
from wormbin.science.practice import USUAL_FEED_KG_KG_DAY

UNTIL_A_THIRD = "do not feed until less than a third is left"
A_TASTE_KG_M2 = 0.1
"""So little harms no bin, and shows whether anybody is there to eat it (ours)."""
LITTLE_DAYS = 3.0
"""Days of work that may wait in a new bin on the sums' word alone: scraps begin to sour in about that time (ours)."""


def days_of(count: float) -> str:
    """A limit in days, to the half day that it is set to."""
    return f"{count:g} {'day' if count == 1 else 'days'}"


def overfed(case: Case) -> Finding | None:
    """More work waits than the bin gets through before the next feeding, by a margin."""
    told = past(case, limits.overfed(interval_days(case)), backlog(case), days_of)
    if told is None or told.band is None:
        return over_the_book(case)
    units, waiting, work = case.settings.units, mass(case.today.feed_waiting_kg.p50, case.settings.units), told.band.p50
    pace = mass(worked_a_day(case.today), units)
    fluff = f"lift and fluff {top(case.today.contents_m.p50, units)}, and bury what is bare"
    return told.finding(
        "overfed",
        f"{waiting} of food is uneaten: {worth(work, about=True)}",
        f"they eat about {pace} a day. {told.ground} What lies longer goes sour.",
        *take_out(case), hold(case), Action(Doing.FLUFF, fluff, 0.10), dry(case),
        said=waiting_words(case), by=("left", "worms_kg"), urgency=min(20.0, work) if isfinite(work) else 20.0,
        short=f"{worth(work)} of food is uneaten",
    )  # fmt: skip


def over_the_book(case: Case) -> Finding | None:
    """More was given in a week than worms of this weight ever take, whatever the sums make of it."""
    limit, units, worms = limits.BODY_WEIGHTS, case.settings.units, case.today.worms_kg
    given = fed_kg(case.entries, case.on - timedelta(days=6), case.on)

    def weights(day: Day) -> Band | None:
        week = fed_kg(case.entries, day.on - timedelta(days=6), day.on)
        return Band.exactly(week / (7 * day.worms_kg.p50)) if day.worms_kg.p50 > 0 else None

    level = level_of(case.history, weights, limit)
    trifle = limits.TRIFLE_KG_M2 * case.bin.footprint_m2
    if level is Level.STEADY or given <= trifle or case.today.feed_waiting_kg.p90 < trifle:
        return None
    return Finding(
        code="overfed",
        level=level,
        what=f"{mass(given, units)} in a week is a lot for about {mass(worms.p50, units)} of worms",
        why="that is more than their own weight each day. Half of it is usual.",
        actions=(
            *take_out(case),
            replace(hold(case), text=UNTIL_A_THIRD),
            Action(Doing.MEASURE, "look how much of it is left", 2.0),
        ),
        sure=sure(case, f"{mass_band(worms, case.settings)} of worms", "worms_kg", "left"),
        source=limit.source,
        urgency=4.0,
        short=f"{mass(given, units)} went in in a week",
    )


def _keeps_up(case: Case) -> bool:
    """Whether what waits is no more than is called overfeeding."""
    work = backlog(case)(case.today)
    return work is None or work.p50 < limits.overfed(interval_days(case)).watch.enter


def _eaten_by_eye(case: Case) -> bool:
    """Whether somebody saw that little is left of the last feeding."""
    read = left_read(case)
    return read is not None and read.share <= limits.HOLD_ABOVE_LEFT


def left_steps(case: Case, level: Level, share: float, age: int = 0) -> tuple[Action, ...]:
    """What is done while too much of the last feeding is left, by eye."""
    stop = hold(case)
    if left_now(case) is not None:
        # It is the eye that ends this hold, whatever day the sums make of it.
        stop = replace(stop, text=UNTIL_A_THIRD)
    return (
        *take_out(case),
        stop,
        Action(Doing.FLUFF, "lift and fluff, and bury what is bare", 0.10),
        Action(Doing.THEN, "then feed half of the last feeding, until they keep up"),
    )


def left_waits(case: Case) -> Finding | None:
    """Over a third of the last feeding is left by eye, no longer than usual: nothing is wrong, and nothing is fed."""
    left, read = left_now(case), left_read(case)
    if left is None or read is None or left <= limits.HOLD_ABOVE_LEFT:
        return None
    said = f"{percent(read.share)} of the last feeding left {day_words(read.on, case.on)}{of_looks(read.count)}"
    return Finding(
        code="left-waits",
        level=Level.STEADY,
        what=f"{said}: wait until a third is left",
        why="feed again when less than a third of the last feeding is left.",
        actions=(Action(Doing.STOP, UNTIL_A_THIRD, until=case.on + timedelta(days=1)),),
        sure=f"You saw it. {last_read(case, 'left')}",
        source=limits.LEFT_SHARE.source,
        urgency=0.8,
        short=f"{said}, over a third",
        seen=True,
    )


def thick_layer(case: Case) -> Finding | None:
    """The feed lies thicker than air and worms get into."""
    units, today = case.settings.units, case.today
    told = past(case, limits.LAYER, lambda d: Band.exactly(d.layers.feed_m), lambda metres: length(metres, units))
    if told is None:
        return None
    thick = length(today.layers.feed_m, units)
    return replace(told, band=None).finding(
        "thick-layer",
        f"the food lies {thick} thick: {length(limits.LAYER_MAX_M, units)} is the most",
        f"{mass(today.feed_waiting_kg.p50, units)} of food lies {thick} thick on this bin. "
        f"Air and worms get into {length(limits.LAYER_MAX_M, units)} at the most.",
        Action(Doing.FLUFF, "spread the food out and mix some in", 0.12), *take_out(case), hold(case), dry(case),
        said=waiting_words(case), by=("left", "contents_m"), urgency=5.0 + 100 * today.layers.feed_m,
        short=f"the food lies {thick} thick already",
    )  # fmt: skip


def new_bin(case: Case) -> Finding | None:
    """A young bin gets a part of the usual ration: a reminder, or a warning when it was given more."""
    ends, share, units = ramp_ends(case, case.on), ramp_share(case, case.on), case.settings.units
    if ends is None or share <= 0:
        return None
    limit = limits.RAMP_OVER
    usual = case.today.worms_kg.times(USUAL_FEED_KG_KG_DAY * 7)
    ration = usual.p50 * share

    def over(day: Day) -> Band | None:
        part = ramp_share(case, day.on)
        week = day.worms_kg.p50 * USUAL_FEED_KG_KG_DAY * 7 * part
        given = fed_kg(case.entries, day.on - timedelta(days=6), day.on)
        trifle = limits.TRIFLE_KG_M2 * case.bin.footprint_m2
        return Band.exactly(given / week) if 0 < part < 1 and week > 0 and given > trifle else None

    level = level_of(case.history, over, limit)
    given = fed_kg(case.entries, case.on - timedelta(days=6), case.on)
    stocked = stocked_on(case.entries) or case.on
    since = max(stocked, case.on - timedelta(days=6))
    earlier = fed_kg(case.entries, stocked, since - timedelta(days=1)) if since > stocked else 0.0
    got = f"Since {day_words(since, case.on)} they got {mass(given, units)}"
    got += f", and {mass(earlier, units)} before that" if earlier > 0 else ""
    little = case.today.feed_waiting_days.p50 <= LITTLE_DAYS
    if level is not Level.STEADY and _keeps_up(case):
        # More than the book allows, but this bin keeps up with it, as far as anybody can tell.
        level = Level.STEADY if little or _eaten_by_eye(case) else Level.WATCH
    stop = hold(case)
    again = max(filter(None, (stop.until, case.on)))
    last = ramp_ends(case, again)
    rest = f"feed at most {WEEK} a week until {day_words(last, case.on)}" if last else ""
    if level is Level.STEADY and given > limit.watch.enter * ration:
        what = f"new bin: {mass(given, units)} in a week is over its {mass(ration, units)}"
        do: tuple[Action, ...] = (Action(Doing.THEN, rest),) if rest else ()
    elif level is Level.STEADY:
        what = f"new bin: feed {percent(share)} of the usual until {day_words(ends, case.on)}"
        do = (Action(Doing.THEN, rest),) if rest else ()
    else:
        what = f"new bin: {mass(given, units)} in a week is too much, {mass(ration, units)} is right"
        do = (stop, *((Action(Doing.THEN, f"then {rest}"),) if rest else ()), dry(case))
    return Finding(
        code="new-bin",
        level=level,
        what=what,
        why=(
            f"the worms went in {day_words(stocked, case.on)}. "
            f"They get {percent(share)} of the usual {mass(usual.p50, units)} a week. {got}."
        ),
        actions=do,
        sure=sure(case, f"{mass_band(usual.times(share), case.settings)} a week", "worms_kg", "left"),
        source=limit.source,
        urgency=3.0,
        short=f"a new bin got {mass(given, units)} in a week",
    )


def hungry(case: Case, can: Ration) -> Finding | None:
    """Next to nothing has been waiting for a week or more."""
    stocked, units, limit = ramp_share(case, case.on) > 0, case.settings.units, limits.HUNGRY
    if not stocked:
        return None
    bare = 0
    for day in reversed(case.history):
        if day.feed_waiting_kg.p50 > limits.BARE_KG_M2 * case.bin.footprint_m2 or ramp_share(case, day.on) <= 0:
            break
        bare += 1
    read = left_read(case)
    if read is not None and read.kg > limits.BARE_KG_M2 * case.bin.footprint_m2:
        # The eye saw feed where the log has none: nobody knows it bare before the day after.
        bare = min(bare, (case.on - read.on).days)
    level = level_of((bare,), lambda count: Band.exactly(float(count)), limit)
    if level is Level.STEADY:
        return None
    told = Past(case, limit, level, None, days_of)
    step = A_TASTE_KG_M2 * case.bin.footprint_m2
    under = f"under {length(COVER_M, units)} of bedding"
    taste = f"feed a taste{into(case)} {under}, about {scooped(step, units)}. In three days look if it is gone"
    action = Action(Doing.FEED, taste, step)
    if can.held:
        action = Action(Doing.THEN, f"first put right what stops the food ({can.held}). Then feed a little")
    elif case.ahead.harvest.due_since is not None:
        action = Action(Doing.THEN, f"take the castings off, then feed a quarter of the usual {under}")
    elif can.kg >= step:
        action = Action(Doing.FEED, f"feed up to {mass(can.kg, units)}{into(case)} now, {under}", can.kg)
    then = ": feed today" if action.kind is Doing.FEED else ", but do not feed yet" if can.held else ""
    return told.finding(
        "hungry",
        f"almost no food for {days(bare)}{then}",
        f"less than {mass(limits.BARE_KG_M2 * case.bin.footprint_m2, units)} of food has been there. "
        f"After {days_of(limits.HUNGRY.edge(Level.ACT))} they start to shrink.",
        action,
        said=waiting_words(case), by=("left",), urgency=2.0 + bare / 10,
    )  # fmt: skip


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
    week = week_by_weight_kg(case)
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
