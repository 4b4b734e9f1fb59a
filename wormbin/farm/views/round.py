"""One bin as a row of the round: what it holds, and nothing more, so that the first screen loads no other view."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import zip_longest
from typing import TYPE_CHECKING

from wormbin.advice.finding import Doing, Finding
from wormbin.exchange.calendar import Due
from wormbin.figures import Band, Basis, Level
from wormbin.measures.dates import on_day, time_words

if TYPE_CHECKING:
    from wormbin.farm.views.bin import BinView


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


@dataclass(frozen=True, slots=True, kw_only=True)
class OfToday:
    """What is told of a bin on a day, in the round as on its own page."""

    level: Level
    headline: str
    """The worst finding in one line, or what stands next when all is well."""
    findings: tuple[Finding, ...]
    harvest: HarvestView
    feed_up_to_kg: float
    feed_up_to_words: str
    next_feeding: date | None
    next_check: date | None
    checked_today: bool
    fed_today: bool
    also: tuple[str, ...] = ()
    """What may be done besides in a steady bin; nothing calls for it."""
    mind: str = ""
    """What can hurt somebody at what is to be done: no step, and never to be ticked off."""


@dataclass(frozen=True, slots=True)
class RoundRow(OfToday):
    """One bin in the round: how it is, what to do now, how much, and why."""

    bin: str
    name: str
    do: tuple[str, ...]
    """What to do now, first thing first, with amounts in the keeper's units."""
    feed_waiting_kg: Band
    feed_waiting_days: Band
    feed_waiting_words: str
    moisture: Band
    moisture_basis: Basis
    moisture_age_days: int | None
    """Days since the last moisture reading (squeeze, meter or oven); None when there never was one."""
    worms_kg: Band
    worms_words: str
    trend_waiting_kg: tuple[float, ...]
    """The last 30 days' likely values, oldest first, for a sparkline."""
    compartments: int
    minutes: int
    """How long it takes to look in and feed."""
    feed_into: str = ""
    """The tray or half that is to be fed; "" in a plain bin."""
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


BEFORE = frozenset({"stop-feeding", "one-side", "new-tray"})
"""First steps of a harvest, which stay where they are when it is put off: worms may have longer to move."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a bin comes in the walk, and the stop where it stands."""

    at: int = 0
    stop: str = ""


@dataclass(frozen=True, slots=True)
class Moved:
    """A harvest that has to wait, or was put elsewhere by hand: the day that it would have, and the one that it has."""

    was: date
    on: date


@dataclass(frozen=True, slots=True)
class Layout:
    """Of a day: the harvests that were moved, each bin's stop and place in the walk, the keeper's own pace."""

    on: date
    moved: Mapping[str, Moved] = field(default_factory=dict)
    places: Mapping[str, Place] = field(default_factory=dict)
    walk: float = 1.0
    harvest: float = 1.0

    def over(self, rows: Iterable[RoundRow]) -> tuple[RoundRow, ...]:
        """Rows with this laid over them."""
        return tuple(self._row(row) for row in rows)

    def _row(self, row: RoundRow) -> RoundRow:
        place, moved = self.places.get(row.bin, Place()), self.moved.get(row.bin)
        return replace(
            row,
            stop=place.stop,
            walk_at=place.at,
            minutes=max(1, round(row.minutes * self.walk)),
            jobs_minutes=round(row.jobs_minutes * self.walk),
            do=self.over_steps(row.bin, row.harvest.on, row.do, row.doing),
            harvest=self.over_harvest(row.bin, row.harvest),
            ripe_on=moved.was if moved is not None and row.harvest.on == moved.was else row.ripe_on,
        )

    def over_view(self, view: BinView, doing: Sequence[Doing]) -> BinView:
        """A bin's page with this laid over it; ``doing`` is what kind of step each of its steps is."""
        do = self.over_steps(view.bin.key, view.harvest.on, view.do_now, doing)
        return replace(view, do_now=do, harvest=self.over_harvest(view.bin.key, view.harvest))

    def over_steps(self, bin: str, was: date | None, do: Sequence[str], doing: Sequence[Doing]) -> tuple[str, ...]:
        """What to do now at a bin whose harvest would be on ``was``, with the day that it has."""
        moved = self.moved.get(bin)
        return tuple(do) if moved is None or moved.was != was else _told(do, doing, moved, self.on)

    def over_dues(self, bin: str, dues: Iterable[Due]) -> tuple[Due, ...]:
        """What falls due at a bin, with the steps of its harvest on the days that they have."""
        every, moved = tuple(dues), self.moved.get(bin)
        if moved is None or not any(each.slot == "harvest" and each.on == moved.was for each in every):
            return every
        by = moved.on - moved.was
        return tuple(
            replace(each, on=max(self.on, each.on + by)) if each.kind == "harvest" and each.slot not in BEFORE else each
            for each in every
        )

    def over_harvest(self, bin: str, harvest: HarvestView) -> HarvestView:
        """When there will be castings of a bin, on the day that the harvest has and at the keeper's own pace."""
        harvest = replace(harvest, steps=tuple(_paced(step, self.walk, self.harvest) for step in harvest.steps))
        moved = self.moved.get(bin)
        if moved is None or harvest.on != moved.was:
            return harvest
        by = moved.on - moved.was
        steps = (
            step if step.code in BEFORE else replace(step, on=max(self.on, step.on + by)) for step in harvest.steps
        )
        told, tells = (f"take them off {on_day(day, self.on)}" for day in (moved.was, moved.on))
        words = harvest.words.replace(told, tells) if told in harvest.words else f"{harvest.words}; {tells}"
        return replace(harvest, on=moved.on, steps=tuple(steps), words=words)


def _paced(step: StepView, walk: float, harvest: float) -> StepView:
    pace = harvest if step.code == "harvest" else walk
    return replace(step, minutes=max(min(1, step.minutes), round(step.minutes * pace)))


def _told(do: Sequence[str], doing: Sequence[Doing], moved: Moved, on: date) -> tuple[str, ...]:
    """What to do now, with the day of the harvest in place of the one that was told."""
    was, now = (f" {on_day(day, on)}" for day in (moved.was, moved.on))
    told = []
    for words, kind in zip_longest(do, doing):
        if kind is Doing.NEW_BED and (moved.on - on).days > 1:
            words = f"the evening before, {words.removeprefix('the evening before, ')}"
        told.append(words.replace(was, now, 1) if kind is Doing.HARVEST else words)
    return tuple(told)


def put_off(due: Due, row: RoundRow) -> Due:
    """A step of a harvest on the day on which it is laid, with the others of that harvest; anything else as it is."""
    if due.kind != "harvest" or due.slot in BEFORE or row.ripe_on is None or row.harvest.on is None:
        return due
    return replace(due, on=due.on + (row.harvest.on - row.ripe_on))
