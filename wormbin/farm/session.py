"""A farm in one folder, opened: its store, clock, settings and materials, and each bin as it is looked at.

What is asked of a farm and written in it are functions that take the session first, by noun: ``rounds``, ``bins``,
``logbook``, ``recording``, ``feedings``, ``starts``, ``lots``, ``materials``, ``settings``, ``trials``, ``reports``.
Whatever they refuse is a ``RefusedError`` and saves nothing; a store that cannot be used is a ``StoreError``.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import date, datetime, timedelta
from difflib import get_close_matches
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from wormbin.farm.cache.rows import end_of_day
from wormbin.measures import shown, tidy
from wormbin.problems import Problem, RefusedError, UnclearError, did_you_mean
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry
from wormbin.records.farms import Farm, Settings, Units
from wormbin.store import Flaw, StoreError

if TYPE_CHECKING:
    from wormbin.farm.bins.scene import Scene
    from wormbin.farm.cache.kept import Cache
    from wormbin.materials.table import MaterialTable
    from wormbin.records.lots import LotLine
    from wormbin.store import Store

AHEAD_DAYS = 120
"""How far a bin is looked ahead at when nobody says."""
ON_AHEAD_DAYS = 366
"""How far ahead of today a bin may be looked at as of another day."""
Clock = Callable[[], datetime]


def local_clock() -> datetime:
    """The machine's wall clock, aware."""
    return datetime.now().astimezone()


def within_life(on: date, bins: Sequence[Bin], today: date) -> None:
    """Refuse a day on which none of ``bins`` had begun, or that is further ahead than anybody can tell."""
    first = min((one.started for one in bins), default=on)
    last = max(today, first) + timedelta(days=ON_AHEAD_DAYS)
    if not first <= on <= last:
        whose = f"the day {bins[0].name} begins" if len(bins) == 1 else "the day the first bin begins"
        allowed = f"a day from {first.isoformat()}, {whose}, to {last.isoformat()}, a year ahead"
        raise RefusedError(Problem("on", on.isoformat(), allowed, "yesterday"))


