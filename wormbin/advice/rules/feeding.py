"""Rules on how much is fed: too much waiting, too thick, too soon for a new bin, or none at all."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import isfinite

from wormbin.advice import limits
from wormbin.advice.action import Action, Doing
from wormbin.advice.backlog import backlog, worked_a_day
from wormbin.advice.bedding import dry
from wormbin.advice.case import Case
from wormbin.advice.evidence import against, latest, sure, waiting_words
from wormbin.advice.finding import Finding
from wormbin.advice.left import left_read, overruled
from wormbin.advice.levels import level_of
from wormbin.advice.rations import hold, interval_days, kg_day, less, no_feed_until, ramp_ends, ramp_share, ration
from wormbin.advice.trays import into
from wormbin.advice.wording import day_words, days, length, mass, mass_band, percent, percent_band, surface, top
from wormbin.figures import Band, Basis, Level, Quantity
from wormbin.measures.daywords import on_day
from wormbin.process.views import Day
from wormbin.records.entries import Check, Entry, Feeding
from wormbin.records.habits import fed_kg, last_feeding, stocked_on

TOO_LONG_DAYS = 14.0
A_TASTE_KG_M2 = 0.1
"""So little harms no bin, and shows whether anybody is there to eat it (ours)."""
LITTLE_DAYS = 3.0
"""Days of work that may wait in a new bin on the sums' word alone: scraps begin to sour in about that time (ours)."""
LEAST_OUT_KG = 0.02
"""Less than this is not worth taking out again (ours)."""
ENOUGH_DAYS = 5.0
"""Feed that is taken out of an overfed bin leaves this many days of work behind."""


def days_of(count: float) -> str:
    """A limit in days, to the half day that it is set to."""
    return f"{count:g} {'day' if count == 1 else 'days'}"


def _lift_out(case: Case, work: float) -> tuple[Action, ...]:
    """The step that takes feed out again, when more waits than the bin gets through in two weeks."""
    if work < TOO_LONG_DAYS:
        return ()
    out = case.today.feed_waiting_kg.p50 * (1.0 - ENOUGH_DAYS / work)
    return (
        Action(
            Doing.TAKE_OUT, f"take out about {mass(out, case.settings.units)} of the newest feed and freeze it", out
        ),
    )


def overfed(case: Case) -> Finding | None:
    """More work waits than the bin gets through before the next feeding, by a margin."""
    limit = limits.overfed(interval_days(case))
    days_waiting = backlog(case)
    level, work = level_of(case.history, days_waiting, limit), days_waiting(case.today)
    if level is Level.STEADY or work is None:
        return None
    settings, waiting = case.settings, case.today.feed_waiting_kg
    pace = worked_a_day(waiting.p50, work.p50)
    return Finding(
        code="overfed",
        level=level,
        bin=case.bin.key,
        what=f"about {mass(waiting.p50, settings.units)} still waiting, {days(work.p50)}' work for these worms",
        why=(
            f"{mass(waiting.p50, settings.units)} of feed waits and the bin works about "
            f"{mass(pace, settings.units)} a day: {days(work.p50)} until a quarter is left, "
            f"{against(limit, level, days_of)} ({limit.source})"
        ),
        actions=(
            *_lift_out(case, work.p50),
            hold(case, 2),
            Action(
                Doing.FLUFF,
                f"lift and fluff {top(case.today.contents_m.p50, settings.units)}, and bury what is bare",
                0.10,
            ),
            dry(case),
        ),
        sure=sure(case, waiting_words(case), "left", "worms_kg", band=work, limit=limit, level=level),
        source=limit.source,
        urgency=min(20.0, work.p50) if isfinite(work.p50) else 20.0,
        numbers=(
            Quantity("feed waiting", waiting.p50, "kg", Basis.WORKED_OUT),
            Quantity("work waiting", work.p50, "days", Basis.WORKED_OUT),
            Quantity("pace", pace, "kg/day", Basis.WORKED_OUT),
            Quantity("limit", limit.edge(level), "days", Basis.BOOK),
        ),
    )


def _keeps_up(case: Case) -> bool:
    """Whether what waits is no more than is called overfeeding."""
    work = backlog(case)(case.today)
    return work is None or work.p50 < limits.overfed(interval_days(case)).watch.enter


def _little_waits(case: Case) -> bool:
    """Whether what waits is worked off before it can sour, by the sums alone."""
    return case.today.feed_waiting_days.p50 <= LITTLE_DAYS


def _looked_since_fed(case: Case) -> bool:
    """Whether somebody told what is left of the last feeding."""
    fed, look = last_feeding(case.entries, case.on), latest(case, "left")
    return look is not None and (fed is None or look.when >= fed.when)


