"""One tray or half of a bin: what it is called, when it alone gives castings, and which of them is to be fed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import overload

from wormbin.advice.case import Case
from wormbin.figures import Band
from wormbin.process.views import Ahead, Day, Part, Window, touched_at
from wormbin.records.bins import Bin
from wormbin.records.entries import Feeding
from wormbin.science.constants import LEAST_CASTINGS_KG_M2

TAKES_FEED_UNDER = 0.9
DUE_BACK_DAYS = 90
"""How far back the day is looked for on which a tray fell due."""


@dataclass(frozen=True, slots=True)
class Tray:
    """One compartment today: its number, its name, its figures, and when it gives castings."""

    number: int
    name: str
    part: Part
    harvest: Window


def part_name(number: int, of: int, sideways: bool) -> str:
    """ "middle tray", "left half", "tray 2 of 4, from below": what a keeper calls a compartment (1 is the lowest)."""
    if sideways:
        halves = ("left half", "right half")
        return halves[number - 1] if of == 2 else f"part {number} of {of}, from the left"
    trays = {2: ("lower tray", "upper tray"), 3: ("lowest tray", "middle tray", "top tray")}.get(of)
    return trays[number - 1] if trays else f"tray {number} of {of}, from below"


def part_window(history: Sequence[Day], ahead: Sequence[Day], number: int, share: float, least_kg: float) -> Window:
    """When the castings of compartment ``number`` alone reach ``share`` of its dry matter, with ``least_kg`` of them.

    ``history`` ends with today. Dates as for a whole bin: earliest, likely and latest are the days on which the upper
    edge, the middle and the lower edge of the bands get there.
    """
    wanted = touched_at(share)

    def first(edge: Callable[[Band], float]) -> date | None:
        def reached(day: Day) -> bool:
            part = day.parts[number - 1] if len(day.parts) >= number else None
            return part is not None and edge(part.castings_dry_kg) >= least_kg and edge(part.castings_share) >= wanted

        return _first(history, ahead, reached)

    earliest, likely, latest = first(lambda band: band.p90), first(lambda band: band.p50), first(lambda band: band.p10)
    due = likely if likely is not None and likely <= history[-1].on else None
    return Window(earliest, likely, latest, due)


def _first(history: Sequence[Day], ahead: Sequence[Day], reached: Callable[[Day], bool]) -> date | None:
    if reached(history[-1]):
        at = len(history) - 1
        while at > 0 and len(history) - at < DUE_BACK_DAYS and reached(history[at - 1]):
            at -= 1
        return history[at].on
    return next((day.on for day in ahead if reached(day)), None)


def trays(case: Case) -> tuple[Tray, ...]:
    """The compartments of a bin that has several; empty for a plain bin."""
    count = len(case.today.parts)
    if case.bin.compartments < 2 or count < 2:
        return ()
    least = LEAST_CASTINGS_KG_M2 * case.bin.surface_m2
    return tuple(
        Tray(
            part.number,
            part_name(part.number, count, case.bin.sideways),
            part,
            part_window(case.history, case.ahead.days, part.number, case.bin.harvest_share, least),
        )
        for part in case.today.parts
    )


def tray_to_feed(case: Case) -> int:
    """The compartment that is to be fed today; 0 in a plain bin.

    The one last fed, as long as there is room in it and its castings are not ripe; then the one that follows it.
    """
    parts = case.today.parts
    if case.bin.compartments < 2 or len(parts) < 2:
        return 0
    last = last_fed(case)
    return last if takes_feed(case, parts[last - 1]) else following(case, last)


def following(case: Case, number: int) -> int:
    """The compartment that is fed in the place of ``number``.

    The one above it, and beyond the top (or beside it, in halves) the one that is least of all castings.
    """
    parts = case.today.parts
    if not case.bin.sideways and number < len(parts):
        return number + 1
    others = [part for part in parts if part.number != number]
    return min(others, key=lambda part: part.castings_share.p50 if part.dry_kg.p50 > 0 else 0.0).number


def last_fed(case: Case) -> int:
    """The compartment that was fed last, as far as the log says; else the one where the worms are."""
    parts = case.today.parts
    named = next((e.compartment for e in reversed(case.entries) if isinstance(e.what, Feeding) and e.compartment), 0)
    return named if 1 <= named <= len(parts) else max(parts, key=lambda part: part.worms_kg.p50).number


def last_fed_on(case: Case, number: int) -> date | None:
    """The day on which compartment ``number`` was fed last by name; None when it never was."""
    days = (e.when.date() for e in reversed(case.entries) if isinstance(e.what, Feeding) and e.compartment == number)
    return next(days, None)


def tray_name(case: Case, number: int) -> str:
    """What the keeper calls compartment ``number`` of this bin."""
    return part_name(number, len(case.today.parts), case.bin.sideways)


def into(case: Case) -> str:
    """ " in the upper tray": where feed goes today; nothing in a plain bin."""
    number = tray_to_feed(case)
    return f" in the {tray_name(case, number)}" if number else ""


def takes_feed(case: Case, part: Part) -> bool:
    """Whether a tray or half has room for feed, and its castings are not ripe."""
    ripe = (
        part.castings_share.p50 >= case.bin.harvest_share
        and part.castings_dry_kg.p50 >= LEAST_CASTINGS_KG_M2 * case.bin.surface_m2
    )
    return not ripe and part.layers.contents_m < TAKES_FEED_UNDER * case.bin.depth_m


def first_due(found: Sequence[Tray]) -> Tray | None:
    """The tray or half that is harvested first: due the longest, else likely the soonest; None for a plain bin."""
    far = date.max

    def turn(tray: Tray) -> tuple[date, date, int]:
        window = tray.harvest
        return window.due_since or window.likely or far, window.earliest or far, tray.number

    return min(found, key=turn, default=None)


class PartDays(Sequence[Day]):
    """Days of a bin with the figures of one compartment in place of the whole's, each made when it is looked at."""

    def __init__(self, days: Sequence[Day], number: int, depth_m: float) -> None:
        self._days, self._at, self._depth_m = days, number - 1, depth_m

    def __len__(self) -> int:
        return len(self._days)

    @overload
    def __getitem__(self, at: int) -> Day: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Day, ...]: ...
    def __getitem__(self, at: int | slice) -> Day | tuple[Day, ...]:
        if isinstance(at, slice):
            return tuple(of_part(day, self._at, self._depth_m) for day in self._days[at])
        return of_part(self._days[at], self._at, self._depth_m)


