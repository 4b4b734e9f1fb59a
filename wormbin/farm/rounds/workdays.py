"""The week's work, day by day: looking in and feeding, harvests with their steps, lots to sieve; moved by hand."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from wormbin.farm import rounds
from wormbin.farm.rounds.layout import curing_now, promised
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.round import RoundRow
from wormbin.measures import mass, parse_date, percent
from wormbin.measures.dates import day_words
from wormbin.problems import Problem, RefusedError
from wormbin.records.farms import Put, Settings
from wormbin.schedule.harvest import SIEVE_KG_MINUTE, STEP_MINUTES
from wormbin.schedule.spread import USUAL_HOURS, hours_on, visits, walk_minutes

if TYPE_CHECKING:
    from wormbin.farm.session import Session


SHOWN_DAYS, LAID_OUT_DAYS = 7, 60
GO_ON = "go on: "


def week(session: Session, on: date | None = None, days: int = SHOWN_DAYS) -> WeekView:
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
    for due in promised(session, today, days):
        name, _, what = due.title.partition(": ")
        jobs[due.on].append(JobView("", name, what, STEP_MINUTES))
    found, nexts = [], [(row.next_feeding, row.next_check) for row in rows]
    for number in range(days):
        day = today + timedelta(days=number)
        fed, looked = visits(settings, nexts, day)
        walk = round(own.walk * walk_minutes(fed, looked)) if number else rounds.minutes_left(rows)
        walk = walk if hours_on(settings, day) else 0
        found.append(WorkDay(day, round(60 * hours_on(settings, day)), walk, tuple(jobs[day]), feeds=fed > 0))
    return WeekView(today, tuple(_carried_on(found)), tuple(_rests_on(session, settings, today)))


def _carried_on(days: Iterable[WorkDay]) -> Iterator[WorkDay]:
    """The days with what is longer than its day has hours for gone on with on the days after, as it is laid."""
    rest: tuple[JobView, ...] = ()
    for each in days:
        if not each.minutes:
            yield each
            continue
        jobs, goes_on = (*rest, *each.jobs), bool(rest)
        long = rest[0] if goes_on else max(jobs, key=lambda job: job.minutes, default=None)
        rest, over = (), replace(each, jobs=jobs).over
        if over and long is not None and (goes_on or long.minutes > each.minutes - each.walk_minutes):
            part = max(0, long.minutes - over)
            part = part if part >= STEP_MINUTES else 0
            if part or goes_on:
                what = GO_ON + long.what.removeprefix(GO_ON)
                rest = (JobView(long.bin, long.name, what, long.minutes - part),)
                cut = (replace(long, minutes=part),) if part else ()
                jobs = tuple(one for job in jobs for one in (cut if job is long else (job,)))
        yield replace(each, jobs=jobs)


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
            yield f"{said}: {percent(pace)} of the usual minutes: your log of the last four months shows that pace"
    if settings.curing_room_kg is not None:
        cures = sum(lot.kg for lot, _until in curing_now(session, today))
        room = mass(settings.curing_room_kg, session.units)
        yield f"room to cure: {room}, of which {mass(cures, session.units)} is taken now"


def put(session: Session, bin: str, day: str) -> Recorded:
    """Put a bin's harvest on a day, where it stays; "" leaves it to the plan again."""
    one, today = session.bin(bin), session.clock().date()
    kept = tuple(each for each in session.settings().put if each.bin != one.key and each.on >= today)
    was_put = any(each.bin == one.key for each in session.settings().put)
    found = {row.bin: row for row in rounds.rows(session) if row.harvest.on is not None}
    row = found.get(one.key)
    if row is None and (day or not was_put):
        which = f"one of {', '.join(sorted(found))}" if found else "nothing yet: no bin"
        raise RefusedError(Problem("bin", one.key, f"{which}, with a harvest in sight: wormbin harvests tells when"))
    if not day:
        session.store.change_farm(lambda farm: replace(farm, settings=replace(farm.settings, put=kept)))
        return Recorded((), f"{one.name}: its harvest goes where the week has time")
    on = parse_date(day, today, "day", toward="future")
    last = today + timedelta(days=LAID_OUT_DAYS)
    if not today <= on <= last:
        raise RefusedError(Problem("day", on.isoformat(), f"a day from today to {last.isoformat()}", "saturday"))
    laid = (*kept, Put(one.key, on))
    session.store.change_farm(lambda farm: replace(farm, settings=replace(farm.settings, put=laid)))
    ripe = row.ripe_on if row is not None and row.harvest.due_since is None else None
    warned = (f"its castings are likely ripe {day_words(ripe, today)}",) if ripe is not None and on < ripe else ()
    return Recorded((), f"{one.name}: harvest {day_words(on, today)}, where it stays", warned)


LEAST_OVER = 3
"""Fewer minutes too much on a day are not told."""


@dataclass(frozen=True, slots=True)
class JobView:
    """One thing to do on a day, and about how long it takes. ``bin`` is "" for what is about a lot.

    ``put`` is whether the keeper put it on this day; ``due`` the day on which it could have been done, where it has to
    wait for time or room; ``harvest`` whether it is the one of a bin, which may be moved.
    """

    bin: str
    name: str
    what: str
    minutes: int
    put: bool = False
    due: date | None = None
    harvest: bool = False


@dataclass(frozen=True, slots=True)
class WorkDay:
    """One day: the minutes that there are, those of looking in and feeding, and the jobs."""

    on: date
    minutes: int
    walk_minutes: int
    jobs: tuple[JobView, ...]
    feeds: bool = True
    """Whether any bin is fed on it."""

    @property
    def taken(self) -> int:
        """Minutes of all of it together."""
        return self.walk_minutes + sum(each.minutes for each in self.jobs)

    @property
    def over(self) -> int:
        """Minutes more than there are; nought where it is no more than the sums can tell."""
        over = self.taken - self.minutes
        return over if over >= LEAST_OVER else 0


@dataclass(frozen=True, slots=True)
class WeekView:
    """The days to come, in order. ``words`` say what the minutes and days rest on."""

    on: date
    days: tuple[WorkDay, ...]
    words: tuple[str, ...]
