"""Work on all bins spread over days: so many hours a day, the most loss by waiting first, room to cure kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from wormbin.advice.finding import Doing
from wormbin.records.farms import Settings
from wormbin.schedule.days import WEEKDAYS, is_away
from wormbin.schedule.pace import MINUTES

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
