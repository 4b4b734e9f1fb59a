"""The week's work, day by day: looking in and feeding, harvests with their steps, lots to sieve; moved by hand."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from wormbin.farm import rounds
from wormbin.farm.rounds.layout import curing_now
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.round import RoundRow
from wormbin.farm.views.week import JobView, WeekView, WorkDay
from wormbin.measures import mass, parse_date, percent
from wormbin.measures.dates import day_words
from wormbin.problems import Problem, RefusedError
from wormbin.records.farms import Put, Settings
from wormbin.schedule.harvest import SIEVE_KG_MINUTE, STEP_MINUTES
from wormbin.schedule.spread import USUAL_HOURS, hours_on, visits, walk_minutes

if TYPE_CHECKING:
    from wormbin.farm.session import Session

WEEK_DAYS, MOST_DAYS = 7, 60


def week(session: Session, on: date | None = None, days: int = WEEK_DAYS) -> WeekView:
    """The work of the next days, from the day looked at on."""
    today, settings = session.moment(on).date(), session.settings()
    rows, own = list(rounds.rows(session, on)), session.cache.pace(today)
    jobs: defaultdict[date, list[JobView]] = defaultdict(list)
    put = {each.bin: each.on for each in settings.put}
    for row in rows:
        for day, job in _jobs(row, today, put):
            jobs[day].append(job)
    for lot, cured in curing_now(session, today):
        minutes = max(STEP_MINUTES, round(own.walk * lot.kg / SIEVE_KG_MINUTE))
        what = f"cured: sieve {mass(lot.kg, session.units)}, weigh it, put it into stock"
        jobs[max(today, cured)].append(JobView("", f"lot {lot.name}", what, minutes))
    found, nexts = [], [(row.next_feeding, row.next_check) for row in rows]
    for number in range(days):
        day = today + timedelta(days=number)
        fed, looked = visits(settings, nexts, day)
        walk = round(own.walk * walk_minutes(fed, looked)) if number else rounds.minutes_left(rows)
        walk = walk if hours_on(settings, day) else 0
        found.append(WorkDay(day, round(60 * hours_on(settings, day)), walk, tuple(jobs[day]), feeds=fed > 0))
    return WeekView(today, tuple(found), tuple(_rests_on(session, settings, today)))


def _jobs(row: RoundRow, today: date, put: dict[str, date]) -> Iterator[tuple[date, JobView]]:
    """What is to be done at one bin, and when: today's trouble, and the steps of its harvest on their days."""
    if row.jobs_minutes and not row.ticked:
        yield today, JobView(row.bin, row.name, row.headline, row.jobs_minutes)
    for step in row.harvest.steps:
        takes = step.code == "harvest"
        waits = row.ripe_on if takes and row.ripe_on is not None and row.ripe_on < step.on else None
        yield (
            step.on,
            JobView(row.bin, row.name, step.what, step.minutes, takes and put.get(row.bin) == step.on, waits, takes),
        )


def _rests_on(session: Session, settings: Settings, today: date) -> Iterator[str]:
    own = session.cache.pace(today)
    if not settings.hours:
        yield f"{USUAL_HOURS:g} hours a day are taken as there; say your own: wormbin settings hours “3 h”"
    for said, pace in (("looking in and feeding", own.walk), ("harvests", own.harvest)):
        if pace != 1.0:
            yield f"{said}: {percent(pace)} of the usual minutes, as your own lines of the last months had it"
    if settings.curing_room_kg is not None:
        cures = sum(lot.kg for lot, _until in curing_now(session, today))
        room = mass(settings.curing_room_kg, session.units)
        yield f"room to cure: {room}, of which {mass(cures, session.units)} is taken now"


def put(session: Session, bin: str, day: str) -> Recorded:
    """Put a bin's harvest on a day, where it stays; "" leaves it to the plan again."""
    one, today = session.bin(bin), session.clock().date()
    kept = tuple(each for each in session.settings().put if each.bin != one.key and each.on >= today)
    if not day:
        session.store.change_farm(lambda farm: replace(farm, settings=replace(farm.settings, put=kept)))
        return Recorded((), f"{one.name}: its harvest goes where the week has time")
    on = parse_date(day, today, "day", toward="future")
    last = today + timedelta(days=MOST_DAYS)
    if not today <= on <= last:
        raise RefusedError(Problem("day", on.isoformat(), f"a day from today to {last.isoformat()}", "saturday"))
    row = next((row for row in rounds.rows(session) if row.bin == one.key), None)
    if row is None or row.harvest.on is None:
        raise RefusedError(Problem("bin", one.key, "a bin with a harvest in sight: wormbin harvests tells which"))
    laid = (*kept, Put(one.key, on))
    session.store.change_farm(lambda farm: replace(farm, settings=replace(farm.settings, put=laid)))
    early = row.ripe_on is not None and on < row.ripe_on and row.harvest.due_since is None
    warned = (f"its castings are likely ripe {day_words(row.ripe_on, today)}",) if early and row.ripe_on else ()
    return Recorded((), f"{one.name}: harvest {day_words(on, today)}, where it stays", warned)
