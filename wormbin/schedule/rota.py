"""Whose turn it is: the one who has not been at the bin for longest, day after day in turn."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from wormbin.records.entries import Entry

LATELY_DAYS = 60
"""Who has written nothing for so long, and is on no list, is not there any more (ours)."""


def who_writes(keepers: Sequence[str], entries: Iterable[Entry], on: date) -> tuple[str, ...]:
    """The keepers on the list; without a list those who signed a line of late, by name."""
    if keepers:
        return tuple(keepers)
    since = on - timedelta(days=LATELY_DAYS)
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
