"""What the keeper read, as it was read: the raw readings of each quantity before any model saw them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from statistics import mean

from wormbin.advice.case import Case
from wormbin.process.readings import SQUEEZES
from wormbin.records.entries import Bedding, Check, Draining, Entry, Feeding, MoistureBy, Watering
from wormbin.records.habits import SEEN, last_feeding


@dataclass(frozen=True, slots=True)
class Look:
    """What was read on a day (fraction, degC, m or pH): the mean of the looks that count together, and each of them.

    ``worth`` is how many looks one reading by this instrument is worth.
    ``part`` is the tray or half that it was read in, 0 where that was not said or does not matter.
    ``watered`` and ``dried``: water, or bedding or a drain, was written down after it. Of what is left: ``due``,
    whether the feeding is so long ago that little should be, and ``since_fed``, whether none came after the look.
    """

    on: date
    value: float
    by: str = ""
    worth: int = 1
    due: bool = True
    since_fed: bool = True
    part: int = 0
    watered: bool = False
    dried: bool = False
    each: tuple[float, ...] = ()

    def votes(self, says: Callable[[float], bool]) -> int:
        """How many looks of the day say so by themselves, at least one."""
        return self.worth * max(1, sum(says(value) for value in self.each))


A_CLASS = 3
"""So many keepers who look on one day are a class; fewer may see different things (ours)."""
LOOK_BACK_DAYS = 45
BY_PART = frozenset({"moisture", "contents_m"})
"""What differs from tray to tray: a look into one says nothing of another."""
OVEN_WORTH = 2
"""An oven test is off by a point or two: it counts as two looks (ours)."""
DUE_SHARE = 0.75
"""Share of the usual gap after which a feeding should be mostly gone (ours)."""


WATER_KG_M2, BED_KG_M2 = 1.0, 0.25
"""Water and bedding from which on they answer a reading; less is a spray, or a cover as with any feeding (ours)."""


def _dries(entry: Entry, area_m2: float) -> bool:
    """Whether a line says that something was done against the wet."""
    if isinstance(entry.what, Bedding):
        return sum(portion.kg for portion in entry.what.portions) >= BED_KG_M2 * area_m2
    return isinstance(entry.what, Draining)


def _day(entry: Entry) -> date:
    return entry.when.date()


def looks(case: Case, quantity: str, interval_days: float) -> tuple[Look, ...]:
    """The readings of ``moisture``, ``temp_c``, ``ph``, ``left`` or ``contents_m``, oldest first.

    A class's looks of one day by one instrument, with nothing done between them, count together: no pupil outvotes the
    others. Who looks again alone may read another thing, as the bin is not the same all over: those stay apart.
    """
    first = bisect_left(case.entries, case.on - timedelta(days=LOOK_BACK_DAYS), key=_day)
    several, area = len(case.today.parts) > 1, case.bin.footprint_m2
    found: list[Look] = []
    whose: list[tuple[int, str]] = []
    fed = next((_day(each) for each in reversed(case.entries[:first]) if isinstance(each.what, Feeding)), None)
    run = 0  # rises with each thing done
    for entry in case.entries[first:]:
        on = _day(entry)
        if on > case.on:
            break
        if not isinstance(entry.what, SEEN):
            run += 1
        if isinstance(entry.what, Feeding):
            fed, found = on, [replace(each, since_fed=False) for each in found]
        elif isinstance(entry.what, Watering) and entry.what.kg >= WATER_KG_M2 * area:
            found = [replace(each, watered=True) for each in found]
        elif _dries(entry, area):
            found = [replace(each, dried=True) for each in found]
        elif isinstance(entry.what, Check):
            due = fed is not None and (on - fed).days >= max(1, int(DUE_SHARE * interval_days))
            part = entry.compartment if several and quantity in BY_PART else 0
            found += [replace(each, part=part, each=(each.value,)) for each in _of(entry.what, quantity, on, due)]
            whose += [(run, entry.by)] * (len(found) - len(whose))
    return tuple(_together(found, whose))


def of_looks(count: int) -> str:
    """ " (mean of 5 looks)"; nothing for one."""
    return f" (mean of {count} looks)" if count > 1 else ""


def is_class(keepers: Iterable[str]) -> bool:
    """Whether so many looked on one day that their looks count together."""
    return len(set(keepers)) >= A_CLASS


def _together(found: Sequence[Look], whose: Sequence[tuple[int, str]]) -> Iterator[Look]:
    """The looks, those of a class as one: its mean, where its last stood."""
    sets: dict[tuple[object, ...], list[tuple[Look, str]]] = {}
    for look, (run, by) in zip(found, whose, strict=True):
        sets.setdefault((run, look.on, look.by, look.part), []).append((look, by))
    for each in sets.values():
        looked = [look for look, _by in each]
        if not is_class(by for _look, by in each):
            yield from looked
        else:
            every = tuple(look.value for look in looked)
            yield replace(looked[-1], value=mean(every), each=every)


def _of(check: Check, quantity: str, on: date, due: bool) -> Iterator[Look]:
    if quantity == "moisture":
        if check.squeeze is not None:
            yield Look(on, SQUEEZES[check.squeeze], "squeeze")
        if check.moisture is not None:
            oven = check.moisture_by is MoistureBy.OVEN
            yield Look(on, check.moisture, "oven" if oven else "meter", OVEN_WORTH if oven else 1)
        return
    value = getattr(check, quantity)
    if value is not None:
        yield Look(on, value, due=due)


def agreeing(found: Sequence[Look], past: float, above: bool, within_days: int) -> tuple[Look, ...]:
    """The newest looks in a row that lie past a limit, oldest first; a look that does not breaks the row."""
    run: list[Look] = []
    for each in reversed(found):
        beyond = each.value >= past if above else each.value <= past
        if not beyond or (run and (run[-1].on - each.on).days > within_days):
            break
        run.append(each)
    return tuple(reversed(run))


SPEAKS_DAYS = 7
"""A look at what is left speaks for a week at the most, less what was eaten since."""


@dataclass(frozen=True, slots=True)
class LeftRead:
    """What is left of the last feeding by the newest day with a look: the share (mean of the day), and in kg fresh.

    ``count`` is of so many looks; ``taken_kg`` is what was taken to wait at the end of that day, the reading weighed
    with the rest of the log.
    """

    on: date
    share: float
    kg: float
    taken_kg: float
    count: int = 1


def left_read(case: Case) -> LeftRead | None:
    """The newest reading of what is left since the last feeding; a check without one does not take it back."""
    fed = last_feeding(case.entries, case.on)
    if fed is None or not isinstance(fed.what, Feeding):
        return None
    seen = [
        (entry.when.date(), entry.what.left, entry.by)
        for entry in case.entries
        if isinstance(entry.what, Check) and entry.what.left is not None
        if fed.when <= entry.when and entry.when.date() <= case.on
    ]
    if not seen:
        return None
    on = seen[-1][0]
    every = [left for day, left, _by in seen if day == on]
    if not is_class(by for day, _left, by in seen if day == on):
        every = every[-1:]
    share = mean(every)
    given = sum(portion.kg for portion in fed.what.portions)
    taken = next((day.feed_waiting_kg.p50 for day in case.history if day.on == on), 0.0)
    return LeftRead(on, share, share * given, taken, len(every))


def left_now(case: Case) -> float | None:
    """The share left of the last feeding by eye, less what was eaten since; None without a look in the last days."""
    read = left_read(case)
    if read is None or (case.on - read.on).days > SPEAKS_DAYS:
        return None
    now = case.today.feed_waiting_kg.p50
    return read.share * min(1.0, now / read.taken_kg) if read.taken_kg > 0 else read.share
