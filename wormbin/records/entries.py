"""The lines of the log: what was seen or done, once validated. One frozen class a kind, in one ``Entry`` envelope."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from typing import Any

from wormbin.records.bins import NOTHING_MORE


class Kind(StrEnum):
    """The one list of entry kinds, for records, commands and files."""

    STOCKING = "stocking"
    BEDDING = "bedding"
    FEEDING = "feeding"
    WATERING = "watering"
    DRAINING = "draining"
    CHECK = "check"
    WEIGHING = "weighing"
    SURVEY = "survey"
    MOVE = "move"
    FLUFF = "fluff"
    NOTE = "note"
    HARVEST = "harvest"


class MoistureBy(StrEnum):
    """What a moisture reading was taken with."""

    METER = "meter"
    OVEN = "oven"
    SQUEEZE = "squeeze"


class Squeeze(StrEnum):
    """What a handful of bedding does when it is squeezed."""

    DRY = "dry"
    DAMP = "damp"
    SPONGE = "sponge"
    DRIPPING = "dripping"


@dataclass(frozen=True, slots=True)
class Portion:
    """An amount of one material: its key in the material table, fresh mass in kg, and what the keeper said.

    ``moisture`` (fraction, wet basis) stands in for the table's value when the keeper knows better (soaked bedding).
    """

    material: str
    kg: float
    said: str = ""
    moisture: float | None = None


@dataclass(frozen=True, slots=True)
class Stocking:
    """Worms put in (``worms_kg`` > 0, live) or taken out for sale (``worms_kg`` < 0)."""

    worms_kg: float
    worms_count: int | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Bedding:
    """Bedding put in."""

    portions: tuple[Portion, ...]


@dataclass(frozen=True, slots=True)
class Feeding:
    """Feed put in."""

    portions: tuple[Portion, ...]


@dataclass(frozen=True, slots=True)
class Watering:
    """Water put in, kg."""

    kg: float
    said: str = ""


@dataclass(frozen=True, slots=True)
class Draining:
    """Water let out at the base, kg."""

    kg: float
    said: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """What was seen on opening the bin; every field may be missing.

    ``moisture`` and ``left`` (of the last feeding, by eye) are fractions, ``contents_m`` is the ruler, ``temp_c`` the
    bedding's own temperature. A ``moisture`` by oven may carry the wet and dry grams it was worked out from.
    """

    moisture: float | None = None
    moisture_by: MoistureBy | None = None
    squeeze: Squeeze | None = None
    temp_c: float | None = None
    left: float | None = None
    contents_m: float | None = None
    smell: str = ""
    seen: tuple[str, ...] = ()
    ph: float | None = None


@dataclass(frozen=True, slots=True)
class Weighing:
    """Mass of what is in the bin, kg; ``with_box`` when the box was on the scale and its tare must come off."""

    kg: float
    with_box: bool = False
    said: str = ""


@dataclass(frozen=True, slots=True)
class Sample:
    """Worms found in one sample of ``area_m2``: a live mass in kg, a count, or both."""

    area_m2: float
    worms_kg: float | None = None
    worms_count: int | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Survey:
    """A worm survey: one or more equal-area samples taken on one occasion."""

    samples: tuple[Sample, ...]


@dataclass(frozen=True, slots=True)
class Move:
    """Worms moved between bins, live kg; ``into`` is True in the receiving bin's book, ``other`` is the other bin.

    The two halves share an id but for a trailing ``~`` on the receiving one, and are saved together or not at all.
    """

    worms_kg: float
    other: str
    into: bool = False
    said: str = ""


@dataclass(frozen=True, slots=True)
class Fluff:
    """The contents were lifted and loosened."""


@dataclass(frozen=True, slots=True)
class Note:
    """Words only; or, with both days, that nobody knows what was done from ``unknown_from`` to ``unknown_until``.

    Both days are included. The model takes them to have gone on about as usual, with a wide doubt.
    """

    unknown_from: date | None = field(default=None, repr=False)
    unknown_until: date | None = field(default=None, repr=False)


@dataclass(frozen=True, slots=True)
class Harvest:
    """Castings taken off, wet kg, with their moisture (fraction) if known and the live kg of worms lost with them.

    ``lot`` is the lot they went into, if any; the castings book then holds the other half of this line. ``left_behind``
    is the share (0-1) of all the castings there were that stayed in the bin, by eye.
    """

    castings_kg: float
    moisture: float | None = None
    worms_out_kg: float | None = None
    said: str = ""
    lot: str = ""
    left_behind: float | None = None


What = Stocking | Bedding | Feeding | Watering | Draining | Check | Weighing | Survey | Move | Fluff | Note | Harvest

KIND_OF: Mapping[type[What], Kind] = {
    Stocking: Kind.STOCKING,
    Bedding: Kind.BEDDING,
    Feeding: Kind.FEEDING,
    Watering: Kind.WATERING,
    Draining: Kind.DRAINING,
    Check: Kind.CHECK,
    Weighing: Kind.WEIGHING,
    Survey: Kind.SURVEY,
    Move: Kind.MOVE,
    Fluff: Kind.FLUFF,
    Note: Kind.NOTE,
    Harvest: Kind.HARVEST,
}


@dataclass(frozen=True, slots=True)
class Strike:
    """Why, by whom and when a line was struck through; the line itself stays."""

    why: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a bin's log.

    ``when`` is aware; its own wall-clock date is the day it belongs to. With ``day_only`` nobody said a time: it then
    stands at noon, and is shown without one. ``order`` counts the lines of a year-book as they were written down (0:
    not written down yet); it is no part of what the line says. ``compartment`` is 1-based, 0 when not said.
    ``replaces`` is the id of the line that this one amends. ``extra`` keeps fields that a newer program wrote, and what
    happened to the line before (a strike taken back); a dict there must not make the record one that cannot be hashed.
    """

    id: str
    bin: str
    when: datetime
    what: What
    by: str = ""
    note: str = ""
    compartment: int = 0
    replaces: str = ""
    struck: Strike | None = None
    extra: Mapping[str, Any] = field(default=NOTHING_MORE, hash=False)
    day_only: bool = False
    order: int = field(default=0, compare=False)

    @property
    def kind(self) -> Kind:
        """The entry's kind, as written in files and commands."""
        return KIND_OF[type(self.what)]


