"""How the work on all bins is laid out over a day's rows: harvests that have to wait, stops of the walk, own pace.

A row is worked out from its own bin alone; what the other bins leave of the hours, and where each stands, is laid over
the rows afterwards. It is kept with the front page, so that the first screen says the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import zip_longest
from typing import TYPE_CHECKING

from wormbin.advice.finding import Doing
from wormbin.exchange.calendar import Due
from wormbin.farm.views.round import HarvestView, RoundRow, StepView
from wormbin.measures.dates import on_day

if TYPE_CHECKING:
    from wormbin.farm.views.bin import BinView

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