def left_over(case: Case) -> Finding | None:
    """A feeding falls due while the eye sees that much of the last one is left."""
    fed = last_feeding(case.entries, case.on)
    if fed is None:
        return None
    due = fed.when.date() + timedelta(days=max(1, int(interval_days(case) * 0.75)))

    def seen(entry: Entry) -> Band | None:
        check = entry.what
        if not isinstance(check, Check) or check.left is None:
            return None
        wide = limits.EYE_SPREAD * 1.28
        return Band(max(0.0, check.left - wide), check.left, min(1.0, check.left + wide))

    looks = [e for e in case.entries if e.when > fed.when and e.when.date() >= due and seen(e) is not None]
    if not looks or (case.on - looks[-1].when.date()).days > 2:
        return None
    level = level_of(looks, seen, limits.LEFT_SHARE)
    # One look by eye is off by 15 points or more: only with much waiting by the whole log is it more than a hint.
    if level is not Level.STEADY and _keeps_up(case):
        level = Level.STEADY
    elif level is Level.STEADY:
        return None
    read = looks[-1].what
    if not isinstance(read, Check) or read.left is None:
        return None
    age = (looks[-1].when.date() - fed.when.date()).days
    until = no_feed_until(case)
    stop = hold(case)
    if until is None:
        stop = replace(stop, text="no feed until under a third is left")
    half, by_eye = 0.5 * _kg(fed), Band(max(0.0, read.left - 0.19), read.left, min(1.0, read.left + 0.19))
    return Finding(
        code="left-over",
        level=level,
        bin=case.bin.key,
        what=f"{percent(read.left)} of the last feeding is left after {days(age)}",
        why=(
            f"{percent(read.left)} of the {mass(_kg(fed), case.settings.units)} fed "
            f"{on_day(fed.when.date(), case.on)} was left, "
            f"over the limit of {percent(limits.HOLD_ABOVE_LEFT)} ({limits.LEFT_SHARE.source})"
        ),
        actions=(
            stop,
            less(
                f"then give {mass(half, case.settings.units)}, half of the last, until the bin keeps up",
                half / interval_days(case),
            ),
        ),
        sure=sure(case, f"{percent_band(by_eye)} by eye", "left"),
        source=limits.LEFT_SHARE.source,
        urgency=6.0 + read.left,
        numbers=(Quantity("share left", read.left, "fraction", Basis.READ),),
    )


def _kg(fed: Entry) -> float:
    return sum(portion.kg for portion in fed.what.portions) if isinstance(fed.what, Feeding) else 0.0


def thick_layer(case: Case) -> Finding | None:
    """The feed lies thicker than air and worms get into."""
    limit, units = limits.LAYER, case.settings.units
    level = level_of(case.history, lambda d: Band.exactly(d.layers.feed_m), limit)
    if level is Level.STEADY:
        return None
    thick, area = case.today.layers.feed_m, case.bin.footprint_m2
    over = max(0.0, 1.0 - limits.LAYER_MAX_M / thick) * case.today.feed_waiting_kg.p50 if thick > 0 else 0.0
    out = f", or take out about {mass(over, units)} and freeze it" if over >= LEAST_OUT_KG else ""
    return Finding(
        code="thick-layer",
        level=level,
        bin=case.bin.key,
        what=f"feed lies about {length(thick, units)} thick; {length(limits.LAYER_MAX_M, units)} is the most",
        why=(
            f"{mass(case.today.feed_waiting_kg.p50, units)} on {surface(area, units)} makes a layer of "
            f"{length(thick, units)}, "
            f"{against(limit, level, lambda metres: length(metres, units))} ({limit.source})"
        ),
        actions=(
            Action(
                Doing.TAKE_OUT,
                f"spread it out and mix some in{out}",
                over,
            ),
            hold(case),
            dry(case),
        ),
        sure=sure(case, waiting_words(case), "left", "contents_m"),
        source=limit.source,
        urgency=5.0 + 100 * thick,
        numbers=(Quantity("feed layer", thick, "m", Basis.WORKED_OUT),),
    )


