"""How the work on all bins is laid out over a day's rows: harvests that have to wait, stops of the walk, own pace.

A row is worked out from its own bin alone; what the other bins leave of the hours, and where each stands, is laid over
the rows afterwards. It is kept with the front page, so that the first screen says the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from wormbin.advice.finding import Doing
from wormbin.exchange.calendar import Due
from wormbin.farm.views.round import HarvestView, RoundRow, StepView
from wormbin.measures.dates import on_day

BEFORE = frozenset({"stop-feeding", "one-side", "new-tray"})
"""First steps of a harvest, which stay where they are when it is put off: worms may have longer to move."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a bin comes in the walk, and the stop where it stands."""

    at: int = 0
    stop: str = ""


@dataclass(frozen=True, slots=True)
class Layout:
    """Of a day: the harvests that were moved, each bin's stop and place in the walk, the keeper's own pace."""

    on: date
    days: Mapping[str, date] = field(default_factory=dict)
    places: Mapping[str, Place] = field(default_factory=dict)
    walk: float = 1.0
    harvest: float = 1.0

    def over(self, rows: Iterable[RoundRow]) -> tuple[RoundRow, ...]:
        """Rows with this laid over them."""
        return tuple(self._row(row) for row in rows)

    def _row(self, row: RoundRow) -> RoundRow:
        place = self.places.get(row.bin, Place())
        steps = tuple(_paced(step, self.walk, self.harvest) for step in row.harvest.steps)
        row = replace(
            row,
            stop=place.stop,
            walk_at=place.at,
            minutes=max(1, round(row.minutes * self.walk)),
            jobs_minutes=round(row.jobs_minutes * self.walk),
            harvest=replace(row.harvest, steps=steps),
        )
        day = self.days.get(row.bin)
        return row if day is None or row.harvest.on in (None, day) else _moved(row, day, self.on)


def _paced(step: StepView, walk: float, harvest: float) -> StepView:
    return replace(step, minutes=max(1, round(step.minutes * (harvest if step.code == "harvest" else walk))))


def _moved(row: RoundRow, day: date, on: date) -> RoundRow:
    """The row with its harvest on another day, and all that is said of that day."""
    old = row.harvest.on
    assert old is not None
    was, now = f" {on_day(old, on)}", f" {on_day(day, on)}"
    do, doing = [], []
    for words, kind in zip(row.do, row.doing, strict=False):
        if kind is Doing.NEW_BED and (day - on).days > 1:
            words = f"the evening before, {words.removeprefix('the evening before, ')}"
        do.append(words.replace(was, now, 1) if kind is Doing.HARVEST else words)
        doing.append(kind)
    harvest = replace(
        row.harvest, on=day, steps=moved_steps(row.harvest, day, on), words=_put_off(row.harvest, was, now)
    )
    return replace(row, do=(*do, *row.do[len(do) :]), doing=tuple(doing), harvest=harvest, ripe_on=old)


def _put_off(harvest: HarvestView, was: str, now: str) -> str:
    told = f"take them off{was}"
    return (
        harvest.words.replace(told, f"take them off{now}")
        if told in harvest.words
        else (f"{harvest.words}; take them off{now}")
    )


def put_off(due: Due, row: RoundRow) -> Due:
    """A step of a harvest on the day on which it is laid, with the others of that harvest; anything else as it is."""
    if due.kind != "harvest" or due.slot in BEFORE or row.ripe_on is None or row.harvest.on is None:
        return due
    return replace(due, on=due.on + (row.harvest.on - row.ripe_on))


def moved_steps(harvest: HarvestView, day: date, on: date) -> tuple[StepView, ...]:
    """The steps of a harvest that is on another ``day``: none comes before ``on``."""
    assert harvest.on is not None
    by = day - harvest.on
    return tuple(step if step.code in BEFORE else replace(step, on=max(on, step.on + by)) for step in harvest.steps)
