"""Who keeps a made-up bin, how they go about it, and what their story makes them do on given days."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from tests.worlds.weather import Site

Days = tuple[tuple[date, date], ...]


@dataclass(frozen=True, slots=True)
class Hand:
    """One keeper: a first name, how much wetter a handful feels to them than it is, and how well they estimate."""

    name: str
    feels_wetter: float = 0.0
    steady: float = 1.0


@dataclass(frozen=True, slots=True)
class Dish:
    """One thing that comes up in the bucket: its share of the portion, how often, and the unit it is written in."""

    material: str
    share: float
    often: float = 1.0
    unit: str = "g"


@dataclass(frozen=True, slots=True)
class Habits:
    """How the keepers go about it. Weekdays are 0-6 from Monday; chances are a day's, 0-1; ``hour`` is wall clock."""

    hands: tuple[Hand, ...]
    feed_days: tuple[int, ...]
    portion_kg: float
    menu: tuple[Dish, ...]
    hour: str = "18:10"
    look: float = 0.35
    looks_when_feeding: float = 0.7
    meter: float = 0.0
    thermometer: float = 0.0
    ruler: float = 0.0
    scale: float = 0.0
    scale_with_box: bool = False
    left_step: int = 25
    holds_back: float = 0.6
    ramp_days: int = 21
    bedding: str = "shredded-cardboard"
    bedding_kg: float = 0.06
    bedding_unit: str = "g"
    bedding_often: float = 0.3
    bedding_when_wet: float = 0.7
    waters_when_dry: float = 0.8
    water_kg: float = 0.4
    water_unit: str = "cups"
    fluffs: float = 0.05
    spares_in_cold: bool = False
    unlogged: float = 0.02
    blunder: float = 0.01
    mistyped: float = 0.0
    harvest_after: tuple[int, int] | None = None
    harvest_unit: str = "kg"
    away: Days = ()
    busy: Days = ()
    scraps_unit_wobble: float = 0.20


@dataclass(frozen=True, slots=True)
class Deed:
    """Something the story wants done on a day; ``kg`` is what really happens, the log gets what the keeper says of it.

    ``what`` is one of feed, bed, water, fluff, harvest, survey, weigh, ruler, oven, reading, stock, move-out, move-in,
    tip-out, note, check, typo. For harvest ``share`` is the part of the castings taken; for survey ``count`` the
    samples; for ``typo`` a check whose moisture was written a digit short, struck the same evening; a ``reading`` is a
    guess, then the meter (``material`` oven: an oven test) and what is left.
    """

    on: date
    what: str
    material: str = ""
    kg: float = 0.0
    unit: str = "kg"
    by: str = ""
    note: str = ""
    hour: str = ""
    share: float = 0.85
    count: int = 4
    logged: bool = True


@dataclass(frozen=True, slots=True)
class Story:
    """One made-up bin: the box, the place, the keepers, the first and last day, and what happens.

    ``rate`` and ``drying`` are its own factors; ``drift`` lets the rate wander, as a standard deviation a year of its
    logarithm. ``beds`` and ``worms_kg`` are what it starts with (kg fresh), ``water_kg`` soaks it.
    """

    key: str
    name: str
    length_cm: int
    width_cm: int
    depth_cm: int
    drains: bool
    cover: str
    method: str
    site: Site
    habits: Habits
    first: date
    last: date
    beds: tuple[Dish, ...]
    beds_kg: float
    water_kg: float
    worms_kg: float
    worms_unit: str = "kg"
    rate: float = 1.0
    drying: float = 1.0
    drift: float = 0.15
    tare_kg: float | None = None
    lid_open: Days = ()
    deeds: tuple[Deed, ...] = field(default=())

    @property
    def area_m2(self) -> float:
        """Surface of the box, m2."""
        return self.length_cm * self.width_cm / 10_000.0
