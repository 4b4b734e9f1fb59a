"""How long work takes: a walk round the bins by the book, and the keeper's own pace from the times of written lines."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby, pairwise
from statistics import median
from types import MappingProxyType

from wormbin.advice.finding import Action, Doing
from wormbin.records.bins import Bin
from wormbin.records.entries import Check, Entry, Feeding, Harvest
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
