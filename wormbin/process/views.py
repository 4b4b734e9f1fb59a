"""What the model tells the floors above: a bin's day with its bands, the look-ahead, and what each reading was worth.

Frozen and plain: nothing here can be stepped or changed. Masses in kg, depths in m, temperatures in degC, moisture and
shares as fractions. *Feed waiting* is quick, steady and aged feed not yet worked, as the fresh mass it came in as.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from wormbin.figures import Band

FED_DAYS = (2.0, 4.0, 7.0)
"""Days' worth of feed that ``Day.days_if_fed`` is asked for."""
LEFT_DAYS = 2.0
"""Feed counts as worked off once it may be fed again: when no more than so many days' feed lies there (ours). A bin
that is fed as it keeps up has about a third of its last feeding left by then, the most that common practice allows."""


@dataclass(frozen=True, slots=True)
class Layers:
    """Depths from the top down that the cutaway draws, m; their sum is the depth of the contents.

    ``water_m`` is the depth of the base that stands in water; it overlaps the lowest layers.
    """

    feed_m: float
    bedding_m: float
    castings_m: float
    water_m: float

    @property
    def contents_m(self) -> float:
        """Depth of the contents, m."""
        return self.feed_m + self.bedding_m + self.castings_m


@dataclass(frozen=True, slots=True)
class Part:
    """One compartment on one day (1 is the lowest tray, or the left half)."""

    number: int
    layers: Layers
    moisture: Band
    feed_waiting_kg: Band
    worms_kg: Band
    castings_share: Band
    castings_dry_kg: Band
    dry_kg: Band
    total_kg: Band
    free_air_space: Band
    standing_water_kg: Band
    air_reach_m: Band


@dataclass(frozen=True, slots=True)
class Day:
    """A bin at the end of one day (for today: at the moment asked about)."""

    on: date
    day: int
    """Days since the bin was started."""
    moisture: Band
    feed_waiting_kg: Band
    feed_waiting_days: Band
    """How long, fed no more, until it may be fed again (see ``day``): the look-ahead's own sums."""
    slow_waiting_kg: Band
    """Stalks, cobs, stones: fresh mass, listed apart from the feed waiting."""
    worms_kg: Band
    appetite_kg_day: Band
    """Fresh kg of a usual feed a day that the bin can keep up with at this day's warmth and moisture."""
    processed_kg_day: Band
    """Dry matter eaten and decayed, kg/day."""
    castings_dry_kg: Band
    castings_share: Band
    dry_kg: Band
    total_kg: Band
    free_air_space: Band
    air_reach_m: Band
    """How deep air reaches against the oxygen being used (``science.response``)."""
    contents_m: Band
    temp_c: Band
    heat_rise_c: Band
    """How far the bin is above its site from its own heat."""
    cn: Band
    """Of unfinished matter (all pools but castings)."""
    standing_water_kg: Band
    fullness: Band
    """Depth of contents over depth of the box."""
    layers: Layers
    parts: tuple[Part, ...] = ()
    days_if_fed: tuple[tuple[float, float], ...] = ()
    """What would wait, kg, and the same days for it, were it given its appetite of each of ``FED_DAYS`` at once now."""


FULL_WEIGHT = 0.75
"""A reading that counts less than this is told to count less, wherever it is shown; ours."""


@dataclass(frozen=True, slots=True)
class Judged:
    """One reading from the log held against what the model believed just before it.

    ``quantity`` is ``moisture``, ``left``, ``total_kg``, ``worms_kg``, ``contents_m``, ``temp_c``, ``castings_kg`` or
    ``ph``. ``weight`` is 1 for a reading taken at face value, towards 0 for one that does not fit; ``questioned`` when
    it is so far out that the keeper should be asked. ``taken`` is what the model held likely once it was taken in; None
    where that says nothing of its own.
    """

    entry: str
    when: datetime
    quantity: str
    read: float
    expected: Band
    spread: float
    weight: float
    questioned: bool
    by: str = ""
    taken: float | None = None

    @property
    def doubted(self) -> bool:
        """Whether it counts so much less than one that fits that this must be told beside it."""
        return self.weight < FULL_WEIGHT


@dataclass(frozen=True, slots=True)
class Learned:
    """What the log has taught about this bin: factors against the book (1.0), with bands."""

    rate: Band
    drying: Band
    worms_apart: bool
    """Whether a survey or weighing lets rate and worm mass be told apart; else only their product is known."""
    readings_used: int
    held: tuple[int, int] = (0, 0)
    """Of how many of the last readings so many lay in the band, eight times in ten, that was made before."""


SWAY = 0.16
"""How far, on the logit scale, the castings' share rises over its own middle course between feedings: the 95th of a
hundred days, against a mean of 41 days, of made-up bins of two families (seed 9203; sd 0.11)."""


def touched_at(share: float) -> float:
    """Where the middle course of the castings' share stands when, going up and down, it first touches ``share``."""
    return share / (share + (1.0 - share) * math.exp(SWAY))


@dataclass(frozen=True, slots=True)
class Window:
    """When the castings reach the chosen share (or the bin is full): dates, or None beyond the look-ahead.

    ``due_since`` is the first day on which the likely estimate had reached it, once it has; ``because`` is ``share`` or
    ``full``.
    """

    earliest: date | None
    likely: date | None
    latest: date | None
    due_since: date | None = None
    because: str = "share"


@dataclass(frozen=True, slots=True)
class Ahead:
    """The look-ahead from today: one ``Day`` a day under the planned feedings, and the harvest window."""

    days: Sequence[Day]
    harvest: Window
    plan: tuple[Planned, ...]


@dataclass(frozen=True, slots=True)
class Planned:
    """Something that the look-ahead assumes will be done: fresh kg of the usual feed, bedding, or water on a day.

    ``material`` is what the feed is, ``bedding`` what the bedding is; empty is what this bin usually gets.
    """

    on: date
    feed_kg: float = 0.0
    bedding_kg: float = 0.0
    water_kg: float = 0.0
    material: str = ""
    compartment: int = 0
    bedding: str = ""


@dataclass(frozen=True, slots=True)
class Mass:
    """Dry matter by element, and water, kg; for the balance of what went in, out and is still there."""

    dry: float
    carbon: float
    nitrogen: float
    ash: float
    water: float
