"""A log replayed: entries in time order become days with bands, judged readings, and what the log has taught."""

from __future__ import annotations

from collections.abc import Collection, Generator, Iterable, Sequence
from datetime import date, datetime, timedelta
from functools import cached_property

import numpy as np

from wormbin.figures import Band
from wormbin.process import abreast, flows, learning, pools
from wormbin.process.belief import Belief, Fingerprint
from wormbin.process.day import Days, harvest_bands
from wormbin.process.ensemble import Doubts, bands, spread
from wormbin.process.inside import Balance, balance_of
from wormbin.process.look import Look
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.pools import Materials
from wormbin.process.readings import occasions
from wormbin.process.run import SOAKED_SD, Run, moment
from wormbin.process.seeing import see
from wormbin.process.silent import go_on_as_usual, silent_days
from wormbin.process.views import Day, Judged, Learned, touched_at
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Harvest, Stocking, standing
from wormbin.records.farms import Away
from wormbin.records.silences import Silence, silences
from wormbin.science.constants import LEAST_CASTINGS_KG_M2, SURVEY_HOLDS_DAYS

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
