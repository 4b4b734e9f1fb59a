"""The round as a walk: what to do at a bin today and in how many minutes, and whose turn it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType

from wormbin.measures import mass
from wormbin.records.bins import Bin, Method
from wormbin.records.entries import Entry
from wormbin.schedule.harvest import Step

CHECK_MINUTES = 1
GLANCE_MINUTES = 1
FEED_MINUTES = 2
READ_MINUTES = 2
HARVEST_MINUTES: Mapping[Method, int] = MappingProxyType({
    Method.SORT: 120, Method.SIDEWAYS: 30, Method.UPWARD: 20, Method.BAIT: 20, Method.SCREEN: 60, Method.FLOW: 15,
})  # fmt: skip
"""A household bin; light sorting 1-3 h (from memory), the rest our guess. Grows with the area."""
STEP_MINUTES = 5
HOUSEHOLD_M2 = 0.25
FOR_FINDING: Mapping[str, tuple[str, int]] = MappingProxyType({
    "dying": ("emergency: the five steps", 20),
    "leaving": ("emergency: the five steps", 20),
    "overfed": ("fluff, and add dry bedding", 4),
    "thick-layer": ("spread the feed, or take some out", 4),
    "nitrogen-rich": ("mix in dry bedding", 4),
    "air-short": ("fluff to the base, and add dry bedding", 5),
    "too-wet": ("fluff, and add dry bedding", 4),
    "standing-water": ("let the water out", 5),
    "too-dry": ("water it through", 4),
    "too-hot": ("cool it", 5),
    "heat-to-come": ("take feed out, or spread it", 4),
    "too-cold": ("wrap it, or bring it in", 10),
    "crowded": ("take out worms", 30),
    "full": ("make room", 10),
    "sour": ("dust with eggshell, and fluff", 4),
    "too-sour": ("dust with eggshell, and fluff", 4),
    "smell-sour": ("dust with eggshell, and fluff", 4),
    "smell-rotten": ("take feed out, fluff, and add dry bedding", 6),
    "smell-ammonia": ("take feed out, fluff, and add dry bedding", 6),
    "flies": ("bury and cover the feed, set a trap", 5),
    "soldier-flies": ("bury and cover the feed", 5),
    "mites": ("bait the mites out", 3),
    "red-mites": ("bait the mites out", 3),
    "ants": ("moisten it, stand its legs in water", 5),
    "mould": ("bury the feed", 3),
    "rodents": ("close the gaps", 15),
    "hunters": ("pick them out", 5),
    "fed-over": ("take feed out again", 4),
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do at a bin, and about how many minutes it takes."""

    what: str
    minutes: int
    code: str = ""


def tasks(
    bin: Bin,
    on: date,
    *,
    check_due: bool,
    feed_kg: float = 0.0,
    codes: Iterable[str] = (),
    steps: Sequence[Step] = (),
    units: str = "metric",
) -> tuple[Task, ...]:
    """What to do at this bin today: trouble first, then the look, the feed and the harvest steps of the day.

    ``codes`` are those of findings that ask for action, ``feed_kg`` today's ration when it is a feeding day.
    """
    found: list[Task] = []
    for code in codes:
        known = FOR_FINDING.get(code)
        if known is not None and known[0] not in {task.what for task in found}:
            found.append(Task(known[0], known[1], code))
        if code == "reading-wanted":
            found.append(Task("take the reading that is asked for", READ_MINUTES, code))
    if check_due:
        found.append(Task("check it", CHECK_MINUTES, "check"))
    if feed_kg > 0:
        found.append(Task(f"feed up to {mass(feed_kg, units)}", FEED_MINUTES, "feed"))
    size = max(1.0, bin.footprint_m2 / HOUSEHOLD_M2)
    for step in steps:
        if step.on == on:
            minutes = round(HARVEST_MINUTES[bin.method] * size) if step.code == "harvest" else STEP_MINUTES
            found.append(Task(step.what, minutes, step.code))
    return tuple(found)


def minutes(found: Iterable[Task]) -> int:
    """Minutes for all of them together; a glance in passing when there is nothing to do."""
    return max(GLANCE_MINUTES, sum(task.minutes for task in found))


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
