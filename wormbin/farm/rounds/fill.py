"""The round of one day while it fills: the rows known at once, and the bins that are still to be worked out.

The same for what lies farther ahead than the round looks: then it fills with the harvests to come.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING

from wormbin.farm.cache.rows import ComingRows, Dues
from wormbin.farm.rounds.workdays import layout
from wormbin.farm.views.bin import TroubledBin
from wormbin.farm.views.round import Layout, RoundRow
from wormbin.records.bins import Bin
from wormbin.store import Flaw, StoreError, stamps

if TYPE_CHECKING:
    from wormbin.farm.session import Session

Made = tuple[RoundRow | ComingRows | Dues, ...] | StoreError
"""What came of a bin: its row first, and what was worked out with it; or why it cannot be read."""
AT_ONCE = 16
"""So many bins are worked out side by side."""
DUE_DAYS = 60
"""So far ahead is kept beside a row what falls due."""


class Filling:
    """Made, and everything but ``beside`` called, on the farm's thread.

    ``only`` limits it to one bin, which then counts as cold also where its row is known and its replay is not, since
    whoever asks for one bin wants to look at it. ``far`` looks so many days ahead, and ``coming`` fills in place of
    ``known``.
    """

    def __init__(self, farm: Session, bins: Sequence[Bin], on: date | None, only: str = "", far: int = 0) -> None:
        self._farm = farm
        self._on = on
        self._only = only
        self._far = far
        self._found = stamps(farm.folder)
        self._now = farm.clock()
        self.known: list[RoundRow] = []
        self.coming: list[ComingRows] = []
        self.cold: list[Bin] = []
        self.troubled: list[TroubledBin] = []
        self.layout: Layout | None = None
        self._tokens: dict[str, str] = {}
        self._beside: tuple[Flaw, ...] | None = None
        self._odd: set[str] = set()
        self._guessing = on is None and farm.settings().guess_first
        for one in bins:
            if only and one.key != only:
                continue
            self._tokens[one.key] = token = farm.cache.token(one, on) + (f"/{far}" if far else "")
            row = farm.cache.rows.get(ComingRows if far else RoundRow, one.key, token)
            if row is not None and not (only and self._is_new(one)):
                self._add(row)
            else:
                self.cold.append(one)

    @property
    def of(self) -> int:
        """How many bins the round has."""
        return len(self.known) + len(self.coming) + len(self.cold) + len(self.troubled)

    @property
    def is_long(self) -> bool:
        """Whether some bin must be replayed from its first day, and not only from where it was left last."""
        return any(self._is_new(one) for one in self.cold)

    def _is_new(self, one: Bin) -> bool:
        """Whether nothing is kept of a bin's replay to go on from."""
        from wormbin.farm.cache.beliefs import place_of

        return not (self._farm.folder / "cache" / f"{place_of(one.key)}.json").exists()

    def _add(self, row: object) -> None:
        if isinstance(row, RoundRow):
            self.known.append(self._before_guess(row))
        elif isinstance(row, ComingRows):
            self.coming.append(row)

    def _before_guess(self, row: RoundRow) -> RoundRow:
        if not self._guessing:
            return row
        from wormbin.farm.guesses import covered, wanted

        return covered(row) if wanted(self._farm, row.bin) else row

    def rest(self) -> Iterator[RoundRow | ComingRows | TroubledBin]:
        """The cold bins one by one, worked out here and kept."""
        for one, made in self._each(self._farm):
            yield self.take(one, made)

    def beside(self) -> Iterator[tuple[Bin, Made]]:
        """The same by a session of its own, to be called on another thread, so that the farm's stays free.

        It touches nothing of the farm: what is given is to be handed to ``take``.
        """
        from wormbin.farm.session import Session

        own = Session(self._farm.folder, clock=lambda: self._now, units=self._farm.asked_units, on=self._on)
        any_cold = bool(self.cold)
        yield from self._each(own)
        if any_cold:
            self._beside = own.logs.notices()

    def _each(self, farm: Session) -> Iterator[tuple[Bin, Made]]:
        """What comes of each cold bin; the first alone, since somebody waits for it, the others some at a time."""
        from wormbin.farm.session import AHEAD_DAYS

        cold = tuple(self.cold)
        for first in (0, *range(1, len(cold), AT_ONCE)):
            some = cold[first : first + AT_ONCE] if first else cold[:1]
            if len(some) > 1:
                farm.together(some, self._on, self._far or AHEAD_DAYS)
            for one in some:
                made = _made(farm, one, self._on, self._far)
                if farm.store.noticed(one.key):
                    self._odd.add(one.key)
                yield one, made

    def take(self, one: Bin, made: Made) -> RoundRow | ComingRows | TroubledBin:
        """Keep a row. A bin whose book cannot be read comes back as troubled."""
        self.cold.remove(one)
        if isinstance(made, StoreError):
            troubled = TroubledBin(one.key, one.name, str(made))
            self.troubled.append(troubled)
            self._farm.logs.unread[one.key] = made
            return troubled
        cache, token = self._farm.cache, self._tokens[one.key]
        for each in made:
            if one.key not in self._odd:  # its book is read anew at each start, so that what is odd is told each time
                (cache.dues if isinstance(each, Dues) else cache.rows).put(one.key, token, each)
            self._add(each)
        return (self.coming if self._far else self.known)[-1]

    def laid_out(self) -> tuple[RoundRow, ...]:
        """The rows known, with the work on all of them laid out as soon as it has ended."""
        return tuple(self.known) if self.layout is None else self.layout.over(self.known)

    def end(self) -> None:
        """Keep what was worked out, and today's whole round as the front page of the next start."""
        rows = self._farm.cache.rows
        if not (self.cold or self._only or self._far):
            self.layout = layout(self._farm, self.known, self._on)
            if self._on is not None:
                rows.put(self._on.isoformat(), self._on.isoformat(), self.layout)
        if self._beside is not None:
            self._farm.logs.beside = (*(self._farm.logs.beside if self._only else ()), *self._beside)
        if self.layout is not None and not (self.troubled or self._on is not None or self._farm.asked_units):
            rows.put("", self._now.date().isoformat(), self.layout)
            settings, bins = self._farm.settings(), [row.bin for row in self.known]
            if not self._guessing:  # else it would show at once what is to be guessed
                rows.keep_front(bins, settings.units.value, settings.theme, self._now, self._found)
        rows.flush()
        self._farm.cache.dues.flush()


def _made(farm: Session, one: Bin, on: date | None, far: int) -> Made:
    from wormbin.farm.bins.row import coming_rows, row
    from wormbin.farm.rounds.week import dues, meals

    try:
        if far:
            return (ComingRows(one.key, coming_rows(farm.scene(one.key, on, far))),)
        scene = farm.scene(one.key, on)
        return row(scene), Dues(one.key, tuple(dues(scene, DUE_DAYS)), meals(scene))
    except StoreError as error:
        return error
