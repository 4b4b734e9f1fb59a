"""The round of one day while it fills: the rows known at once, and the others, worked out beside by more hands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from wormbin.farm.cache.front import Front, keep_front
from wormbin.farm.cache.rows import row_token
from wormbin.farm.rounds.pool import LEAST_BINS, rows_of
from wormbin.farm.views.bin import TroubledBin
from wormbin.farm.views.round import RoundRow
from wormbin.records.bins import Bin
from wormbin.store.errors import StoreError
from wormbin.store.outside import stamps

if TYPE_CHECKING:
    from wormbin.farm.session import Session


@dataclass(frozen=True, slots=True)
class Cold:
    """A bin whose row is not known, and what the row will hold for."""

    bin: Bin
    token: str


@dataclass(frozen=True, slots=True)
class Given:
    """What a hand made of a cold bin: its row, an error, or None where it must be done here."""

    cold: Cold
    row: RoundRow | StoreError | None


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
        self._units = farm.asked_units
        self.known: list[RoundRow] = []
        self.cold: list[Cold] = []
        self.troubled: list[TroubledBin] = []
        for one in bins:
            if only and one.key != only:
                continue
            token = row_token(farm, one, on)
            row = farm.cache.rows.get(one.key, token)
            if row is not None and not (only and self._is_new(one)):
                self.known.append(row)
            else:
                self.cold.append(Cold(one, token))

    @property
    def of(self) -> int:
        """How many bins the round has."""
        return len(self.known) + len(self.cold) + len(self.troubled)

    @property
    def is_long(self) -> bool:
        """Whether some bin must be replayed from its first day, and not only from where it was left last."""
        return any(self._is_new(cold.bin) for cold in self.cold)

    def _is_new(self, one: Bin) -> bool:
        """Whether nothing is kept of a bin's replay to go on from."""
        from wormbin.farm.cache.beliefs import place_of

        return not (self._farm.folder / "cache" / f"{place_of(one.key)}.json").exists()

    def beside(self, least: int = LEAST_BINS) -> Iterator[Given]:
        """The cold bins one by one, worked out in other processes where ``least`` are cold; on any thread.

        It touches nothing of the farm: what is given is to be handed to ``take``.
        """
        keys = [cold.bin.key for cold in self.cold]
        rows = rows_of(self._farm.folder, keys, self._now, self._on, self._units, least)
        for cold, row in zip(tuple(self.cold), rows, strict=True):
            yield Given(cold, row)

    def take(self, given: Given) -> RoundRow | TroubledBin:
        """Keep a row; work it out where no hand could. A bin whose book cannot be read comes back as troubled."""
        one = given.cold.bin
        made = given.row if given.row is not None else self._made(one)
        self.cold.remove(given.cold)
        if isinstance(made, StoreError):
            troubled = TroubledBin(one.key, one.name, str(made))
            self.troubled.append(troubled)
            self._farm.unread[one.key] = made
            return troubled
        self._farm.cache.rows.put(one.key, given.cold.token, made)
        self.known.append(made)
        return made

    def _made(self, one: Bin) -> RoundRow | StoreError:
        from wormbin.farm.bins.row import row

        try:
            return row(self._farm.scene(one.key, self._on))
        except StoreError as error:
            return error

    def end(self) -> None:
        """Keep what was worked out, and today's whole round as the front page of the next start."""
        self._farm.cache.rows.flush()
        if self.cold or self.troubled or self._only or self._on is not None or self._units:
            return
        settings = self._farm.settings()
        front = Front(self._now.date(), tuple(self.known), settings.units.value, settings.theme)
        if (front, self._found) != self._farm.cache.front_kept:
            keep_front(self._farm.store.desk, front, self._now, self._found)
            self._farm.cache.front_kept = (front, self._found)
