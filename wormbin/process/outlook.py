"""A bin looked ahead at: what is planned played out on all courses, and the harvest window that comes of it."""

from __future__ import annotations

import copy
from collections.abc import Generator, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from wormbin.process import abreast
from wormbin.process.day import Days
from wormbin.process.look import Look
from wormbin.process.replay import Replay, note_crossings, through_day
from wormbin.process.run import Run, moment
from wormbin.process.views import Ahead, Planned, Window
from wormbin.records.entries import Entry, in_time_order

NO_SPELL: Mapping[date, float] = {}
FEEDING_HOUR = 18.0
"""When a planned thing is taken to be done, unless that is already past today."""


LOOKED_AFTER_DAYS = 21
"""Whoever feeds a bin does not let it dry out: so many days ahead it is taken that water was given by then (ours)."""


def branch(run: Run) -> Run:
    """The same run, free to go another way."""
    other = copy.copy(run)
    other.c, other.own, other.k = run.c.copy(), run.own.copy(), run.k.copy()
    other.warmth = run.warmth.copy()
    other.crossed = list(run.crossed)
    other.biases = {key: copy.copy(bias) for key, bias in run.biases.items()}
    other.ledger = copy.deepcopy(run.ledger)
    other.surprises, other.scores = dict(run.surprises), dict(run.scores)
    other.judged = []
    return other


def look_ahead(replay: Replay, plan: Sequence[Planned], days: int, *, spell: Mapping[date, float] = NO_SPELL) -> Ahead:
    """``days`` days from tomorrow on, with what is planned done on its day, and the harvest window.

    Today's rest is gone through first, with what is planned for today. Bands widen as doubts do. ``spell`` gives the
    site's temperature, degC, on days of warm or cold weather that no thermometer has foretold.
    """
    return abreast.gone([looking_ahead(replay, plan, days, spell)])[0]


def looking_ahead(
    replay: Replay, plan: Sequence[Planned], days: int, spell: Mapping[date, float] = NO_SPELL
) -> Generator[Run, None, Ahead]:
    """The same a step at a time, to be gone by ``abreast``."""
    run = branch(replay.run)
    by_date: dict[date, list[Planned]] = {}
    for each in plan:
        by_date.setdefault(each.on, []).append(each)
    today = replay.until.date()
    looks: list[Look] = []
    for ahead in range(days + 1):
        on = today + timedelta(days=ahead)
        start = run.t
        if spell:
            site_c = spell[on] - run.warmth.offset_c if on in spell else replay.bin.site_temp_c
            run.bin = replace(run.bin, site_temp_c=site_c)
        for each in by_date.get(on, ()):
            yield from run.forward(max(run.t, on.toordinal() + FEEDING_HOUR / 24.0))
            part = each.compartment - 1 if 1 <= each.compartment <= run.c.shape[1] else run.active
            run.plan(part, each.feed_kg, each.bedding_kg, each.water_kg, each.material, each.bedding)
        if plan and ahead > LOOKED_AFTER_DAYS:
            run.keep_damp()
        yield from run.forward(float(on.toordinal() + 1))
        run.age(run.t - start)
        if ahead:
            looks.append(run.look(on))
    note_crossings(run, looks)
    earliest, likely, latest = run.crossed
    window = Window(
        earliest=_first(earliest, likely), likely=likely, latest=latest, due_since=replay.due_since, because=run.because
    )
    return Ahead(Days(looks), window, tuple(plan))


def _first(earliest: date | None, likely: date | None) -> date | None:
    if earliest is None or likely is None:
        return earliest or likely
    return min(earliest, likely)


def with_entries(replay: Replay, entries: Iterable[Entry]) -> Replay:
    """What would be if these entries were written now: cheap, from the moment of the replay on; nothing is kept."""
    run = branch(replay.run)
    lines = in_time_order(list(entries))
    end = max([run.t, *(moment(entry.when) for entry in lines)])
    abreast.gone([through_day(run, lines, end)])
    now = run.look(replay.until.date())
    return Replay(run, (*replay.looks[:-1], now), replay.until, replay.beliefs, replay.silences, replay.began)
