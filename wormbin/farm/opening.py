"""A farm opened: its folder, store, clock and tables, and the bins' scenes, each worked out once a log and hour."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import cached_property
from hashlib import blake2b
from pathlib import Path
from typing import TYPE_CHECKING

from wormbin.farm.cache.front import HOURS, Front
from wormbin.farm.cache.rows import RowCache
from wormbin.farm.names import find_bin
from wormbin.farm.views.round import RoundRow
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry
from wormbin.records.farms import Farm, OnHand, OwnMaterial, Settings, Units
from wormbin.store.errors import StoreError

if TYPE_CHECKING:
    from wormbin.farm.bins.scene import Scene
    from wormbin.farm.cache.beliefs import Memory
    from wormbin.farm.logbook.ledger import Ledger
    from wormbin.materials.table import MaterialTable
    from wormbin.records.lots import LotLine
    from wormbin.store.store import Store

AHEAD_DAYS = 120
"""How far a bin is looked ahead at when nobody says."""
ON_AHEAD_DAYS = 366
"""How far ahead of today a bin may be looked at as of another day."""
Clock = Callable[[], datetime]


def local_clock() -> datetime:
    """The machine's wall clock, aware."""
    return datetime.now().astimezone()


def end_of_day(on: date, now: datetime) -> datetime:
    """The moment at which a bin is looked at on day ``on``: its last second, and today the end of this quarter of it.

    So a figure is the same wherever it is asked for within a quarter, and in the evening the same as on a later day.
    """
    if on == now.date():
        return end_of_quarter(now)
    return (now + timedelta(days=(on - now.date()).days)).replace(hour=23, minute=59, second=59, microsecond=0)


