"""The lines of the log: what was seen or done, once validated, in one ``Entry`` envelope."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from wormbin.records.bins import NOTHING_MORE
from wormbin.records.kinds.log import (
    LOG_KINDS as LOG_KINDS, NO_LOOK as NO_LOOK, Bedding as Bedding, Check as Check, Comparison as Comparison,
    Draining as Draining, Feeding as Feeding, Fluff as Fluff, Guess as Guess, Harvest as Harvest, Kind as Kind,
    MoistureBy as MoistureBy, Move as Move, Note as Note, Portion as Portion, Sample as Sample, Squeeze as Squeeze,
    Stocking as Stocking, Survey as Survey, Watering as Watering, Weighing as Weighing, What as What,
)  # fmt: skip


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
        return LOG_KINDS[type(self.what)].kind


def in_time_order(entries: tuple[Entry, ...] | list[Entry]) -> tuple[Entry, ...]:
    """Entries by moment, and within a moment as they were written down, so that a log has one order everywhere.

    Lines of one day without a time come after a line of that very noon, by what must come first, then as written. Ties
    (lines not written down yet, copies joined) go by what must come first, then by id.
    """
    return tuple(sorted(entries, key=_place))


def _place(entry: Entry) -> tuple[datetime, bool, int, int, int, str]:
    rank = LOG_KINDS[type(entry.what)].rank
    return entry.when, entry.day_only, rank if entry.day_only else 0, entry.order, rank, entry.id


def standing(entries: tuple[Entry, ...] | list[Entry]) -> tuple[Entry, ...]:
    """The lines that count: not struck, and not replaced by a line that stands itself; in time order."""
    unstruck = [entry for entry in entries if entry.struck is None]
    replaced = {entry.replaces for entry in unstruck if entry.replaces}
    return in_time_order([entry for entry in unstruck if entry.id not in replaced])


def worms_out_kg(what: What) -> float:
    """Live kg that leave a bin by a line; 0 when none do."""
    match what:
        case Stocking(worms_kg=kg):
            return max(0.0, -kg)
        case Move(worms_kg=kg, into=into):
            return 0.0 if into else kg
        case Harvest(worms_out_kg=kg):
            return kg or 0.0
    return 0.0
