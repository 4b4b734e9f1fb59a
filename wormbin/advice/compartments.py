"""Trays and halves looked at one by one: a bin may be right on the whole, and one of its trays wet, airless or ripe."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import overload

from wormbin.advice.case import Case
from wormbin.advice.finding import Finding
from wormbin.advice.rules import air, feeding, harvest, moisture
from wormbin.advice.trays import trays
from wormbin.figures import Band
from wormbin.process.views import Ahead, Day
from wormbin.records.bins import Bin

BY_PART: tuple[Callable[[Case], Finding | None], ...] = (
    moisture.too_wet_by_the_log, moisture.standing_water, moisture.too_dry, air.air_short, feeding.thick_layer,
    harvest.harvest,
)  # fmt: skip
"""Rules that a tray or half can fall under by itself."""
OF_PARTS_ONLY = frozenset({"air-short", "thick-layer", "harvest-near", "harvest-due", "harvest-late"})
"""What is not said of the whole of such a bin: its trays are harvested, and get their air, each for itself."""


class PartDays(Sequence[Day]):
    """Days of a bin with the figures of one compartment in place of the whole's, each made when it is looked at."""

    def __init__(self, days: Sequence[Day], number: int) -> None:
        self._days, self._at = days, number - 1

    def __len__(self) -> int:
        return len(self._days)

    @overload
    def __getitem__(self, at: int) -> Day: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Day, ...]: ...
    def __getitem__(self, at: int | slice) -> Day | tuple[Day, ...]:
        if isinstance(at, slice):
            return tuple(of_part(day, self._at) for day in self._days[at])
        return of_part(self._days[at], self._at)


def of_part(day: Day, at: int) -> Day:
    """One day with the figures of its compartment number ``at + 1``."""
    if at >= len(day.parts):
        return day
    part = day.parts[at]
    return replace(
        day, moisture=part.moisture, feed_waiting_kg=part.feed_waiting_kg, worms_kg=part.worms_kg,
        castings_share=part.castings_share, castings_dry_kg=part.castings_dry_kg, dry_kg=part.dry_kg,
        total_kg=part.total_kg, free_air_space=part.free_air_space, standing_water_kg=part.standing_water_kg,
        layers=part.layers, parts=(), air_reach_m=part.air_reach_m, contents_m=Band.exactly(part.layers.contents_m),
    )  # fmt: skip


def _box(one: Bin) -> Bin:
    """The box of one compartment: a tray has the whole surface, a half its part of it."""
    return replace(one, compartments=1, area_m2=one.surface_m2)


def part_cases(case: Case) -> Iterator[tuple[str, int, Case]]:
    """The name, the number and a case for each compartment of a bin that has several; none for a plain bin."""
    box = _box(case.bin)
    for tray in trays(case):
        days = PartDays(case.history, tray.number)
        unfed = Ahead(PartDays(case.unfed.days, tray.number), case.unfed.harvest, case.unfed.plan)
        ahead = Ahead(PartDays(case.ahead.days, tray.number), tray.harvest, case.ahead.plan)
        today = of_part(case.today, tray.number - 1)
        yield tray.name, tray.number, replace(case, bin=box, today=today, history=days, unfed=unfed, ahead=ahead)


def by_part(case: Case, whole: Iterable[Finding]) -> tuple[Finding, ...]:
    """What is found in the compartments, and of the whole only what no compartment says more exactly."""
    found = []
    several = len(case.today.parts) > 1 and case.bin.compartments > 1
    for name, number, part in part_cases(case):
        for rule in BY_PART:
            told = rule(part)
            if told is not None:
                actions = tuple(replace(each, text=f"{each.text} (in the {name})") for each in told.actions[:1])
                what = f"{name}: {told.what}"
                found.append(replace(told, what=what, actions=(*actions, *told.actions[1:]), compartment=number))
    codes = {each.code for each in found} | (OF_PARTS_ONLY if several else frozenset())
    return (*found, *(each for each in whole if each.code not in codes))