def end_of_quarter(now: datetime) -> datetime:
    """The last second of the quarter of a day that a moment lies in."""
    return now.replace(hour=now.hour // HOURS * HOURS + HOURS - 1, minute=59, second=59, microsecond=0)


def within_life(on: date, bins: Sequence[Bin], today: date) -> None:
    """Refuse a day on which none of ``bins`` had begun, or that is further ahead than anybody can tell."""
    first = min((one.started for one in bins), default=on)
    last = max(today, first) + timedelta(days=ON_AHEAD_DAYS)
    if not first <= on <= last:
        whose = f"the day {bins[0].name} begins" if len(bins) == 1 else "the day the first bin begins"
        allowed = f"a day from {first.isoformat()}, {whose}, to {last.isoformat()}, a year ahead"
        raise RefusedError(Problem("on", on.isoformat(), allowed, "yesterday"))


class OpenFarm:
    """A farm in one folder, opened. ``units`` overrides the farm's own for what is printed.

    ``on`` is the day that everything is asked of where no other is named; None is today by the clock.
    """

    def __init__(
        self,
        folder: Path,
        *,
        clock: Clock = local_clock,
        units: str = "",
        on: date | None = None,
        random: Callable[[int], bytes] = os.urandom,
    ) -> None:
        self.folder = Path(folder)
        self.clock = clock
        self._units = units
        self.asked_on = on
        self._random = random
        self._tables: tuple[tuple[OwnMaterial, ...], MaterialTable] | None = None
        self._scenes: dict[str, tuple[tuple[object, ...], Scene]] = {}
        self.front_kept: tuple[Front, str] | None = None
        self._stock: tuple[object, tuple[OnHand, ...]] | None = None
        self._cured: tuple[object, int | None] | None = None
        self._seen = ""
        self._news = False

    @cached_property
    def store(self) -> Store:
        """The store, opened; nothing is created until something is written."""
        from wormbin.store.store import Store

        store = Store.open(self.folder, clock=self.clock)
        store.lots_hold = self._lots_hold
        return store

    def _lots_hold(self, before: tuple[LotLine, ...], after: tuple[LotLine, ...]) -> None:
        from wormbin.castings.holding import hold

        hold(before, after, self.units)

    @cached_property
    def _memory(self) -> Memory:
        from wormbin.farm.cache.beliefs import Memory

        return Memory(self.store.desk, self.store.revision, lambda: self.table)

    @cached_property
    def kept_rows(self) -> RowCache[RoundRow]:
        """The rows of the round that are known already."""
        return RowCache(self.store.desk, RoundRow)

    def farm(self) -> Farm:
        """Everything in ``farm.json``."""
        return self.store.farm()

    def settings(self) -> Settings:
        """How this farm is run."""
        settings = self.farm().settings
        return replace(settings, units=Units(self._units)) if self._units else settings

    @property
    def asked_units(self) -> str:
        """The measures that this farm was opened with in the place of its own; "" when with its own."""
        return self._units

    def settings_now(self) -> Settings:
        """The same, with what is left of the beddings on hand by the logs."""
        settings = self.settings()
        if all(each.noted is None for each in settings.on_hand):
            return settings
        from wormbin.farm.settings.stock import left

        key = (self.store.revision(), settings.on_hand)
        if self._stock is None or self._stock[0] != key:
            logs = (self.store.entries(one.key) for one in self.farm().bins)
            self._stock = (key, left(settings.on_hand, logs))
        return replace(settings, on_hand=self._stock[1])

    def own_cure_days(self, on: date | None = None) -> int | None:
        """Days from the harvest to the bag as the lots of this farm took up to a day; None while none tells."""
        lines = self.store.lot_lines()
        if not lines:
            return None
        if self._cured is None or self._cured[0] != (lines, on):
            from wormbin.castings.lot import lots
            from wormbin.castings.plan import own_cure_days

            then = [line for line in lines if on is None or line.when.date() <= on]
            self._cured = ((lines, on), own_cure_days(lots(then)))
        return self._cured[1]

    @property
    def units(self) -> str:
        """Which measures are printed."""
        return self.settings().units.value

    @property
    def table(self) -> MaterialTable:
        """The material table with the keeper's own values over it."""
        from wormbin.materials.table import default_table

        own = self.farm().materials
        if self._tables is None or self._tables[0] != own:
            self._tables = (own, default_table().with_own(own) if own else default_table())
        return self._tables[1]

    def bins(self) -> tuple[Bin, ...]:
        """The bins, in the order they were started."""
        return tuple(sorted(self.farm().bins, key=lambda one: (one.started, one.key)))

    def bin(self, words: str) -> Bin:
        """The bin meant by a key, a name or the beginning of one. Raises RefusedError with "did you mean"."""
        return find_bin(words, self.farm().bins)

    def entries(self, words: str) -> tuple[Entry, ...]:
        """Every line of a bin's log, struck ones too, in time order."""
        return self.store.entries(self.bin(words).key)

    def revision(self) -> str:
        """A token that changes when anything on disk changed; cheap enough to ask twice a second."""
        return self.store.revision()

    def changed(self) -> bool:
        """Whether somebody else changed anything on disk since this was last asked; own writes do not count."""
        self.store.watched = self._own_write
        now = self.revision()
        before, self._seen = self._seen, now
        news, self._news = self._news, False
        return news or (bool(before) and before != now)

    @contextmanager
    def _own_write(self) -> Iterator[None]:
        """Around an own change, with the lock held: what others wrote before it is news, the change itself is not."""
        with suppress(StoreError):
            self._news = self._news or self.revision() != self._seen
        try:
            yield
        finally:
            with suppress(StoreError):
                self._seen = self.revision()

    def moment(self, on: date | None) -> datetime:
        """The moment that a day is looked at."""
        now = self.clock()
        return end_of_day(on or self.asked_on or now.date(), now)

    def without(self, scene: Scene, line: str, then: datetime | None = None) -> Scene:
        """The same bin, had this line never been written; ``then``: as of that moment, and nothing later seen or done.

        A replay goes on from there to the end of the quarter, as any look at a bin does.
        """
        entries = [each for each in self.store.entries(scene.bin.key) if then is None or each.when <= then]
        now = scene.now if then is None else end_of_quarter(then)
        past = self._memory.without(line, scene.bin, entries, now, scene.settings.away)
        return replace(scene, now=now, past=past)

    def scene(self, words: str, on: date | None = None, days: int = AHEAD_DAYS) -> Scene:
        """A bin as it is looked at on a day."""
        from wormbin.farm.bins.scene import Scene

        one, on = self.bin(words), on or self.asked_on
        if on is not None:
            within_life(on, (one,), self.clock().date())
        now, settings = self.moment(on), self.settings_now()
        materials = blake2b(repr(self.farm().materials).encode(), digest_size=8).hexdigest()
        cure = self.own_cure_days(on)
        key = (self.store.revision(one.key), one, now.date(), now.hour, settings, materials, days, cure)
        held = self._scenes.get(one.key)
        if held is not None and held[0] == key:
            return held[1]
        past = self._memory.past(one, self.store.entries(one.key), now, materials, settings.away)
        scene = Scene(one, past, now, settings, self.table, days, cure)
        self._scenes[one.key] = (key, scene)
        return scene

    def row_token(self, one: Bin, on: date | None) -> str:
        """What a row of the round holds for."""
        on, now = on or self.asked_on, self.moment(on)
        parts = (
            self.store.revision(one.key),
            one,
            self.settings(),
            self.farm().materials,
            now.date(),
            now.hour // HOURS,
            self.own_cure_days(on),
        )
        return blake2b(repr(parts).encode(), digest_size=16).hexdigest()

    def ledger(self) -> Ledger:
        """The log, to be written in."""
        from wormbin.farm.logbook.ledger import Ledger

        return Ledger(self.store, self.farm(), self.table, self.clock(), self.units, self._random)
