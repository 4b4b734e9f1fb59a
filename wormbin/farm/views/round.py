"""One bin as a row of the round: what it holds, and nothing more, so that the first screen loads no other view."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from wormbin.advice.finding import Doing, Finding
from wormbin.figures import Band, Basis, Level
from wormbin.measures.dates import time_words

RESTS = frozenset({Doing.STOP, Doing.HARVEST, Doing.NEW_BED, Doing.WITH_FEED, Doing.THEN, Doing.CAUTION})
"""Steps that are not for this look: to leave it alone, of a later feeding, or of a harvest, which has its own days."""


@dataclass(frozen=True, slots=True)
class StepView:
    """One dated step of something longer: a harvest's, an absence's, a plan's."""

    on: date
    what: str
    code: str = ""
    minutes: int = 0
    kg: float = 0.0
    """Dry bedding that it wants."""

    @property
    def words(self) -> str:
        """What is to be done, and of a harvest how long it takes."""
        return f"{self.what}; {time_words(self.minutes)} of work" if self.code == "harvest" else self.what


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
class Load:
    """What is carried to a bin: feed (fresh kg), dry bedding (kg) and water (kg)."""

    feed_kg: float = 0.0
    bedding_kg: float = 0.0
    water_kg: float = 0.0

    def __add__(self, other: Load) -> Load:
        return Load(self.feed_kg + other.feed_kg, self.bedding_kg + other.bedding_kg, self.water_kg + other.water_kg)


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
    """How long it takes to look in and feed."""
    feed_into: str = ""
    """The tray or half that is to be fed; "" in a plain bin."""
    also: tuple[str, ...] = ()
    """What may be done besides in a steady bin; nothing calls for it."""
    mind: str = ""
    """What can hurt somebody at what is to be done: no step, and never to be ticked off."""
    coming: tuple[ComingRow, ...] = ()
    """The harvests to come: one of a plain bin, one of each tray or half."""
    doing: tuple[Doing, ...] = ()
    """What kind of step each of ``do`` is."""
    jobs_minutes: int = 0
    """How long today's other steps take; those of a harvest stand with it."""
    load: Load = Load()
    """What is carried to it today, but for a harvest."""
    stop: str = ""
    walk_at: int = 0
    """The stop of the walk where it stands, and its place in the walk."""
    ripe_on: date | None = None
    """The first day on which it could be harvested, where the work on the others puts that off; else None."""

    @property
    def guess(self) -> bool:
        """Whether its figures wait for a guess of the day."""
        return False

    @property
    def done(self) -> bool:
        """Whether somebody has been at this bin today, by a check or a feeding of that day."""
        return self.checked_today or self.fed_today

    @property
    def ticked(self) -> bool:
        """Whether it was seen to: somebody has been there today, and there is nothing more to do at it."""
        feeds = self.load.feed_kg > 0 and not self.fed_today
        left = any(kind not in RESTS and (kind is not Doing.FEED or feeds) for kind in self.doing)
        return self.done and self.level is not Level.ACT and not left


@dataclass(frozen=True, slots=True)
class CoveredRow(RoundRow):
    """A row before the guess of the day: nothing that is shown or sent out of it tells what is to be guessed."""

    @property
    def guess(self) -> bool:
        """It does wait."""
        return True
