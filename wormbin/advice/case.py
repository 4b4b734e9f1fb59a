"""Everything that a rule may look at: one bin, its days so far and ahead, its log, and the farm's settings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol

from wormbin.materials.material import Material
from wormbin.process.views import Ahead, Day, Judged
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry
from wormbin.records.farms import Settings
from wormbin.records.habits import Silence


class Table(Protocol):
    """The material table, as far as advice needs it."""

    def get(self, key: str) -> Material:
        """The material with this key; raises RefusedError when there is none."""

    def __iter__(self) -> Iterator[Material]:
        """All materials."""


@dataclass(frozen=True, slots=True)
class Case:
    """One bin on one day, as the rules see it.

    ``history`` holds one ``Day`` a day up to and including ``today`` (the last one); ``ahead`` is the look-ahead under
    the planned feedings; ``entries`` are the standing lines of the log in time order; ``unfed`` is the same look-ahead
    with no feedings at all, from which "no feed until" is read. ``lasts_until`` is the day until which a feeding of
    today is to last, and ``feed_days`` are the days to come on which the keeper feeds; both empty when nobody planned.
    ``own_cure_days`` is how long the keeper's own lots took from the harvest to the bag; None while none tells.
    """

    bin: Bin
    now: datetime
    today: Day
    history: Sequence[Day]
    ahead: Ahead
    unfed: Ahead
    entries: tuple[Entry, ...]
    judged: tuple[Judged, ...]
    settings: Settings
    table: Table
    lasts_until: date | None = None
    feed_days: tuple[date, ...] = ()
    own_cure_days: int | None = None
    silence: Silence | None = None
    """Days of which nobody knows what was done, where they run until yesterday or the last look ended them."""

    @property
    def on(self) -> date:
        """The day asked about."""
        return self.now.date()
