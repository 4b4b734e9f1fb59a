"""Days in their order, each made from its look when it is first wanted: years of log cost only the days looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import cast, overload

from wormbin.process.day import days_of
from wormbin.process.look import Look
from wormbin.process.views import Day


@dataclass(slots=True)
class _Held:
    """A day, or the look of which it is made; shared by all sequences that it lies in."""

    what: Day | Look


class Days(Sequence[Day]):
    """A sequence of ``Day``; a slice is a tuple. What it is given may be days already or looks that become days.

    ``made`` makes days of looks: many at once cost little more than one.
    """

    def __init__(
        self, given: Iterable[Day | Look | _Held], made: Callable[[Sequence[Look]], Sequence[Day]] = days_of
    ) -> None:
        self._held = [each if isinstance(each, _Held) else _Held(each) for each in given]
        self._make = made

    def __len__(self) -> int:
        return len(self._held)

    @overload
    def __getitem__(self, at: int) -> Day: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Day, ...]: ...
    def __getitem__(self, at: int | slice) -> Day | tuple[Day, ...]:
        if isinstance(at, slice):
            return self._made(self._held[at])
        return self._made([self._held[at]])[0]

    def __iter__(self) -> Iterator[Day]:
        return iter(self[:])

    def _made(self, wanted: Sequence[_Held]) -> tuple[Day, ...]:
        looks = [(held, held.what) for held in wanted if isinstance(held.what, Look)]
        for (held, _), day in zip(looks, self._make([look for _, look in looks]), strict=True):
            held.what = day
        return tuple(cast(Day, held.what) for held in wanted)

    def first_on(self) -> date | None:
        """The date of the first day, without making it."""
        return self._held[0].what.on if self._held else None

    def before(self, on: date) -> Days:
        """The days before a date; none is made."""
        return Days((each for each in self._held if each.what.on < on), self._make)

    def and_then(self, others: Days) -> Days:
        """These days and then others; none is made."""
        return Days([*self._held, *others._held], self._make)

    def last(self, count: int) -> Days:
        """The last ``count`` days; none is made."""
        return Days(self._held[-count:] if count > 0 else (), self._make)
