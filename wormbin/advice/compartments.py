"""Trays and halves looked at one by one: a bin may be right on the whole, and one of its trays too wet or too dry."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import overload

from wormbin.advice.case import Case
from wormbin.advice.finding import Finding
from wormbin.advice.rules import moisture
from wormbin.process.views import Ahead, Day
from wormbin.records.bins import Bin

BY_PART: tuple[Callable[[Case], Finding | None], ...] = (
    moisture.too_wet_by_the_log, moisture.standing_water, moisture.too_dry,
)  # fmt: skip
"""Rules that a tray or half can fall under by itself."""


def part_name(number: int, of: int, sideways: bool) -> str:
    """ "middle tray", "left half", "tray 2 of 4, from below": what a keeper calls a compartment (1 is the lowest)."""
    if sideways:
        halves = ("left half", "right half")
        return halves[number - 1] if of == 2 else f"part {number} of {of}, from the left"
    trays = {2: ("lower tray", "upper tray"), 3: ("lowest tray", "middle tray", "top tray")}.get(of)
    return trays[number - 1] if trays else f"tray {number} of {of}, from below"


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
        layers=part.layers, parts=(),
    )  # fmt: skip


def _box(one: Bin) -> Bin:
    """The box of one compartment: a tray has the whole surface, a half its part of it."""
    return replace(one, compartments=1, area_m2=one.surface_m2)


def part_cases(case: Case) -> Iterator[tuple[int, Case]]:
    """A case for each compartment of a bin that has several; none for a plain bin."""
    if case.bin.compartments < 2 or len(case.today.parts) < 2:
        return
    box = _box(case.bin)
    for number in range(1, len(case.today.parts) + 1):
        days = PartDays(case.history, number)
        unfed = Ahead(PartDays(case.unfed.days, number), case.unfed.harvest, case.unfed.plan)
        yield number, replace(case, bin=box, today=of_part(case.today, number - 1), history=days, unfed=unfed)


def by_part(case: Case, whole: Iterable[Finding]) -> tuple[Finding, ...]:
    """What is found in the compartments, and of the whole only what no compartment says more exactly."""
    found = []
    for number, part in part_cases(case):
        name = part_name(number, case.bin.compartments, case.bin.sideways)
        for rule in BY_PART:
            told = rule(part)
            if told is not None:
                actions = tuple(replace(each, text=f"{each.text} (in the {name})") for each in told.actions[:1])
                what = f"{name}: {told.what}"
                found.append(replace(told, what=what, actions=(*actions, *told.actions[1:]), compartment=number))
    codes = {each.code for each in found}
    return (*found, *(each for each in whole if each.code not in codes))
