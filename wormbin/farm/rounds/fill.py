"""The round of one day while it fills: the rows known at once, and the bins that are still to be worked out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING

from wormbin.farm.views.bin import TroubledBin
from wormbin.farm.views.round import RoundRow
from wormbin.records.bins import Bin
from wormbin.store.errors import Flaw, StoreError
from wormbin.store.outside import stamps

if TYPE_CHECKING:
    from wormbin.farm.session import Session

Made = RoundRow | StoreError


class Filling:
    """Made, and everything but ``beside`` called, on the farm's thread.

    ``only`` limits it to one bin, which then counts as cold also where its row is known and its replay is not, since
    whoever asks for one bin wants to look at it.
    """

    def __init__(self, farm: Session, bins: Sequence[Bin], on: date | None, only: str = "") -> None:
        self._farm = farm
        self._on = on
        self._only = only
        self._found = stamps(farm.folder)
        self._now = farm.clock()
        self.known: list[RoundRow] = []
        self.cold: list[Bin] = []
        self.troubled: list[TroubledBin] = []
        self._tokens: dict[str, str] = {}
        self._beside: tuple[Flaw, ...] | None = None
        for one in bins:
            if only and one.key != only:
                continue
            self._tokens[one.key] = farm.cache.token(one, on)
            row = farm.cache.rows.get(RoundRow, one.key, self._tokens[one.key])
            if row is not None and not (only and self._is_new(one)):
                self.known.append(row)
            else:
                self.cold.append(one)

    @property
    def of(self) -> int:
        """How many bins the round has."""
        return len(self.known) + len(self.cold) + len(self.troubled)

    @property
    def is_long(self) -> bool:
        """Whether some bin must be replayed from its first day, and not only from where it was left last."""
        return any(self._is_new(one) for one in self.cold)

    def _is_new(self, one: Bin) -> bool:
        """Whether nothing is kept of a bin's replay to go on from."""
        from wormbin.farm.cache.beliefs import place_of

        return not (self._farm.folder / "cache" / f"{place_of(one.key)}.json").exists()

    def rest(self) -> Iterator[RoundRow | TroubledBin]:
        """The cold bins one by one, worked out here and kept."""
        for one in tuple(self.cold):
            yield self.take(one, _made(self._farm, one, self._on))

    def beside(self) -> Iterator[tuple[Bin, Made]]:
        """The same by a session of its own, to be called on another thread, so that the farm's stays free.

        It touches nothing of the farm: what is given is to be handed to ``take``.
        """
        from wormbin.farm.session import Session

        own = Session(self._farm.folder, clock=lambda: self._now, units=self._farm.asked_units, on=self._on)
        cold = tuple(self.cold)
        for one in cold:
            yield one, _made(own, one, self._on)
        if cold:
            self._beside = own.logs.notices()

    def take(self, one: Bin, made: Made) -> RoundRow | TroubledBin:
        """Keep a row. A bin whose book cannot be read comes back as troubled."""
        self.cold.remove(one)
        if isinstance(made, StoreError):
            troubled = TroubledBin(one.key, one.name, str(made))
            self.troubled.append(troubled)
            self._farm.logs.unread[one.key] = made
            return troubled
        self._farm.cache.rows.put(one.key, self._tokens[one.key], made)
        self.known.append(made)
        return made

    def end(self) -> None:
        """Keep what was worked out, and today's whole round as the front page of the next start."""
        rows = self._farm.cache.rows
        if self._beside is not None:
            self._farm.logs.beside = (*(self._farm.logs.beside if self._only else ()), *self._beside)
        if not (self.cold or self.troubled or self._only or self._on is not None or self._farm.asked_units):
            settings, bins = self._farm.settings(), [row.bin for row in self.known]
            rows.keep_front(bins, settings.units.value, settings.theme, self._now, self._found)
        rows.flush()


def _made(farm: Session, one: Bin, on: date | None) -> Made:
    from wormbin.farm.bins.row import row

    try:
        return row(farm.scene(one.key, on))
    except StoreError as error:
        return error