def new_bin(case: Case) -> Finding | None:
    """A young bin gets a part of the usual ration: a reminder, or a warning when it was given more."""
    ends, share, units = ramp_ends(case), ramp_share(case, case.on), case.settings.units
    if ends is None or share <= 0:
        return None
    limit = limits.RAMP_OVER

    def over(day: Day) -> Band | None:
        part = ramp_share(case, day.on)
        week = day.worms_kg.p50 * limits.USUAL_KG_KG_DAY * 7 * part
        given = fed_kg(case.entries, day.on - timedelta(days=6), day.on)
        trifle = limits.TRIFLE_KG_M2 * case.bin.footprint_m2
        return Band.exactly(given / week) if 0 < part < 1 and week > 0 and given > trifle else None

    level = level_of(case.history, over, limit)
    if _keeps_up(case) and level is not Level.STEADY:
        # More than the book allows, but this bin keeps up with it: once someone looked, or little waits by the sums.
        level = Level.STEADY if _looked_since_fed(case) or _little_waits(case) else Level.WATCH
    usual = case.today.worms_kg.times(limits.USUAL_KG_KG_DAY * 7)
    week = 7 * kg_day(case)
    given = fed_kg(case.entries, case.on - timedelta(days=6), case.on)
    if level is Level.STEADY and given > limit.watch.enter * week:
        what = f"new bin: {mass(given, units)} in a week is over its ration of {mass(week, units)}, but it keeps up"
        do: tuple[Action, ...] = (
            less(f"go back to {mass(week, units)} a week until {day_words(ends, case.on)}", week / 7),
        )
    elif level is Level.STEADY:
        what = f"new bin: {percent(share)} rations until {day_words(ends, case.on)}"
        do = (less(f"feed at most {mass(week, units)} a week until {day_words(ends, case.on)}", week / 7),)
    else:
        what = f"new bin was given {mass(given, units)} in a week; {mass(week, units)} is its ration"
        do = (
            hold(case),
            less(f"then at most {mass(week, units)} a week until {day_words(ends, case.on)}", week / 7),
            dry(case),
        )
    return Finding(
        code="new-bin",
        level=level,
        bin=case.bin.key,
        what=what,
        why=(
            f"worms went in {day_words(stocked_on(case.entries) or case.on, case.on)}: {percent(share)} of the "
            f"usual {mass(usual.p50, units)} a week (half their weight a day), "
            f"{mass(given, units)} was given ({limit.source})"
        ),
        actions=do,
        sure=sure(case, f"{mass_band(usual.times(share), case.settings)} a week", "worms_kg", "left"),
        source=limit.source,
        urgency=3.0,
        numbers=(Quantity("fed in a week", given, "kg", Basis.SAID), Quantity("ration", week, "kg", Basis.WORKED_OUT)),
    )


def hungry(case: Case) -> Finding | None:
    """Next to nothing has been waiting for a week or more."""
    stocked, units, limit = ramp_share(case, case.on) > 0, case.settings.units, limits.HUNGRY
    if not stocked:
        return None
    bare = 0
    for day in reversed(case.history):
        if day.feed_waiting_kg.p50 > limits.BARE_KG_M2 * case.bin.footprint_m2 or ramp_share(case, day.on) <= 0:
            break
        bare += 1
    read, doubt = left_read(case), ""
    if read is not None and read.kg > limits.BARE_KG_M2 * case.bin.footprint_m2:
        # The eye saw feed where the log has none: nobody knows it bare before the day after.
        bare, doubt = min(bare, (case.on - read.on).days), overruled(case)
    level = level_of((bare,), lambda count: Band.exactly(float(count)), limit)
    if level is Level.STEADY:
        return None
    meal, step = ration(case), A_TASTE_KG_M2 * case.bin.footprint_m2
    under = f"under {length(limits.BURIED_M, units)} of bedding"
    amount, kind = f"feed a taste{into(case)} {under}, about {mass(step, units)}", Doing.FEED
    amount += ", and look in three days whether it is gone"
    if case.ahead.harvest.due_since is not None:
        amount, kind = f"once the castings are off, feed a quarter of the usual {under}", Doing.THEN
    elif meal.kg >= step:
        amount = f"feed up to {mass(meal.kg, units)}{into(case)} now, {under}"
    elif meal.held:
        amount = f"feed nothing yet: {meal.held}"
    now = kind is Doing.FEED and (meal.kg >= step or not meal.held)
    return Finding(
        code="hungry",
        level=level,
        bin=case.bin.key,
        what=f"next to no feed waiting for {days(bare)}" + (": feed now" if now else ""),
        why=(
            f"under {mass(limits.BARE_KG_M2 * case.bin.footprint_m2, units)} has waited for {days(bare)}, "
            f"{against(limit, level, days_of)} ({limit.source}){f'; {doubt}' if doubt else ''}"
        ),
        actions=(Action(kind, amount, meal.kg),),
        sure=sure(case, waiting_words(case), "left"),
        source=limit.source,
        urgency=2.0 + bare / 10,
        numbers=(Quantity("days without feed", float(bare), "days", Basis.WORKED_OUT),),
    )
