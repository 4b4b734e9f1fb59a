"""The round as a walk: in how many minutes what is to be done at a bin is done, and whose turn it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from types import MappingProxyType

from wormbin.advice.finding import Action, Doing
from wormbin.records.entries import Entry

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