RANK = {
    Kind.CHECK: 0, Kind.WEIGHING: 0, Kind.SURVEY: 0, Kind.DRAINING: 1, Kind.HARVEST: 2, Kind.BEDDING: 3,
    Kind.WATERING: 4, Kind.MOVE: 5, Kind.STOCKING: 6, Kind.FEEDING: 7, Kind.FLUFF: 8, Kind.NOTE: 9,
}  # fmt: skip
"""What comes first where nobody said so: what is seen is true of the bin before anything is done to it, and worms go
in after their bed."""


def in_time_order(entries: tuple[Entry, ...] | list[Entry]) -> tuple[Entry, ...]:
    """Entries by moment, and within a moment as they were written down, so that a log has one order everywhere.

    Lines of one day without a time come after a line of that very noon, by what must come first, then as written. Ties
    (lines not written down yet, copies joined) go by what must come first, then by id.
    """
    return tuple(sorted(entries, key=_place))


def _place(entry: Entry) -> tuple[datetime, bool, int, int, int, str]:
    rank = RANK[entry.kind]
    return entry.when, entry.day_only, rank if entry.day_only else 0, entry.order, rank, entry.id


def standing(entries: tuple[Entry, ...] | list[Entry]) -> tuple[Entry, ...]:
    """The lines that count: not struck, and not replaced by a line that stands itself; in time order."""
    unstruck = [entry for entry in entries if entry.struck is None]
    replaced = {entry.replaces for entry in unstruck if entry.replaces}
    return in_time_order([entry for entry in unstruck if entry.id not in replaced])
