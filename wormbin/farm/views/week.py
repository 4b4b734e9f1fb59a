"""The work on all bins spread over days: frozen views, minutes with the words of each job."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

LEAST_OVER = 3
"""Fewer minutes too much on a day are not told."""


@dataclass(frozen=True, slots=True)
class JobView:
    """One thing to do on a day, and about how long it takes. ``bin`` is "" for what is about a lot.

    ``put`` is whether the keeper put it on this day; ``due`` the day on which it could have been done, where it has to
    wait for time or room; ``harvest`` whether it is the one of a bin, which may be moved.
    """

    bin: str
    name: str
    what: str
    minutes: int
    put: bool = False
    due: date | None = None
    harvest: bool = False


@dataclass(frozen=True, slots=True)
class WorkDay:
    """One day: the minutes that there are, those of looking in and feeding, and the jobs."""

    on: date
    minutes: int
    walk_minutes: int
    jobs: tuple[JobView, ...]
    feeds: bool = True
    """Whether any bin is fed on it."""

    @property
    def taken(self) -> int:
        """Minutes of all of it together."""
        return self.walk_minutes + sum(each.minutes for each in self.jobs)

    @property
    def over(self) -> int:
        """Minutes more than there are; nought where it is no more than the sums can tell."""
        over = self.taken - self.minutes
        return over if over >= LEAST_OVER else 0


@dataclass(frozen=True, slots=True)
class WeekView:
    """The days to come, in order. ``words`` say what the minutes and days rest on."""

    on: date
    days: tuple[WorkDay, ...]
    words: tuple[str, ...]
