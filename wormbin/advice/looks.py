"""What the keeper read, as it was read: the raw readings of each quantity before any model saw them."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from wormbin.advice.case import Case
from wormbin.process.readings import SQUEEZES
from wormbin.records.entries import Bedding, Check, Draining, Entry, Feeding, MoistureBy, Watering
from wormbin.records.habits import last_feeding


@dataclass(frozen=True, slots=True)
class Look:
    """One raw reading (fraction, degC, m or pH), its day, what it was read by, and how many looks it is worth.

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


def looks(case: Case, quantity: str, interval_days: float) -> tuple[Look, ...]:
    """The readings of ``moisture``, ``temp_c``, ``ph``, ``left`` or ``contents_m``, oldest first."""
    first = bisect_left(case.entries, case.on - timedelta(days=LOOK_BACK_DAYS), key=_day)
    last = bisect_right(case.entries, case.on, key=_day)
    several, area = len(case.today.parts) > 1, case.bin.footprint_m2
    found: list[Look] = []
    fed = watered = dried = False
    for at in range(last - 1, first - 1, -1):  # backwards: what came after a look says whether it was answered
        entry = case.entries[at]
        if isinstance(entry.what, Feeding):
            fed = True
        elif isinstance(entry.what, Watering) and entry.what.kg >= WATER_KG_M2 * area:
            watered = True
        elif _dries(entry, area):
            dried = True
        elif isinstance(entry.what, Check):
            part = entry.compartment if several and quantity in BY_PART else 0
            for value, by, worth in _read(entry.what, quantity):
                due = _is_due(case.entries[:at], _day(entry), interval_days)
                found.append(Look(_day(entry), value, by, worth, due, not fed, part, watered, dried))
    return tuple(reversed(found))


def _day(entry: Entry) -> date:
    return entry.when.date()


def _is_due(before: Sequence[Entry], on: date, interval_days: float) -> bool:
    """Whether the last feeding is so long ago that little of it should be left."""
    fed = next((_day(each) for each in reversed(before) if isinstance(each.what, Feeding)), None)
    return fed is not None and (on - fed).days >= max(1, int(DUE_SHARE * interval_days))


def _read(check: Check, quantity: str) -> Iterator[tuple[float, str, int]]:
    """The values read, by what, and how many looks each is worth; the last comes first."""
    if quantity == "moisture":
        if check.moisture is not None:
            oven = check.moisture_by is MoistureBy.OVEN
            yield check.moisture, "oven" if oven else "meter", OVEN_WORTH if oven else 1
        if check.squeeze is not None:
            yield SQUEEZES[check.squeeze], "squeeze", 1
    elif (value := getattr(check, quantity)) is not None:
        yield value, "", 1


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
    """The newest look at what is left of the last feeding: its day, the share read, and that share in kg fresh.

    ``taken_kg`` is what was taken to wait at the end of that day, the reading weighed with the rest of the log.
    """

    on: date
    share: float
    kg: float
    taken_kg: float


def left_read(case: Case) -> LeftRead | None:
    """The newest reading of what is left since the last feeding; a check without one does not take it back."""
    fed = last_feeding(case.entries, case.on)
    if fed is None or not isinstance(fed.what, Feeding):
        return None
    for entry in reversed(case.entries):
        if entry.when < fed.when:
            return None
        if isinstance(entry.what, Check) and entry.what.left is not None and _day(entry) <= case.on:
            on, share = _day(entry), entry.what.left
            break
    else:
        return None
    given = sum(portion.kg for portion in fed.what.portions)
    taken = next((day.feed_waiting_kg.p50 for day in case.history if day.on == on), 0.0)
    return LeftRead(on, share, share * given, taken)


def left_now(case: Case) -> float | None:
    """The share left of the last feeding by eye, less what was eaten since; None without a look in the last days."""
    read = left_read(case)
    if read is None or (case.on - read.on).days > SPEAKS_DAYS:
        return None
    now = case.today.feed_waiting_kg.p50
    return read.share * min(1.0, now / read.taken_kg) if read.taken_kg > 0 else read.share
