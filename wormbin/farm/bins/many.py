"""Readings of many on one day: put together, the one that stands far off set apart, and why the estimate stood still.

One far off is kept in the log and asked about; the sums go on from the others as if it had not been read.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import groupby
from typing import TYPE_CHECKING

from wormbin.advice.evidence import name_of
from wormbin.advice.looks import A_CLASS, is_class
from wormbin.farm.bins.gauges import say_reading
from wormbin.farm.bins.past import Past
from wormbin.farm.bins.scene import Scene
from wormbin.farm.errors import Question
from wormbin.figures import Band, weight_words
from wormbin.measures import counted
from wormbin.measures.dates import day_words
from wormbin.process.views import Judged
from wormbin.records.entries import Check, Entry, MoistureBy, standing
from wormbin.records.habits import SEEN
from wormbin.science.constants import TENTH_SD
from wormbin.science.paired import Many, together

if TYPE_CHECKING:
    from wormbin.records.bins import Bin


LEAST_OFF = {"moisture": 0.12, "left": 0.30, "temp_c": 3.0, "contents_m": 0.05}
"""How far off the others a reading of each must be at least: three times what differs from look to look (ours)."""
STOOD_STILL = 0.03
"""Moisture by which the mean of many is off the estimate that has taken it in, and this is told (ours)."""
AGREE = 0.05
"""Moisture readings of a day whose spread is no more than this agree (ours; a meter's own scatter is four points)."""
TESTED_DAYS = 120
"""An oven test of so many days ago still tells how a meter reads (ours)."""


@dataclass(frozen=True, slots=True)
class DayOf:
    """The readings of one quantity, instrument, day and part, as they were written; ``many`` puts them together."""

    on: date
    quantity: str
    by: str
    lines: tuple[tuple[Entry, float], ...]
    many: Many

    @property
    def kept(self) -> tuple[tuple[Entry, float], ...]:
        """Those that stand."""
        return tuple(line for line, far in zip(self.lines, self.many.far_off, strict=True) if not far)

    @property
    def odd(self) -> tuple[tuple[Entry, float], ...]:
        """Those that stand far off the others."""
        return tuple(line for line, far in zip(self.lines, self.many.far_off, strict=True) if far)


def days_of_many(entries: Iterable[Entry]) -> tuple[DayOf, ...]:
    """The looks of a class that count together (``advice/looks``), in time order. ``entries`` are standing lines."""
    lines = tuple(entries)
    checks = Counter(each.when.date() for each in lines if isinstance(each.what, Check))
    often = {day for day, times in checks.items() if times >= A_CLASS}
    found = []
    for on, of_day in groupby((each for each in lines if each.when.date() in often), key=lambda each: each.when.date()):
        groups: dict[tuple[str, str, int, int], list[tuple[Entry, float]]] = {}
        done = 0
        for each in of_day:
            done += not isinstance(each.what, SEEN)
            for quantity, by, value in _values(each):
                groups.setdefault((quantity, by, each.compartment, done), []).append((each, value))
        for (quantity, by, *_), read in groups.items():
            if is_class(entry.by for entry, _value in read):
                many = together([value for _, value in read], LEAST_OFF[quantity])
                found.append(DayOf(on, quantity, by, tuple(read), many))
    return tuple(found)


def _values(entry: Entry) -> Iterator[tuple[str, str, float]]:
    what = entry.what
    if not isinstance(what, Check):
        return
    if what.moisture is not None:
        yield "moisture", "oven" if what.moisture_by is MoistureBy.OVEN else "meter", what.moisture
    for quantity, by in (("left", "eye"), ("temp_c", "thermometer"), ("contents_m", "ruler")):
        value = getattr(what, quantity)
        if value is not None:
            yield quantity, by, value


@dataclass(frozen=True, slots=True)
class Odd:
    """What stands far off: the lines as they were written, and each reading held against the others of its day."""

    lines: tuple[Entry, ...] = ()
    judged: tuple[Judged, ...] = ()


def apart(entries: Sequence[Entry], until: datetime) -> tuple[tuple[Entry, ...], Odd]:
    """The lines without what stands far off the others of its day, and that.

    What was written down after the moment ``until`` is not known yet.
    """
    known = [each for each in standing(tuple(entries)) if each.when.replace(tzinfo=None) <= until.replace(tzinfo=None)]
    judged: list[Judged] = []
    blank: dict[str, dict[str, None]] = {}
    for day in days_of_many(known):
        half = TENTH_SD * max(day.many.spread, LEAST_OFF[day.quantity] / 3.0)
        others = Band(day.many.mean - half, day.many.mean, day.many.mean + half)
        for entry, value in day.odd:
            blank.setdefault(entry.id, {})[day.quantity] = None
            judged.append(Judged(entry.id, entry.when, day.quantity, value, others, half, 0.0, True, day.by))
    if not judged:
        return tuple(entries), Odd()
    lines = [_blanked(each, blank[each.id]) if each.id in blank else each for each in entries]
    return tuple(lines), Odd(tuple(each for each in known if each.id in blank), tuple(judged))


def _blanked(entry: Entry, fields: Mapping[str, None]) -> Entry:
    """The line without these readings: somebody looked all the same."""
    assert isinstance(entry.what, Check)
    return replace(entry, what=replace(entry.what, **fields))  # type: ignore[arg-type]


def with_odd(past: Past, odd: Odd) -> Past:
    """The past with what was set apart among its readings: before the others of its day, as the latest stand last."""
    if not odd.judged:
        return past
    mine = {id(each) for each in odd.judged}
    ordered = sorted((*past.judged, *odd.judged), key=lambda each: (each.when.date(), id(each) not in mine))
    return replace(past, judged=tuple(ordered), set_apart=odd.lines)


def as_written(scene: Scene) -> tuple[Entry, ...]:
    """The lines of a bin with all that was read."""
    apart = {each.id: each for each in scene.past.set_apart}
    return tuple(apart.get(each.id, each) for each in scene.entries)


def odd_words(day: DayOf, units: str, today: date) -> Iterator[str]:
    """What to ask of each that stands far off: "21% by Eva stands far off the 4 others"."""
    for entry, value in day.odd:
        read = say_reading(day.quantity, value, units)
        rest = f"the {len(day.kept)} others of {day_words(day.on, today)}"
        yield f"{read}{_by(entry)} stands far off {rest}: read it again"


def _by(entry: Entry) -> str:
    return f" by {entry.by}" if entry.by else ""


def words(day: DayOf, units: str, today: date) -> str:
    """ "moisture meter, 7 September: mean 78% (76, 80, 78: Ana, Ben, Cleo), spread 2 points"."""
    read = [say_reading(day.quantity, value, units) for _, value in day.kept]
    ends = {each.lstrip("-0123456789.,") for each in read}
    short = [each.removesuffix(next(iter(ends))) for each in read] if len(ends) == 1 else read
    names = ", ".join(entry.by for entry, _ in day.kept if entry.by)
    mean = say_reading(day.quantity, day.many.mean, units)
    listed = f"{', '.join(short)}{f': {names}' if names else ''}"
    said = f"{name_of(day.quantity, day.by)}, {day_words(day.on, today)}: mean {mean} ({listed})"
    if len(day.kept) > 1:
        said += f", spread {spread_words(day, units)}"
    return "; ".join((said, *odd_words(day, units, today)))


def spread_words(day: DayOf, units: str) -> str:
    """How far the readings of a day lie apart: one standard deviation, in points or in the quantity's unit."""
    spread = day.many.spread
    match day.quantity:
        case "moisture" | "left":
            return counted(round(spread * 100), "point")
        case "temp_c":
            return f"{spread * (1.8 if units == 'us' else 1.0):.1f} degrees"
    return say_reading(day.quantity, spread, units)


def recent(scene: Scene, days: int = 7) -> tuple[DayOf, ...]:
    """The days of many readings of late, the latest first."""
    return tuple(reversed([each for each in days_of_many(as_written(scene)) if 0 <= (scene.on - each.on).days <= days]))


def many_words(scene: Scene) -> tuple[str, ...]:
    """The readings of many of late, each day in a sentence; and why the estimate stood still where it did."""
    units = scene.settings.units
    found = recent(scene)
    return (*(words(each, units, scene.on) for each in found), *still_words(scene, found))


def asked(scene: Scene, entry: Entry) -> tuple[Question, ...]:
    """What to ask of a check before it is saved: what in it would stand far off the others of its day."""
    lines = (*as_written(scene), entry)
    found = []
    for day in days_of_many([each for each in lines if each.when.date() == entry.when.date()]):
        for odd, value in day.odd:
            if odd is entry:
                read, mean = (say_reading(day.quantity, each, scene.settings.units) for each in (value, day.many.mean))
                words = f"{read} stands far off the {len(day.kept)} others of that day, about {mean}. Keep it?"
                found.append(Question(day.quantity, read, words))
    return tuple(found)


def view(scene: Scene) -> ManyView:
    """Every day on which several read the same thing, the latest first, each quantity by itself."""
    units = scene.settings.units
    doubted = {(each.entry, each.quantity, each.by): each for each in scene.past.judged if each.doubted}

    def misfit(day: DayOf, entry: Entry) -> Judged | None:
        return doubted.get((entry.id, day.quantity, day.by))

    def told(day: DayOf) -> str:
        found = [words(day, units, scene.on)]
        for entry, value in day.kept:
            if (each := misfit(day, entry)) is not None:
                read = f"{say_reading(day.quantity, value, units)}{_by(entry)}"
                found.append(f"{read} fits the estimate badly, and {weight_words(each.weight)}")
        return "; ".join(found)

    def said(day: DayOf, pick: Callable[[Iterable[float]], float]) -> str:
        return say_reading(day.quantity, pick(value for _, value in day.lines), units)

    shown = tuple(
        ManyDay(
            day.on, day.quantity, name_of(day.quantity, day.by), told(day),
            tuple(
                (entry.by, value, far or misfit(day, entry) is not None)
                for (entry, value), far in zip(day.lines, day.many.far_off, strict=True)
            ),
            day.many.mean, day.many.spread, say_reading(day.quantity, day.many.mean, units), spread_words(day, units),
            (said(day, min), said(day, max)),
        )
        for day in reversed(days_of_many(as_written(scene)))
    )  # fmt: skip
    return ManyView(scene.bin, scene.on, shown, still_words(scene, recent(scene)))


def still_words(scene: Scene, found: Sequence[DayOf]) -> tuple[str, ...]:
    """Why many that agree hardly move the moisture, and what would; nothing where it went along with them."""
    if any(each.by == "oven" and (scene.on - each.when.date()).days <= TESTED_DAYS for each in scene.past.judged):
        return ()  # how that meter reads is known by now
    for day in found:
        gap = day.many.mean - _moisture_on(scene, day.on)
        if day.quantity != "moisture" or day.by != "meter" or len(day.kept) < A_CLASS or abs(gap) <= STOOD_STILL:
            continue
        if day.many.spread > AGREE:
            apart = f"{counted(len(day.kept), 'reading')} lie {spread_words(day, scene.settings.units)} apart"
            return (f"{apart}, so they move the estimate little. Read again, all in one spot and at one depth",)
        stays = f"stays {abs(gap) * 100:.0f} points {'under' if gap > 0 else 'over'} them"
        why = "one meter can be wrong for all of them alike"
        how = "One oven test beside it makes them count: weigh a sample wet, dry it, weigh it again"
        return (f"{counted(len(day.kept), 'reading')} agree, and the estimate {stays}: {why}. {how}",)
    return ()


def _moisture_on(scene: Scene, on: date) -> float:
    day = next((each for each in scene.past.days if each.on == on), scene.today)
    return day.moisture.p50


@dataclass(frozen=True, slots=True)
class ManyDay:
    """What several read on one day with one instrument, in SI. ``read`` is who, what, and whether it stands far off."""

    on: date
    quantity: str
    name: str
    words: str
    read: tuple[tuple[str, float, bool], ...]
    mean: float
    spread: float
    mean_words: str
    spread_words: str
    ends: tuple[str, str]
    """The lowest and the highest of them in words."""


@dataclass(frozen=True, slots=True)
class ManyView:
    """All such days of a bin, the latest first; ``still`` says why the estimate stood still beside them."""

    bin: Bin
    on: date
    days: tuple[ManyDay, ...]
    still: tuple[str, ...]

    @property
    def document(self) -> dict[str, object]:
        """What goes out as JSON."""
        days = [
            {"date": day.on, "quantity": day.quantity, "instrument": day.name, "mean": day.mean, "spread": day.spread,
             "read": [{"by": by, "value": value, "far_off": far} for by, value, far in day.read]}
            for day in self.days
        ]  # fmt: skip
        return {"bin": self.bin.key, "days": days, "still": self.still}
