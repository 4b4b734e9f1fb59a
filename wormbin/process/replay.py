"""A log replayed: entries in time order become days with bands, judged readings, and what the log has taught."""

from __future__ import annotations

from collections.abc import Collection, Generator, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property

import numpy as np

from wormbin.figures import Band
from wormbin.process import abreast, ensemble, flows, learning, pools
from wormbin.process.belief import Belief, Fingerprint
from wormbin.process.day import Days, harvest_bands
from wormbin.process.ensemble import COURSES, HABIT, IDLING, Doubts, Drift, bands, spread
from wormbin.process.inside import Balance, balance_of
from wormbin.process.look import Look, Seen
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.pools import Materials
from wormbin.process.readings import occasions
from wormbin.process.run import SOAKED_SD, Run, moment
from wormbin.process.seeing import see
from wormbin.process.views import Day, Judged, Learned, touched_at
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Harvest, Stocking, standing
from wormbin.records.farms import Away
from wormbin.records.habits import (
    Silence,
    bedding_per_feed,
    last_feeding,
    last_looked,
    silences,
    usual_gap_days,
    usual_meal_kg,
    water_kg_day,
)
from wormbin.science.constants import LEAST_CASTINGS_KG_M2, SURVEY_HOLDS_DAYS
from wormbin.science.practice import feed_kg_day

SILENT_AMOUNTS_SD = 0.7
"""How far what was given may lie off the usual, natural log (ours)."""
IDLE = (IDLING < 0.0) & (HABIT < 0.0)
"""Companions, one of four, that hold that nothing was done at all."""
SPARE_DAYS = 3.0
"""Days of work that a keeper who looks lets wait beyond the next feeding (ours)."""
WATERED_UNDER = 0.80
"""Moisture over which nobody who looks gives water (ours: the middle of what is good for worms)."""
WANDERS = Drift(rate=0.0, drying=0.0, worms=0.03, damp=0.05, feed=0.5, castings=0.02, feed_cap=1.4)
"""What a bin may wander beyond what it does under a keeper who writes (ours, held to made-up bins)."""


NO_HABIT_DAYS = 21
"""Days without a line after which a bin without a habit is taken to be looked after by the book (ours)."""


@dataclass(frozen=True, slots=True)
class Usual:
    """What a keeper usually gives: kg of feed and bedding every so many days from ``since`` on, kg of water a day.

    Where it is ``by_the_book`` the bin is kept damp instead.
    """

    since: date
    every_days: int
    feed_kg: float
    bedding_kg: float = 0.0
    water_kg_day: float = 0.0
    by_the_book: bool = False


def silent_days(silences: Sequence[Silence], lines: Sequence[Entry]) -> dict[date, Usual]:
    """Each silent day with what is usual by the lines before its silence."""
    return {day: usual for each in silences for usual in [_usual(lines, each.first)] for day in each.days}


def _usual(lines: Sequence[Entry], first: date) -> Usual:
    """As of the last look before ``first``, so that it is the same however the days since are marked."""
    seen = last_looked(lines, first) or first
    gap, meal, last = usual_gap_days(lines, seen), usual_meal_kg(lines, seen), last_feeding(lines, seen)
    if not gap or not meal or last is None:
        worms = sum(e.what.worms_kg for e in lines if isinstance(e.what, Stocking) and e.when.date() < first)
        return Usual(first + timedelta(days=NO_HABIT_DAYS), 7, 7.0 * feed_kg_day(worms), by_the_book=True)
    days = max(1, round(gap))
    meal *= days / gap
    bedding = meal * bedding_per_feed(lines, seen)
    return Usual(last.when.date() + timedelta(days=days), days, meal, bedding, water_kg_day(lines, seen))


def go_on_as_usual(run: Run, day: date, usual: Usual) -> None:
    """Do what is usual on a day, no more than the bin can take, and widen what silence makes unsure.

    The likely course gets a day's share. On which days feed was given nobody knows, nor how much: each companion gets
    whole meals on days of its own, as much larger or smaller as amounts are unsure.
    """
    if day >= usual.since or not usual.by_the_book:
        before, c = pools.mass(run.likely, run.p), run.c[:, run.active]
        times = np.where(IDLE, 0.0, np.exp(SILENT_AMOUNTS_SD * HABIT))
        c[pools.WATER] += times * usual.water_kg_day * (pools.moisture(c) < WATERED_UNDER)
        if day >= usual.since and usual.feed_kg > 0.0:
            own_day = (day.toordinal() + np.arange(COURSES)) % usual.every_days == 0
            own_day = np.where(np.arange(COURSES) > 0, own_day, 1.0 / usual.every_days)
            eats, waits = Seen([run.look(day)]).appetites()[0], pools.waiting_fresh(run.c).sum(axis=0)
            room = np.maximum(0.0, eats * (usual.every_days + SPARE_DAYS) - waits)
            share = np.minimum(times * own_day, room / usual.feed_kg)
            c += (usual.feed_kg * run.usual + usual.bedding_kg * run.usual_bedding)[:, None] * share
            # What is left of the last feeding: nobody knows any more of which.
            run.last_feed = None
        run.done(before)
        if usual.by_the_book:
            run.keep_damp(sd=SOAKED_SD, who=~IDLE)
    ensemble.drift(run.c, run.own, 1.0, WANDERS)
    run.changed()