class Logs:
    """The logs of a farm's bins; one that cannot be read stays alone."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self.unread: dict[str, StoreError] = {}
        """What could not be read, by the key of the bin ("castings" for the lots)."""
        self.beside: tuple[Flaw, ...] = ()
        """What was noticed by whoever worked bins out beside, in a session of its own."""

    def __iter__(self) -> Iterator[tuple[Bin, tuple[Entry, ...]]]:
        for one in self._session.bins():
            log = self.get(one.key)
            if log is not None:
                yield one, log

    def get(self, key: str) -> tuple[Entry, ...] | None:
        """The log of one bin; None when it cannot be read, which ``unread`` then says."""
        try:
            log = self._session.store.entries(key)
        except StoreError as error:
            self.unread[key] = error
            return None
        self.unread.pop(key, None)
        return log

    def notices(self) -> tuple[Flaw, ...]:
        """What no answer so far could take into account, and what the store noticed; () while it was not opened."""
        session = self._session
        if "store" not in vars(session):
            return ()
        found = []
        for key, error in self.unread.items():
            what = f"{key} cannot be read, and is left out: {error.what}"
            found.append(Flaw(error.path or session.folder, error.line, what, error.do))
        with suppress(StoreError):
            found += session.store.notices()
        known = {_log_of(flaw) for flaw in found}  # whoever read it anew knows less of how it came to be so
        return tuple(dict.fromkeys([*found, *(flaw for flaw in self.beside if _log_of(flaw) not in known)]))


def _log_of(flaw: Flaw) -> tuple[Path, str]:
    """Which log of a year it is about, in whichever of its files."""
    return flaw.path.parent, flaw.path.name[:4]


class Session:
    """A farm opened. ``units`` overrides the farm's own for what is printed.

    ``on`` is the day that everything is asked of where no other is named; None is today by the clock. ``random`` gives
    the bytes of new ids.
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
        self.asked_on = on
        self.asked_units = units
        self.random = random
        self.progress: Callable[[int, int], None] | None = None
        """Told how many bins of how many are worked out, by whoever works out several."""
        self._seen = ""
        self._news = False
        self.logs = Logs(self)
        """The logs of the bins that can be read, and what cannot."""

    @cached_property
    def store(self) -> Store:
        """The store, opened; nothing is created until something is written."""
        from wormbin.store import Store

        store = Store.open(self.folder, clock=self.clock)
        store.lots_hold = self._lots_hold
        return store

    def _lots_hold(self, before: tuple[LotLine, ...], after: tuple[LotLine, ...]) -> None:
        from wormbin.castings.holding import hold

        hold(before, after, self.units)

    @cached_property
    def cache(self) -> Cache:
        """What was worked out already."""
        from wormbin.farm.cache.kept import Cache

        return Cache(self)

    def farm(self) -> Farm:
        """Everything in ``farm.json``."""
        return self.store.farm()

    def settings(self) -> Settings:
        """How this farm is run."""
        settings = self.farm().settings
        return replace(settings, units=Units(self.asked_units)) if self.asked_units else settings

    @property
    def units(self) -> str:
        """Which measures are printed."""
        return self.settings().units.value

    @property
    def table(self) -> MaterialTable:
        """The material table with the keeper's own values over it."""
        return self.cache.table()

    def bins(self) -> tuple[Bin, ...]:
        """The bins, in the order they were started."""
        return tuple(sorted(self.farm().bins, key=lambda one: (one.started, one.key)))

    def bin(self, words: str) -> Bin:
        """The bin meant by a key, a name or the beginning of one. Raises RefusedError with "did you mean"."""
        return find_bin(words, self.farm().bins)

    def entries(self, words: str) -> tuple[Entry, ...]:
        """Every line of a bin's log, struck ones too, in time order."""
        return self.store.entries(self.bin(words).key)

    def changed(self) -> bool:
        """Whether somebody else changed anything on disk since this was last asked; own writes do not count."""
        self.store.watched = self._own_write
        now = self.store.revision()
        before, self._seen = self._seen, now
        news, self._news = self._news, False
        return news or (bool(before) and before != now)

    @contextmanager
    def _own_write(self) -> Iterator[None]:
        """Around an own change, with the lock held: what others wrote before it is news, the change itself is not."""
        with suppress(StoreError):
            self._news = self._news or self.store.revision() != self._seen
        try:
            yield
        finally:
            with suppress(StoreError):
                self._seen = self.store.revision()

    def moment(self, on: date | None) -> datetime:
        """The moment that a day is looked at."""
        now = self.clock()
        return end_of_day(on or self.asked_on or now.date(), now)

    def scene(self, words: str, on: date | None = None, days: int = AHEAD_DAYS) -> Scene:
        """A bin as it is looked at on a day."""
        one, on = self.bin(words), on or self.asked_on
        if on is not None:
            within_life(on, (one,), self.clock().date())
        return self.cache.scene(one, self.moment(on), on, days)

    def together(self, bins: Sequence[Bin], on: date | None = None, days: int = AHEAD_DAYS) -> None:
        """Work several bins out side by side: as fast as a few of them one by one."""
        on = on or self.asked_on
        self.cache.together(bins, self.moment(on), on, days)


def find_bin(words: str, bins: tuple[Bin, ...]) -> Bin:
    """The bin meant. Raises RefusedError with near misses, UnclearError when several begin so."""
    plain = tidy(words).casefold()
    problem = Problem("bin", shown(words), "a bin of this store", bins[0].key if bins else "kitchen")
    for one in bins:
        if plain == one.key:
            return one
    for fits in (
        [one for one in bins if plain == tidy(one.name).casefold()],
        [one for one in bins if plain and (one.key.startswith(plain) or tidy(one.name).casefold().startswith(plain))],
    ):
        if len(fits) == 1:
            return fits[0]
        if fits:
            keys = tuple(one.key for one in fits)
            raise UnclearError(Problem("bin", shown(words), f"the key of one bin: {', '.join(keys)}", keys[0]), keys)
    if not bins:
        raise RefusedError(
            Problem(
                "bin",
                shown(words),
                "the name of a bin. There is none yet: begin one",
                "wormbin start kitchen --length 60cm ...",
            )
        )
    near = get_close_matches(
        plain, [one.key for one in bins] + [tidy(one.name).casefold() for one in bins], n=3, cutoff=0.5
    )
    keys = tuple(
        dict.fromkeys(one.key for name in near for one in bins if name in (one.key, tidy(one.name).casefold()))
    )
    if keys:
        raise UnclearError(did_you_mean("bin", shown(words), "bin", keys), keys)
    listed = ", ".join(one.key for one in bins[:12])
    raise RefusedError(Problem("bin", problem.read, f"one of your bins: {listed}", problem.example))
