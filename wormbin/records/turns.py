"""Whose turn it is at a school: the days of the term, the jobs, who is away, who changed with whom."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from wormbin.records.bins import NOTHING_MORE

JOBS = ("feed", "check", "water", "measure", "tidy")
"""What pupils do at a bin; those of ``QUICK`` fit into a half day."""
QUICK = ("feed", "check")
MOST_TOGETHER = 4


@dataclass(frozen=True, slots=True)
class Job:
    """One of ``JOBS`` and its weekdays (``MO`` ...); without any it is done on every school day, feeding when due."""

    name: str
    days: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Gone:
    """A pupil who is away, both ends included."""

    name: str
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Swap:
    """On one day ``name`` does what was ``other``'s, and the other way round where both had something to do."""

    on: date
    name: str
    other: str


@dataclass(frozen=True, slots=True)
class Turns:
    """How turns are taken; without ``days`` (two letters of RFC 5545) nobody does, and there is no rota.

    ``half_days`` are weekdays or days (``2026-10-23``) on which only the quick jobs are done. ``joined`` is the day
    from which a pupil takes part who came after the first day: level with those who have done least.
    """

    days: tuple[str, ...] = ()
    first: date | None = None
    last: date | None = None
    jobs: tuple[Job, ...] = (Job("feed"), Job("check"))
    together: int = 1
    half_days: tuple[str, ...] = ()
    away: tuple[Gone, ...] = ()
    swaps: tuple[Swap, ...] = ()
    joined: Mapping[str, date] = field(default=NOTHING_MORE, hash=False)