NEARLY_FULL = 0.95
UNSOAKED_UNDER = 0.5
"""Bedding drier than this was not soaked, or it was not written down that it was (ours)."""


class Replay:
    """What a replay has come to at ``until``. ``days`` start where it was resumed, else on the bin's first day."""

    def __init__(
        self,
        run: Run,
        looks: Sequence[Look],
        until: datetime,
        beliefs: Sequence[Belief],
        silences: tuple[Silence, ...] = (),
        began: date | None = None,
    ) -> None:
        self.run = run
        self.bin: Bin = run.bin
        self.until = until
        self.looks = tuple(looks)
        self.beliefs = tuple(beliefs)
        """Snapshots: the first of each month, and last the morning of the last day; any of them can be resumed from."""
        self.silences = silences
        """Stretches of which nobody knows what was done, from the stocking to yesterday."""
        self.began = began or looks[0].on
        """The day from which it was replayed."""

    @cached_property
    def days(self) -> Days:
        """One ``Day`` a day, made when it is looked at; the last is today."""
        return Days(self.looks)

    @cached_property
    def today(self) -> Day:
        """The bin at the moment asked about."""
        return self.days[-1]

    @property
    def judged(self) -> tuple[Judged, ...]:
        """Each reading held against what was believed just before it."""
        return tuple(self.run.judged)

    @property
    def learned(self) -> Learned:
        """This bin's factors against the book."""
        run = self.run
        rate, drying = (Band(*np.exp([b.p10, b.p50, b.p90]).tolist()) for b in bands(run.own[_TOLD]))
        worms = float(spread(np.log(run.c[pools.WORMS].sum(axis=0) + 1e-9)))
        return Learned(
            rate=rate,
            drying=drying,
            worms_apart=run.t - run.last_survey <= SURVEY_HOLDS_DAYS or (run.used > 0 and worms < 0.2),
            readings_used=run.used,
            held=learning.held(run.scores),
        )

    @property
    def balance(self) -> Balance:
        """What went in, came out and is there, on the likely course."""
        return balance_of(self.run)

    @property
    def due_since(self) -> date | None:
        """The first day on which the castings had likely reached the chosen share, since the last harvest."""
        return self.run.crossed[1]


_TOLD = [flows.RATE, flows.DRYING]


def replay(
    bin_: Bin,
    entries: Iterable[Entry],
    table: Materials,
    until: datetime,
    *,
    away: Sequence[Away] = (),
    resume: Belief | Sequence[Belief] | None = None,
    parameters: Parameters = DEFAULT,
    doubts: Doubts | None = None,
) -> Replay:
    """Replay the standing entries of a bin up to ``until`` (its own wall clock).

    ``resume`` is one belief or several of an earlier replay; the latest that still fits the log is gone
    on from, and when none does (a line before it was struck, amended or added) the log is replayed from its first day.
    Days of which nobody knows, less those ``away``, are taken to have gone on about as usual.
    """
    steps = replaying(bin_, entries, table, until, away=away, resume=resume, parameters=parameters, doubts=doubts)
    return abreast.gone([steps])[0]


