"""What was really so in a made-up bin, day by day, and the times worth a warning that follow from it.

Bad and calm days are judged by the made-up world's own rules, with a grey stretch between them that is neither.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum

PILING_DAYS, SPENT_DAYS, CALM_DAYS = 8.0, 6.0, 5.5
SEEN_KG_M2, GROWN, EATEN_DOWN = 2.0, 1.3, 0.6
SHORT_AIR, CALM_AIR = 0.35, 0.60
WET, CALM_WET, CALM_DRY, DRY = 0.875, 0.86, 0.68, 0.62
STANDING_M, CALM_STANDING_M = 0.015, 0.008
HOT_C, CALM_HOT_C, CALM_COLD_C, COLD_C = 30.0, 27.0, 11.0, 7.0
DUE_SHARE = 0.80


@dataclass(frozen=True, slots=True)
class DayTruth:
    """One bin at the end of one day; kg, m, degC, fractions. ``feed_waiting_kg`` is the fresh mass it came in as.

    ``waiting_days`` is that feed against what the bin could really work a day; ``air`` is the oxygen at the foot of the
    feeding zone against what the animals want (1 enough, 0 none); ``standing_m`` is how deep water would stand
    at the base were it empty; ``moisture`` is of the whole contents without worms.
    """

    on: date
    moisture: float
    feed_waiting_kg: float
    waiting_days: float
    castings_share: float
    castings_dry_kg: float
    worms_kg: float
    dry_kg: float
    total_kg: float
    contents_m: float
    temp_c: float
    air: float
    standing_m: float
    worked_kg_day: float
    fed_kg: float
    rate: float
    piling_up: bool = False

    @property
    def air_short(self) -> bool:
        """Whether the animals at the foot of the feeding zone are short of air."""
        return self.air < SHORT_AIR

    @property
    def wet(self) -> bool:
        """Whether the whole is too wet, or stands in water."""
        return self.moisture > WET or self.standing_m > STANDING_M

    @property
    def dry(self) -> bool:
        """Whether the whole is too dry."""
        return self.moisture < DRY

    @property
    def hot(self) -> bool:
        """Whether the bedding is too hot."""
        return self.temp_c > HOT_C

    @property
    def cold(self) -> bool:
        """Whether the bedding is too cold."""
        return self.temp_c < COLD_C

    @property
    def due(self) -> bool:
        """Whether castings have reached their share."""
        return self.castings_share >= DUE_SHARE

    @property
    def calm(self) -> bool:
        """Whether nothing is wrong by a good margin (a harvest may be due)."""
        return (
            not self.piling_up
            and self.waiting_days < CALM_DAYS
            and self.air > CALM_AIR
            and CALM_DRY < self.moisture < CALM_WET
            and self.standing_m < CALM_STANDING_M
            and CALM_COLD_C < self.temp_c < CALM_HOT_C
        )


class Trouble(StrEnum):
    """What a keeper would want to be told of."""

    OVERFED = "overfed"
    WET = "wet"
    AIR_SHORT = "air short"
    DRY = "dry"
    HOT = "hot"
    COLD = "cold"
    DUE = "due"


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days in a row, both ends included."""

    first: date
    last: date

    @property
    def days(self) -> int:
        """How many days."""
        return (self.last - self.first).days + 1

    def __contains__(self, day: date) -> bool:
        return self.first <= day <= self.last


@dataclass(frozen=True, slots=True)
class Truth:
    """A made-up bin's whole life: its days in order, its own factors, and the days on which castings were taken."""

    bin: str
    days: tuple[DayTruth, ...]
    rate: float
    drying: float
    harvested: tuple[date, ...] = ()

    def on(self, day: date) -> DayTruth:
        """The truth at the end of ``day``."""
        return self.days[(day - self.days[0].on).days]

    def stretches(self, holds: Callable[[DayTruth], bool], *, bridge: int = 0) -> tuple[Stretch, ...]:
        """The runs of days for which ``holds``; gaps of up to ``bridge`` days do not break a run."""
        return tuple(_runs((day.on for day in self.days if holds(day)), bridge))

    def troubles(self, kind: Trouble) -> tuple[Stretch, ...]:
        """The stretches of one trouble; DUE runs from the due day to the day before castings are taken."""
        holds: dict[Trouble, Callable[[DayTruth], bool]] = {
            Trouble.OVERFED: lambda day: day.piling_up,
            Trouble.WET: lambda day: day.wet,
            Trouble.AIR_SHORT: lambda day: day.air_short,
            Trouble.DRY: lambda day: day.dry,
            Trouble.HOT: lambda day: day.hot,
            Trouble.COLD: lambda day: day.cold,
            Trouble.DUE: lambda day: day.due,
        }
        return self.stretches(holds[kind], bridge=14 if kind is Trouble.DUE else 3)

    @property
    def calm(self) -> tuple[Stretch, ...]:
        """Stretches of a week or more in which nothing is wrong by a good margin."""
        return tuple(run for run in self.stretches(lambda day: day.calm) if run.days >= 7)

    @property
    def due_dates(self) -> tuple[date, ...]:
        """The first day of each time the castings reached their share."""
        return tuple(run.first for run in self.troubles(Trouble.DUE))

    @property
    def overfed_on(self) -> tuple[date, ...]:
        """The day on which each pile-up began."""
        return tuple(run.first for run in self.troubles(Trouble.OVERFED))


def _runs(days: Iterator[date], bridge: int) -> Iterator[Stretch]:
    first = last = None
    for day in days:
        if first is None or last is None:
            first = last = day
        elif day - last > timedelta(days=bridge + 1):
            yield Stretch(first, last)
            first = last = day
        else:
            last = day
    if first is not None and last is not None:
        yield Stretch(first, last)


@dataclass(slots=True)
class Pile:
    """Follows whether feed is really piling up in one bin, day by day.

    A pile-up begins when over eight days' work is waiting, enough of it to see, and clearly more than there ever was in
    the week before last (a slow bin that is fed what it can stand holds many days of feed for ever, and piles nothing
    up). It is over when the bin is down to under six days' work, to well under the most that there was, or when it has
    not grown for a fortnight.
    """

    kg_m2: deque[float] = field(default_factory=lambda: deque([0.0] * 14, maxlen=14))
    most_kg_m2: float = 0.0
    since_most: int = 0
    piling: bool = False

    def day(self, days_of_feed: float, kg_m2: float) -> bool:
        """Take in a day's end; tells whether feed is piling up."""
        before = max(list(self.kg_m2)[:7])
        self.kg_m2.append(kg_m2)
        if self.piling:
            self.since_most += 1
            if kg_m2 > self.most_kg_m2:
                self.most_kg_m2, self.since_most = kg_m2, 0
            eaten_down = days_of_feed < SPENT_DAYS or kg_m2 < EATEN_DOWN * self.most_kg_m2
            self.piling = not eaten_down and self.since_most < 14
        elif days_of_feed > PILING_DAYS and kg_m2 > max(SEEN_KG_M2, GROWN * before):
            self.piling, self.most_kg_m2, self.since_most = True, kg_m2, 0
        return self.piling