def of_part(day: Day, at: int, depth_m: float) -> Day:
    """One day with the figures of its compartment number ``at + 1``, which is ``depth_m`` deep."""
    if at >= len(day.parts):
        return day
    part = day.parts[at]
    return replace(
        day, moisture=part.moisture, feed_waiting_kg=part.feed_waiting_kg, worms_kg=part.worms_kg,
        castings_share=part.castings_share, castings_dry_kg=part.castings_dry_kg, dry_kg=part.dry_kg,
        total_kg=part.total_kg, free_air_space=part.free_air_space, standing_water_kg=part.standing_water_kg,
        layers=part.layers, parts=(), air_reach_m=part.air_reach_m, contents_m=Band.exactly(part.layers.contents_m),
        fullness=Band.exactly(part.layers.contents_m / depth_m if depth_m > 0 else 0.0),
    )  # fmt: skip


def _box(one: Bin) -> Bin:
    """The box of one compartment: a tray has the whole surface, a half its part of it."""
    return replace(one, compartments=1, area_m2=one.surface_m2)


def part_cases(case: Case) -> Iterator[tuple[str, int, Case]]:
    """The name, the number and a case for each compartment of a bin that has several; none for a plain bin."""
    box, depth = _box(case.bin), case.bin.depth_m
    for tray in trays(case):
        days = PartDays(case.history, tray.number, depth)
        unfed = Ahead(PartDays(case.unfed.days, tray.number, depth), case.unfed.harvest, case.unfed.plan)
        ahead = Ahead(PartDays(case.ahead.days, tray.number, depth), tray.harvest, case.ahead.plan)
        today = of_part(case.today, tray.number - 1, depth)
        yield tray.name, tray.number, replace(case, bin=box, today=today, history=days, unfed=unfed, ahead=ahead)
