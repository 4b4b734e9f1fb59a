"""How long work takes, by the book and at the keeper's own pace, and how it is spread over the days."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby, pairwise
from statistics import median
from types import MappingProxyType

from wormbin.advice.finding import Action, Doing
from wormbin.records.bins import Bin
from wormbin.records.entries import Check, Entry, Feeding, Harvest
from wormbin.records.farms import Settings
from wormbin.schedule.days import WEEKDAYS, is_away
from wormbin.schedule.harvest import harvest_minutes

GLANCE_MINUTES = 1
MINUTES: Mapping[Doing, int] = MappingProxyType({
    Doing.EMERGENCY: 5, Doing.TAKE_OUT: 5, Doing.LOOK: 1, Doing.DRAIN: 5, Doing.WARMTH: 8, Doing.WATER: 4,
    Doing.FLUFF: 4, Doing.BEDDING: 2, Doing.COVER: 1, Doing.LIME: 2, Doing.WORMS: 30, Doing.ROOM: 10, Doing.FEED: 2,
    Doing.WITH_FEED: 1, Doing.PESTS: 5, Doing.LEAVING: 3, Doing.MEASURE: 1,
})  # fmt: skip
"""About how long a step takes at one bin (our guess), while the keeper's own log does not tell; the others no time."""
EVERYDAY = frozenset({Doing.LOOK, Doing.FEED, Doing.WITH_FEED, Doing.MEASURE})
"""Steps of the walk itself; all others are jobs, for which one comes back with tools."""


def minutes(actions: Iterable[Action]) -> tuple[int, int]:
    """Minutes at one bin: to look in and feed (a glance in passing when nothing is due), and for today's other jobs.

    What a harvest takes stands with its steps.
    """
    steps = list(actions)
    walk = sum(MINUTES.get(each.kind, 0) for each in steps if each.kind in EVERYDAY)
    return max(GLANCE_MINUTES, walk), sum(MINUTES.get(each.kind, 0) for each in steps if each.kind not in EVERYDAY)


WALKED_DAYS = 60
"""Who has written nothing for so long, and is on no list, is not there any more (ours)."""


def who_writes(keepers: Sequence[str], entries: Iterable[Entry], on: date) -> tuple[str, ...]:
    """The keepers on the list; without a list those who signed a line of late, by name."""
    if keepers:
        return tuple(keepers)
    since = on - timedelta(days=WALKED_DAYS)
    return tuple(sorted({each.by for each in entries if each.by and since <= each.when.date() <= on}, key=str.casefold))


def turns(names: Sequence[str], entries: Iterable[Entry], days: Iterable[date], on: date) -> Mapping[date, str]:
    """Whose turn each of ``days`` is; empty for fewer than two people, who need no rota.

    Whoever signed a line longest ago (or never) is first; who was away so comes first when back. Days are in order.
    """
    if len(names) < 2:
        return {}
    last = dict.fromkeys(names, date.min)
    for each in entries:
        if each.by in last and each.when.date() <= on:
            last[each.by] = max(last[each.by], each.when.date())
    order = sorted(names, key=lambda name: (last[name], names.index(name)))
    return {day: order[number % len(order)] for number, day in enumerate(days)}


PACED_DAYS = 120
QUICKEST, SLOWEST = 0.25, 4.0
"""Of the book's minutes: what is shorter was written up afterwards, what is longer held a pause."""
WALK_LEAST, HARVEST_LEAST = 10, 2
"""So many tell (all ours)."""


@dataclass(frozen=True, slots=True)
class Pace:
    """The keeper's own minutes over those of the book: for the walk, and for harvests; 1 while too few lines tell."""

    walk: float = 1.0
    harvest: float = 1.0


@dataclass(frozen=True, slots=True)
class _Stop:
    """One visit at one bin: when the last line of it was written, and how long the book gives it."""

    last: datetime
    minutes: float
    harvest: bool


def pace(logs: Iterable[tuple[Bin, Sequence[Entry]]], on: date) -> Pace:
    """The pace of the last months: from the last line at one bin to the last line at the next, by the same hand."""
    since = on - timedelta(days=PACED_DAYS)
    lines = sorted(
        (
            (each.when.date(), each.by, each.when, one.key, one, each)
            for one, log in logs
            for each in log
            if not each.day_only and since <= each.when.date() < on
        ),
        key=lambda line: line[:4],
    )
    walk: list[float] = []
    harvest: list[float] = []
    for _day, of_day in groupby(lines, key=lambda line: line[:2]):
        stops = [_stop([*of_bin]) for _key, of_bin in groupby(of_day, key=lambda line: line[3])]
        for before, stop in pairwise(stops):
            share = (stop.last - before.last).total_seconds() / 60 / stop.minutes
            if QUICKEST <= share <= SLOWEST:
                (harvest if stop.harvest else walk).append(share)
    return Pace(
        median(walk) if len(walk) >= WALK_LEAST else 1.0, median(harvest) if len(harvest) >= HARVEST_LEAST else 1.0
    )


