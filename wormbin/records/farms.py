"""The farm as a whole: its bins, keepers, own materials and settings, as kept in one small file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Any

from wormbin.records.bins import NOTHING_MORE, Bin


class Units(StrEnum):
    """Which measures are printed; both are always read."""

    METRIC = "metric"
    US = "us"


JOBS = ("feed", "check", "water", "measure", "tidy")
"""What pupils do at a bin; those of ``QUICK`` fit into a half day."""
QUICK = ("feed", "check")
MOST_TOGETHER = 4


KEYS = {
    "check": "c", "feed": "f", "write": "e", "emergency": "!", "what_if": "w", "away": "y", "troubles": "t",
    "catch_up": "K", "harvests": "h", "hand_out": "E", "compare": "V", "castings": "H", "week": "W", "mix": "x",
    "materials": "g", "sheet": "p", "bed": "O", "pupil": "C", "wall": "P", "many": "M", "guesses": "G", "turns": "R",
    "notices": "N", "settings": ",", "start": "b", "bring_in": "I", "undo": "u", "redo": "U",
}  # fmt: skip
"""What can be done with a bin in hand from every place, and its key while no other was said."""


@dataclass(frozen=True, slots=True)
class Job:
    """One of ``JOBS`` and its weekdays (``MO`` ...); without any it is done on every school day, feeding when due."""

    name: str
    days: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Gone:
    """A pupil who is away, both ends included."""

    name: str
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Swap:
    """On one day ``name`` does what was ``other``'s, and the other way round where both had something to do."""

    on: date
    name: str
    other: str


@dataclass(frozen=True, slots=True)
class Turns:
    """How turns are taken; without ``days`` (two letters of RFC 5545) nobody does, and there is no rota.

    ``half_days`` are weekdays or days (``2026-10-23``) on which only the quick jobs are done. ``joined`` is the day
    from which a pupil takes part who came after the first day: level with those who have done least.
    """

    days: tuple[str, ...] = ()
    first: date | None = None
    last: date | None = None
    jobs: tuple[Job, ...] = (Job("feed"), Job("check"))
    together: int = 1
    half_days: tuple[str, ...] = ()
    away: tuple[Gone, ...] = ()
    swaps: tuple[Swap, ...] = ()
    joined: Mapping[str, date] = field(default=NOTHING_MORE, hash=False)


@dataclass(frozen=True, slots=True)
class OwnMaterial:
    """A material of the keeper's own, or own measurements over a row of the table.

    ``values`` holds only what the keeper gave, by the command line's field names (``nitrogen_pct``, ``carbon_pct``,
    ``ash_pct``, ``moisture_pct``, ``bulk_density_kg_m3``, ``pace``, ``role``, ``water_holding``), as text or number.
    """

    key: str
    name: str = ""
    values: Mapping[str, float | str] = field(default=NOTHING_MORE)
    by: str = ""
    extra: Mapping[str, Any] = field(default=NOTHING_MORE, hash=False)


@dataclass(frozen=True, slots=True)
class OnHand:
    """A bedding that the keeper has: fresh kg, and how much of it is already shredded (kg).

    ``noted`` is when that was said; bedding that went into the bins since then is used up. ``used_kg`` is not kept: it
    is worked out whenever the stock is looked at.
    """

    material: str
    kg: float
    shredded_kg: float = 0.0
    noted: datetime | None = None
    used_kg: float = 0.0


@dataclass(frozen=True, slots=True)
class Bucket:
    """A usual bucket: a name and what is in it, in the keeper's own words ("300 g melon rind")."""

    name: str
    portions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Away:
    """Days on which nobody tends the bins, both ends included; ``bin`` empty means all of them."""

    first: date
    last: date
    why: str = ""
    bin: str = ""


LONG_AWAY_DAYS = 5
"""An absence of so many days is prepared for, and the bin is looked at when it is over (ours)."""


