"""One bin as a row of the round: what it holds, and nothing more, so that the first screen loads no other view."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from wormbin.advice.finding import Finding
from wormbin.figures import Band, Basis, Level


@dataclass(frozen=True, slots=True)
class StepView:
    """One dated step of something longer: a harvest's, an absence's, a plan's."""

    on: date
    what: str


@dataclass(frozen=True, slots=True)
class HarvestView:
    """When there will be castings: the 10-90 % dates (None beyond the look-ahead), and the method's steps.

    No day lies in the past but ``due_since``. ``on`` is the day to take them off, ``part`` the tray or half that they
    are taken off ("" in a plain bin).
    """

    earliest: date | None
    likely: date | None
    latest: date | None
    due_since: date | None
    because: str
    """``share`` (the castings have reached the chosen share) or ``full`` (the box is)."""
    method: str
    words: str
    steps: tuple[StepView, ...] = ()
    on: date | None = None
    part: str = ""
    source: str = ""
    """Where the days of the steps come from; "" without steps."""

    @property
    def document(self) -> dict[str, object]:
        """The window by the names of the command line's JSON."""
        names = ("earliest", "likely", "latest", "method", "due_since", "because", "on", "part")
        return {name: getattr(self, name) for name in names}


@dataclass(frozen=True, slots=True)
class ComingRow:
    """One harvest to come, of a bin or of a tray of it, as a plan for castings counts it.

    ``kg`` are the wet castings to be had then, ``on`` is the day to take them off; no other day lies in the past but
    ``due_since``.
    """

    part: str
    kg: Band
    earliest: date | None
    likely: date | None
    latest: date | None
    due_since: date | None
    on: date | None


@dataclass(frozen=True, slots=True)
class RoundRow:
    """One bin in the round: how it is, what to do now, how much, and why."""

    bin: str
    name: str
    level: Level
    headline: str
    """The worst finding in one line, or what stands next when all is well."""
    do: tuple[str, ...]
    """What to do now, first thing first, with amounts in the keeper's units."""
    findings: tuple[Finding, ...]
    feed_waiting_kg: Band
    feed_waiting_days: Band
    feed_waiting_words: str
    moisture: Band
    moisture_basis: Basis
    moisture_age_days: int | None
    """Days since the last moisture reading (squeeze, meter or oven); None when there never was one."""
    worms_kg: Band
    worms_words: str
    harvest: HarvestView
    feed_up_to_kg: float
    feed_up_to_words: str
    next_feeding: date | None
    next_check: date | None
    checked_today: bool
    fed_today: bool
    trend_waiting_kg: tuple[float, ...]
    """The last 30 days' likely values, oldest first, for a sparkline."""
    compartments: int
    minutes: int
    """How long this bin takes on the round."""
    feed_into: str = ""
    """The tray or half that is to be fed; "" in a plain bin."""
    also: tuple[str, ...] = ()
    """What may be done besides in a steady bin; nothing calls for it."""
    mind: str = ""
    """What can hurt somebody at what is to be done: no step, and never to be ticked off."""
    coming: tuple[ComingRow, ...] = ()
    """The harvests to come: one of a plain bin, one of each tray or half."""

    @property
    def done(self) -> bool:
        """Whether somebody has been at this bin today, by a check or a feeding of that day."""
        return self.checked_today or self.fed_today

    @property
    def ticked(self) -> bool:
        """Whether it was seen to: somebody has been there today, and it does not call for action any more."""
        return self.done and self.level is not Level.ACT