def _stop(lines: Sequence[tuple[date, str, datetime, str, Bin, Entry]]) -> _Stop:
    one, what = lines[0][4], [line[5].what for line in lines]
    if any(isinstance(each, Harvest) for each in what):
        return _Stop(lines[-1][2], harvest_minutes(one), True)
    fed = MINUTES[Doing.FEED] * any(isinstance(each, Feeding) for each in what)
    looked = MINUTES[Doing.MEASURE] * any(isinstance(each, Check) for each in what)
    return _Stop(lines[-1][2], max(GLANCE_MINUTES, fed + looked), False)


USUAL_HOURS = 4.0
"""Hours a day that there are while nobody says (ours)."""
ROOM_WITHIN_DAYS = 366


@dataclass(frozen=True, slots=True)
class Job:
    """One harvest to be laid on a day: not before ``first``; ``put`` is the day on which the keeper put it.

    ``loss`` is what a day's waiting costs, in kg of castings; ``kg`` then lie curing for ``cure_days``.
    """

    bin: str
    minutes: float
    first: date
    loss: float = 0.0
    kg: float = 0.0
    cure_days: int = 0
    put: date | None = None


def hours_on(settings: Settings, day: date) -> float:
    """Hours that there are for the bins on a day: none while nobody is there."""
    if is_away(settings.away, day) is not None:
        return 0.0
    return settings.hours[day.weekday()] if settings.hours else USUAL_HOURS


def visits(settings: Settings, nexts: Iterable[tuple[date | None, date | None]], day: date) -> tuple[int, int]:
    """How many bins are fed on a day, and at how many is a check due, by the next feeding and check of each."""
    fed = looked = 0
    feeds = WEEKDAYS[day.weekday()] in settings.feed_days
    for feeding, check in nexts:
        fed += feeding is not None and feeding <= day and (feeds or feeding == day)
        looked += check is not None and check <= day and (day - check).days % max(1, settings.check_every_days) == 0
    return fed, looked


def walk_minutes(fed: int, looked: int) -> int:
    """About how long it takes to feed so many bins and to look in at so many."""
    return fed * MINUTES[Doing.FEED] + looked * MINUTES[Doing.MEASURE]


def spread(
    jobs: Iterable[Job],
    on: date,
    settings: Settings,
    taken: Callable[[date], float],
    curing: Sequence[tuple[date, float]] = (),
) -> dict[str, date]:
    """The day of each job, by its bin, from ``on`` on.

    What was put on a day by hand stays there, whatever else it takes. Of the others whichever loses most for the time
    it takes goes first (Smith 1956: that order loses least in all), each on the first day from its own on with time
    for it beside what is ``taken`` (minutes), and with room to cure; one longer than any day has gets days of its own.
    ``curing`` is what cures already: until when, kg.
    """
    free = _Free(lambda day: max(0.0, 60.0 * hours_on(settings, day) - taken(day)))
    room = [(on, until, kg) for until, kg in curing]
    found: dict[str, date] = {}

    def lay(job: Job, day: date) -> None:
        found[job.bin] = day
        room.append((day, day + timedelta(days=job.cure_days), job.kg))
        free.take(day, job.minutes)

    every = list(jobs)
    for job in every:
        if job.put is not None and job.put >= on:
            lay(job, job.put)
    rest = [job for job in every if job.bin not in found]
    for job in sorted(rest, key=lambda each: (-each.loss / max(1.0, each.minutes), each.first, each.bin)):
        days = (max(on, job.first) + timedelta(days=number) for number in range(ROOM_WITHIN_DAYS))
        fits = (day for day in days if _has_time(job, day, free, settings) and _has_room(job, day, room, settings))
        lay(job, next(fits, max(on, job.first) + timedelta(days=ROOM_WITHIN_DAYS)))
    return found


class _Free:
    """Minutes left on each day, asked for when first needed."""

    def __init__(self, ask: Callable[[date], float]) -> None:
        self._ask = ask
        self._left: dict[date, float] = {}

    def __getitem__(self, day: date) -> float:
        return self._left.setdefault(day, self._ask(day))

    def untouched(self, day: date) -> bool:
        """Whether nothing is laid on it."""
        return self[day] >= self._ask(day)

    def longest(self, day: date) -> float:
        """The most that any day of the week after it has before anything is laid on it."""
        return max(self._ask(day + timedelta(days=number)) for number in range(len(WEEKDAYS)))

    def take(self, day: date, minutes: float) -> None:
        """Take so many minutes from a day, and what it has not from the days after it."""
        for at in (day + timedelta(days=number) for number in range(ROOM_WITHIN_DAYS)):
            part = min(minutes, self[at])
            self._left[at] -= part
            minutes -= part
            if minutes <= 0:
                return


def _has_time(job: Job, day: date, free: _Free, settings: Settings) -> bool:
    """Whether a day has time for it; of one longer than any day has, whether nothing else is on that day yet."""
    if is_away(settings.away, day, job.bin) is not None or free[day] <= 0:
        return False
    return job.minutes <= free[day] or (free.untouched(day) and job.minutes > free.longest(day))


def _has_room(job: Job, day: date, room: Sequence[tuple[date, date, float]], settings: Settings) -> bool:
    most = settings.curing_room_kg
    if most is None or job.kg >= most:
        return True
    last = day + timedelta(days=job.cure_days)
    # What lies there is most on a day on which something comes.
    days = [day, *(first for first, _until, _kg in room if day < first < last)]
    return all(sum(kg for first, until, kg in room if first <= at < until) + job.kg <= most for at in days)