def long_absences(away: Iterable[Away], bin_key: str) -> tuple[tuple[date, date], ...]:
    """First and last day of the long absences of a bin, in time order; those that follow on one another are one."""
    spans: list[tuple[date, date]] = []
    for each in sorted((each for each in away if each.bin in ("", bin_key)), key=lambda each: each.first):
        if spans and each.first <= spans[-1][1] + timedelta(days=1):
            spans[-1] = (spans[-1][0], max(spans[-1][1], each.last))
        else:
            spans.append((each.first, each.last))
    return tuple((first, last) for first, last in spans if (last - first).days + 1 >= LONG_AWAY_DAYS)


@dataclass(frozen=True, slots=True)
class Stop:
    """A stop of the walk: where it is, and the bins that stand there, in the order in which they are come to.

    A bin is named by its key, or several by what their keys begin with and a ``*``.
    """

    name: str
    bins: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Put:
    """A harvest that the keeper has put on a day, where it stays."""

    bin: str
    on: date


@dataclass(frozen=True, slots=True)
class Settings:
    """How this farm is run. Moisture as fractions; weekdays as two letters of RFC 5545 (``MO`` ... ``SU``)."""

    units: Units = Units.METRIC
    moisture_low: float = 0.75
    moisture_high: float = 0.85
    feed_days: tuple[str, ...] = ("MO", "TH")
    check_every_days: int = 3
    away: tuple[Away, ...] = ()
    on_hand: tuple[OnHand, ...] = ()
    buckets: tuple[Bucket, ...] = ()
    tares: Mapping[str, float] = field(default=NOTHING_MORE)
    theme: str = ""
    extra: Mapping[str, Any] = field(default=NOTHING_MORE, hash=False)
    measures: Mapping[str, str] = field(default=NOTHING_MORE)
    """The keeper's own measures: ``handful`` or ``handful coffee-grounds``, and the amount that it is ("40 g")."""
    # Nothing that a bin comes to hangs on these, so they are kept out of what tells that a bin is to be worked out.
    currency: str = field(default="", repr=False)
    """What money is said in ("EUR")."""
    hour_rate: float = field(default=0.0, repr=False)
    """What an own hour counts in the costs; nought for nothing."""
    prices: Mapping[str, float] = field(default=NOTHING_MORE, repr=False)
    """What castings are sold for by ``kg``, ``litre`` and ``bag``, and a kg of ``worms``."""
    walk: tuple[Stop, ...] = field(default=(), repr=False)
    hours: tuple[float, ...] = field(default=(), repr=False)
    """Hours that there are for the bins from Monday to Sunday, seven of them; empty while nobody said."""
    curing_room_kg: float | None = field(default=None, repr=False)
    """How much there is room to cure at once; None while nobody said."""
    put: tuple[Put, ...] = field(default=(), repr=False)
    """How the work on all bins is laid out. Nothing that is worked out of one bin rests on it."""
    guess_first: bool = field(default=False, repr=False)
    """Whether a bin's figures are shown only after a guess of the day."""
    keys: Mapping[str, str] = field(default=NOTHING_MORE, repr=False)
    """Keys of the screen that the keeper changed, by what they do."""
    turns: Turns = field(default=Turns(), repr=False)
    """Who does what on which school day. Nothing that is worked out of a bin rests on it, so no cache does either."""


def settings_of(one: Bin, settings: Settings) -> Settings:
    """How this bin is run: the farm's settings with its own feeding days, where it has any."""
    return replace(settings, feed_days=one.feed_days) if one.feed_days else settings


@dataclass(frozen=True, slots=True)
class Farm:
    """Everything in ``farm.json``."""

    bins: tuple[Bin, ...] = ()
    keepers: tuple[str, ...] = ()
    materials: tuple[OwnMaterial, ...] = ()
    settings: Settings = Settings()
    extra: Mapping[str, Any] = field(default=NOTHING_MORE, hash=False)

    def bin(self, key: str) -> Bin | None:
        """The bin with this key, or None."""
        return next((each for each in self.bins if each.key == key), None)
