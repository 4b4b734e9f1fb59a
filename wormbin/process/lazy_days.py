"""Days in their order, each made from its look when it is first wanted: years of log cost only the days looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from typing import cast, overload

from wormbin.process.day import days_of
from wormbin.process.look import Look
from wormbin.process.views import Day


class Days(Sequence[Day]):
    """A sequence of ``Day``; a slice is a tuple. What it is given may be days already or looks that become days.

    ``made`` makes days of looks: many at once cost little more than one.
    """

    def __init__(self, given: Iterable[Day | Look], made: Callable[[Sequence[Look]], Sequence[Day]] = days_of) -> None:
        self._held: list[Day | Look] = list(given)
        self._make = made

    def __len__(self) -> int:
        return len(self._held)

    @overload
    def __getitem__(self, at: int) -> Day: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Day, ...]: ...
    def __getitem__(self, at: int | slice) -> Day | tuple[Day, ...]:
        if isinstance(at, slice):
            return self._made(list(range(*at.indices(len(self._held)))))
        return self._made([at])[0]

    def __iter__(self) -> Iterator[Day]:
        return iter(self[:])

    def _made(self, places: Sequence[int]) -> tuple[Day, ...]:
        looks = {at: held for at in places if isinstance(held := self._held[at], Look)}
        for at, day in zip(looks, self._make(list(looks.values())), strict=True):
            self._held[at] = day
        return tuple(cast(Day, self._held[at]) for at in places)

    def first_on(self) -> date | None:
        """The date of the first day, without making it."""
        return self._held[0].on if self._held else None

    def before(self, on: date) -> Days:
        """The days before a date; none is made."""
        return Days((each for each in self._held if each.on < on), self._make)

    def and_then(self, others: Days) -> Days:
        """These days and then others; none is made."""
        return Days([*self._held, *others._held], self._make)

    def last(self, count: int) -> Days:
        """The last ``count`` days; none is made."""
        return Days(self._held[-count:] if count > 0 else (), self._make)
