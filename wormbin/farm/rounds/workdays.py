"""The week's work, day by day: looking in and feeding, harvests with their steps, lots to sieve; moved by hand."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fnmatch import fnmatchcase
from functools import cache
from typing import TYPE_CHECKING

from wormbin.farm import rounds
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.round import Layout, Moved, Place, RoundRow
from wormbin.figures import Level
from wormbin.measures import counted, mass, parse_date, percent
from wormbin.measures.dates import day_words
from wormbin.problems import Problem, RefusedError
from wormbin.records.farms import Put, Settings, Stop
from wormbin.schedule.harvest import SIEVE_KG_MINUTE, STEP_MINUTES
from wormbin.schedule.pace import USUAL_HOURS, hours_on, visits, walk_minutes

if TYPE_CHECKING:
    from wormbin.castings.lot import Lot
    from wormbin.exchange.calendar import Due
    from wormbin.farm.session import Session
    from wormbin.schedule.pace import Job, Pace


SHOWN_DAYS, LAID_OUT_DAYS = 7, 60
GO_ON = "go on: "
MAY_WAIT_DAYS = 3
"""So long a step at a bin that is no "act" may wait for a day with time for it (ours)."""


def week(session: Session, on: date | None = None, days: int = SHOWN_DAYS) -> WeekView:
    """The work of the next days, from the day looked at on."""
    today, settings = session.moment(on).date(), session.settings()
    rows, own = list(rounds.rows(session, on)), session.cache.pace(today)
    jobs: defaultdict[date, list[JobView]] = defaultdict(list)
    put = {each.bin: each.on for each in settings.put}
    for row in rows:
        for day, job in _jobs(row, put):
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
    said = list(_rests_on(session, settings, today))
    troubles = _troubles(rows, [each.minutes - each.walk_minutes for each in found])
    for rank, (row, at) in enumerate(troubles, 1):
        job = JobView(row.bin, row.name, row.headline, row.jobs_minutes, due=today if at else None, rank=rank)
        found[at] = replace(found[at], jobs=(*found[at].jobs, job))
    if any(job.bin and job.due == today and not job.harvest for each in found for job in each.jobs):
        wait = counted(MAY_WAIT_DAYS, "day")
        said.append(f"what is marked act stays today; other steps wait up to {wait} for time, worst first")
    return WeekView(today, tuple(_carried_on(found)), tuple(said))


def _troubles(rows: Iterable[RoundRow], free: Sequence[float], pace: float = 1.0) -> Iterator[tuple[RoundRow, int]]:
    """Bins with steps for today, the worst first, and in how many days there is time: of what may wait; else today.

    ``free`` are minutes from today on that looking in and feeding leave. Harvests are laid around what is found.
    """
    left = list(free[: MAY_WAIT_DAYS + 1])
    for row in sorted(rows, key=rounds.order):
        if row.jobs_minutes and not row.ticked:
            minutes = pace * row.jobs_minutes
            fits = (at for at, there in enumerate(left) if minutes <= there)
            at = 0 if row.level is Level.ACT else next(fits, 0)
            left[at] -= minutes
            yield row, at


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


def _jobs(row: RoundRow, put: dict[str, date]) -> Iterator[tuple[date, JobView]]:
    """The steps of a bin's harvest on their days."""
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
    rank: int = 0
    """The place of a trouble among all, the worst first."""


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
    def listed(self) -> list[JobView]:
        """The jobs in the order of a list: harvests, their steps and the lots by name, then troubles, worst first."""
        return sorted(self.jobs, key=lambda job: (not job.harvest, job.rank, job.name.casefold()))

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


SPREAD_DAYS = 28
LOSS_DAY, FULL_LOSS = 0.01, 3.0
"""Share of the castings that is lost with every day that they wait, and how much more in a full box, which is fed no
more (ours; only their order counts)."""


def layout(session: Session, rows: Sequence[RoundRow], on: date | None = None) -> Layout:
    """How the work on these bins, which are all that there are, is laid out on a day."""
    today = session.moment(on).date()
    own = session.cache.pace(today)
    settings = session.settings()
    return Layout(
        today,
        dict(_moved(session, rows, on)),
        {row.bin: place(row.bin, settings.walk) for row in rows} if settings.walk else {},
        own.walk,
        own.harvest,
    )


