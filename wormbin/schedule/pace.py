"""How long the keeper's own work takes, against the book: from the times at which lines were written."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby, pairwise
from statistics import median

from wormbin.advice.finding import Doing
from wormbin.records.bins import Bin
from wormbin.records.entries import Check, Entry, Feeding, Harvest
from wormbin.schedule.harvest import harvest_minutes
from wormbin.schedule.walk import GLANCE_MINUTES, MINUTES

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
