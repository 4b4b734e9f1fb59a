"""The rota of a term: who does which job on which school day, so that nobody has more turns than another.

It follows from the settings alone, so that a page that hangs on the wall stays true: each day takes who has had the
fewest turns. Who is away is passed over and comes first when back; only the names of the days about it change.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from wormbin.records.farms import QUICK, Settings, Turns
from wormbin.schedule.days import WEEKDAYS, is_away

TERM_DAYS = 400
"""A term is no longer; a rota without an end is looked at from here back (ours)."""


@dataclass(frozen=True, slots=True)
class Duty:
    """One job of one day, and who does it."""

    on: date
    job: str
    names: tuple[str, ...]


@dataclass(slots=True)
class _Done:
    """How many turns each pupil has had: in all, of each job, and when the last was."""

    turns: Counter[str] = field(default_factory=Counter)
    of_job: Counter[tuple[str, str]] = field(default_factory=Counter)
    last: dict[str, date] = field(default_factory=dict)

    def note(self, duty: Duty) -> None:
        for name in duty.names:
            self.turns[name] += 1
            self.of_job[name, duty.job] += 1
            self.last[name] = duty.on


def school_day(settings: Settings, day: date) -> bool:
    """Whether there is school: one of its weekdays within the term, and no holiday."""
    turns = settings.turns
    return (
        WEEKDAYS[day.weekday()] in turns.days
        and (turns.first is None or turns.first <= day)
        and (turns.last is None or day <= turns.last)
        and is_away(settings.away, day) is None
    )


def half_day(turns: Turns, day: date) -> bool:
    """Whether only the quick jobs are done."""
    return bool({day.isoformat(), WEEKDAYS[day.weekday()]} & set(turns.half_days))


def jobs_on(settings: Settings, day: date) -> tuple[str, ...]:
    """The jobs of a school day, in the order in which the settings name them; none when there is no school."""
    turns, weekday = settings.turns, WEEKDAYS[day.weekday()]
    if not school_day(settings, day):
        return ()
    found = []
    for job in turns.jobs:
        days = job.days or (settings.feed_days if job.name == "feed" else ())
        if (not days or weekday in days) and (job.name in QUICK or not half_day(turns, day)):
            found.append(job.name)
    return tuple(found)


def rota(settings: Settings, names: Sequence[str], first: date, last: date) -> tuple[Duty, ...]:
    """Every duty from ``first`` to ``last``, both included; what was due before counts for who is next."""
    turns = settings.turns
    if not turns.days or not names:
        return ()
    day = max(turns.first or first, last - timedelta(days=TERM_DAYS))
    done, found = _Done(), []
    while day <= last:
        _let_in(turns, names, day, done)
        for duty in _swapped(turns, names, day, tuple(_of_day(settings, names, day, done))):
            done.note(duty)
            if day >= first:
                found.append(duty)
        day += timedelta(days=1)
    return tuple(found)


def here(turns: Turns, names: Sequence[str], day: date) -> tuple[str, ...]:
    """Who takes part on a day: on the list by then, and not away."""
    gone = {each.name for each in turns.away if each.first <= day <= each.last}
    return tuple(name for name in names if name not in gone and turns.joined.get(name, day) <= day)


def _let_in(turns: Turns, names: Sequence[str], day: date, done: _Done) -> None:
    """Who comes after the first day is level with whoever has done least: nobody pays for days before."""
    others = [done.turns[name] for name in names if turns.joined.get(name, date.min) < day]
    for name in names:
        if turns.joined.get(name) == day and others:
            done.turns[name] = min(others)


def _of_day(settings: Settings, names: Sequence[str], day: date, done: _Done) -> Iterator[Duty]:
    turns, present = settings.turns, here(settings.turns, names, day)
    today: Counter[str] = Counter()
    for job in jobs_on(settings, day) if present else ():
        # Two jobs of one day only go to one pupil when there are more jobs than pupils.
        order = sorted(
            present,
            key=lambda name: (
                today[name],
                done.turns[name] + today[name],
                done.of_job[name, job],
                done.last.get(name, date.min),
                names.index(name),
            ),
        )
        chosen = tuple(order[: turns.together])
        today.update(chosen)
        yield Duty(day, job, chosen)


def _swapped(turns: Turns, names: Sequence[str], day: date, duties: tuple[Duty, ...]) -> tuple[Duty, ...]:
    for swap in turns.swaps:
        if swap.on == day and {swap.name, swap.other} <= set(names):
            other = {swap.name: swap.other, swap.other: swap.name}
            duties = tuple(
                Duty(day, duty.job, tuple(dict.fromkeys(other.get(name, name) for name in duty.names)))
                for duty in duties
            )
    return duties