def replaying(
    bin_: Bin,
    entries: Iterable[Entry],
    table: Materials,
    until: datetime,
    *,
    away: Sequence[Away] = (),
    resume: Belief | Sequence[Belief] | None = None,
    parameters: Parameters = DEFAULT,
    doubts: Doubts | None = None,
    since: date = date.min,
) -> Generator[Run, None, Replay]:
    """The same a step at a time, to be gone by ``abreast``; looks are kept from ``since`` on."""
    lines = standing([entry for entry in entries if moment(entry.when) <= moment(until)])
    silent = silences(bin_.key, lines, away, min(until.date(), bin_.ended or until.date()))
    usual = silent_days(silent, lines)
    run, first = _start(bin_, lines, table, until, usual, resume, parameters, doubts or Doubts())
    looks: list[Look] = []
    beliefs: list[Belief] = []
    by_date: dict[date, list[Entry]] = {}
    for entry in lines:
        by_date.setdefault(entry.when.date(), []).append(entry)
    day, last = first, until.date()
    seen = Fingerprint(entry for entry in lines if entry.when.date() < first)
    noted = 0
    while day <= last:
        today = by_date.get(day, [])
        keeps = day == last or (day.day == 1 and day > first)
        if keeps or any(isinstance(entry.what, Harvest) for entry in today):
            note_crossings(run, looks[noted:])
            noted = len(looks)
        if keeps:
            beliefs.append(Belief.of(run, day, seen, usual))
        end = min(float(day.toordinal() + 1), max(moment(until), run.t)) if day == last else float(day.toordinal() + 1)
        if day in usual:
            go_on_as_usual(run, day, usual[day])
        yield from through_day(run, today, end)
        seen.add(today)
        if day == last:
            run.widen()
        looks.append(run.look(day))
        day += timedelta(days=1)
    note_crossings(run, looks[noted:])
    return Replay(run, [look for look in looks if look.on >= since], until, beliefs, silent, first)


def _start(
    bin_: Bin,
    lines: Sequence[Entry],
    table: Materials,
    until: datetime,
    silent: Collection[date],
    resume: Belief | Sequence[Belief] | None,
    parameters: Parameters,
    doubts: Doubts,
) -> tuple[Run, date]:
    beliefs = [resume] if isinstance(resume, Belief) else list(resume or ())
    for belief in sorted(beliefs, key=lambda each: each.on, reverse=True):
        if belief.on <= until.date() and belief.fits(bin_, lines, silent, parameters):
            return belief.run(bin_, table, parameters, doubts), belief.on
    first = first_day(bin_, lines, until)
    return Run.begin(bin_, table, first, parameters, doubts), first


def first_day(bin_: Bin, lines: Sequence[Entry], until: datetime) -> date:
    """The day on which a replay of these lines, in time order, begins where nothing is gone on from."""
    return min([bin_.started, until.date(), *(entry.when.date() for entry in lines[:1])])


def through_day(run: Run, entries: Sequence[Entry], end: float) -> Generator[Run, None, None]:
    """Carry a run through one day (to ``end``, in days) with that day's entries."""
    start = run.t
    seen = occasions(entries)
    for seeing, group in seen:
        yield from run.forward(max(run.t, min(moment(group[-1].when), end)))
        if seeing:
            see(run, group)
        else:
            for entry in group:
                if isinstance(entry.what, Harvest):
                    see(run, [entry])
                run.act(entry)
    if any(isinstance(entry.what, Stocking) for entry in entries) and not any(seeing for seeing, _ in seen):
        # Nobody puts worms into dry bedding: where no water was written down, it was soaked all the same.
        run.keep_damp(UNSOAKED_UNDER, SOAKED_SD)
    yield from run.forward(end)
    run.age(run.t - start)


def note_crossings(run: Run, looks: Sequence[Look]) -> None:
    """Note the first day on which the castings' share (or the room) was reached by each edge of the band.

    ``looks`` are days on end between which nothing was harvested.
    """
    wanted, least = touched_at(run.bin.harvest_share), LEAST_CASTINGS_KG_M2 * run.bin.footprint_m2
    for look, bands_ in zip(looks, harvest_bands(looks) if looks else (), strict=True):
        share = bands_[0].p50
        if run.rested is not None and (look.on - run.rested).days < 21 and share >= wanted:
            continue
        enough = pools.castings(look.likely).sum() >= least
        for i, reached in enumerate(reached_by(bands_, wanted)):
            if reached and enough and run.crossed[i] is None:
                run.crossed[i] = look.on
                if i == 1:
                    run.because = "share" if share >= wanted else "full"
            elif not reached and i == 1 and run.crossed[1] is not None and share < wanted - 0.05:
                run.crossed = [None, None, None]


def reached_by(bands: tuple[Band, Band], share: float) -> tuple[bool, bool, bool]:
    """Whether the early, the likely and the late edge have the castings' share reached, or the bin full."""
    castings, full = bands
    return (
        castings.p90 >= share or full.p90 >= NEARLY_FULL,
        castings.p50 >= share or full.p50 >= NEARLY_FULL,
        castings.p10 >= share or full.p10 >= NEARLY_FULL,
    )