def _moved(session: Session, rows: Sequence[RoundRow], on: date | None) -> Iterator[tuple[str, Moved]]:
    """The harvests of the next weeks that get another day, as they are spread over the hours that there are.

    Those farther off are too unsure to make room for one another.
    """
    from wormbin.schedule.pace import spread, visits, walk_minutes

    settings, today = session.settings(), session.moment(on).date()
    own = session.cache.pace(today)
    put = {each.bin: each.on for each in settings.put}
    last = today + timedelta(days=SPREAD_DAYS)
    near = {row.bin: row for row in rows if row.harvest.on is not None and (row.harvest.on <= last or row.bin in put)}
    jobs = [_job(row, put.get(row.bin), own) for row in near.values()]
    nexts, trouble = [(row.next_feeding, row.next_check) for row in rows], defaultdict[date, float](float)

    @cache
    def taken(day: date) -> float:
        return own.walk * (walk_minutes(*visits(settings, nexts, day)) + trouble[day])

    days = [today + timedelta(days=number) for number in range(MAY_WAIT_DAYS + 1)]
    free = [60 * hours_on(settings, day) - own.walk * walk_minutes(*visits(settings, nexts, day)) for day in days]
    for row, at in _troubles(rows, free, own.walk):
        trouble[days[at]] += row.jobs_minutes

    for bin, day in spread(jobs, today, settings, taken, _curing(session, today)).items():
        if (was := near[bin].harvest.on) is not None and was != day:
            yield bin, Moved(was, day)


def _job(row: RoundRow, put: date | None, own: Pace) -> Job:
    from wormbin.schedule.pace import Job

    harvest = row.harvest
    kg = next((each.kg.p50 for each in row.coming if each.part == harvest.part), 0.0)
    day = harvest.on
    assert day is not None
    steps = {step.code: step for step in harvest.steps}
    minutes = own.harvest * steps["harvest"].minutes if "harvest" in steps else 0.0
    minutes += own.walk * sum(step.minutes for step in harvest.steps if step.on == day and step.code != "harvest")
    cure = (steps["cured"].on - day).days if "cured" in steps else 0
    late = 0.0
    if harvest.due_since is not None:
        late = kg * LOSS_DAY * (FULL_LOSS if harvest.because == "full" else 1.0)
    return Job(row.bin, minutes, day, late, kg, cure, put)


def _curing(session: Session, today: date) -> list[tuple[date, float]]:
    """Lots that cure now: until when, kg; asked only where the room for them is known."""
    if session.settings().curing_room_kg is None:
        return []
    return [(until, lot.kg) for lot, until in curing_now(session, today)]


def curing_now(session: Session, on: date) -> tuple[tuple[Lot, date], ...]:
    """Lots that are not sieved yet, and the day on which each has cured."""
    from wormbin.castings.lot import lots
    from wormbin.castings.plan import curing
    from wormbin.store import StoreError

    try:
        found = lots(line for line in session.store.lot_lines() if line.when.date() <= on)
    except StoreError as error:  # the bins stay usable
        session.logs.unread["castings"] = error
        return ()
    return tuple(curing(found, {one.key: one for one in session.bins()}))


def promised(session: Session, on: date, days: int) -> tuple[Due, ...]:
    """What is promised for the next days: to bag it the day before, and to hand it over on its day."""
    from wormbin.castings.orders import promises
    from wormbin.exchange import calendar as files
    from wormbin.measures import mass
    from wormbin.records.kinds.castings import Product
    from wormbin.store import StoreError

    try:
        book = session.store.lot_lines()
    except StoreError as error:  # the bins stay usable
        session.logs.unread["castings"] = error
        return ()
    last, found = on + timedelta(days=days), []
    for each in promises(book, on, last + timedelta(days=1), (log for _one, log in session.cache.counted)):
        if each.due < on or not each.open_kg:
            continue
        what = f"{mass(each.open_kg, session.units)} {each.product.value}"
        whom = f" for {each.buyer}" if each.buyer else ""
        slot = f"{each.order}|{each.due.isoformat()}"
        if on < each.due:
            ready = "take out" if each.product is Product.WORMS else "bag"
            eve = each.due - timedelta(days=1)
            found.append(files.Due(eve, "", "order", f"Order {each.order}: {ready} {what}{whom}", slot=f"{slot}|bag"))
        found.append(files.Due(each.due, "", "order", f"Order {each.order}: {what} due{whom}", slot=slot))
    return tuple(due for due in found if due.on <= last)


def place(bin: str, walk: Sequence[Stop]) -> Place:
    """Where a bin comes in the walk, and the name of the stop; behind all others where no stop has it."""
    at = 0
    for stop in walk:
        for pattern in stop.bins:
            if fnmatchcase(bin, pattern):
                return Place(at, stop.name)
            at += 1
    return Place(at)
