"""Bins held against each other: what was asked, how far they differ, and whether that is more than noise."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from wormbin.drawing.series import Series
from wormbin.figures import Band
from wormbin.records.kinds.log import Measured
from wormbin.science.paired import Paired


class Verdict(StrEnum):
    """Whether a difference is more than noise."""

    MORE = "more than noise"
    NOT_MORE = "not more than noise"
    NOT_YET = "not yet"


@dataclass(frozen=True, slots=True)
class Side:
    """One bin of a comparison: key, name, what it keeps to; what was put in over its days."""

    bin: str
    name: str
    keeps_to: str
    fed_kg: float
    readings: int


@dataclass(frozen=True, slots=True)
class Difference:
    """One quantity, ``more`` minus ``less`` (positions in ``ComparisonView.sides``), SI in ``unit``.

    ``read`` is what the readings say together, week by week, its interval taken ``within`` that chance; ``made`` the
    difference as it is worked out for the last day, in ``made_unit``, its ends those of its own interval (95 in 100).
    ``made_told`` is False where its interval is wider than anything that the figure could tell. ``words`` and
    ``made_words`` say each in one sentence. ``matters`` is the least difference worth telling.
    """

    about: Measured
    title: str
    unit: str
    read: Paired | None
    within: float
    verdict: Verdict
    weeks_more: int | None
    words: str
    made: Band
    made_unit: str
    made_told: bool
    made_verdict: Verdict
    made_words: str
    matters: float
    charts: tuple[Series, ...]

    @property
    def is_seen(self) -> bool:
        """Whether its charts have anything to show."""
        return any(side.past or side.readings for side in self.charts)


@dataclass(frozen=True, slots=True)
class ComparisonView:
    """A comparison as it stands on ``on``, from ``first`` to ``last``: ``sides[0]`` against each of the others.

    ``entry`` is the line of the log that began it, "" for bins that are only looked at side by side. ``answer`` is the
    one plain sentence, of the first of ``differences``; ``unequal`` are things that differ and should not, ``equal``
    how to start alike.
    """

    entry: str
    question: str
    same: tuple[str, ...]
    first: date
    last: date
    on: date
    sides: tuple[Side, ...]
    differences: tuple[Difference, ...]
    answer: str
    made_answer: str
    agree: str
    unequal: tuple[str, ...]
    equal: tuple[str, ...]
    pairs: str
    harvests: str
    """When the castings of each come off, and whether that can be told apart."""
    units: str

    @property
    def verdict(self) -> Verdict:
        """The answer in one word."""
        return self.differences[0].verdict
