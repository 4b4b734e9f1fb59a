"""One tray or half of a bin: what it is called, when it alone gives castings, and which of them is to be fed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from wormbin.advice.case import Case
from wormbin.figures import Band
from wormbin.process.views import Day, Part, Window
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

    def first(edge: Callable[[Band], float]) -> date | None:
        def reached(day: Day) -> bool:
            part = day.parts[number - 1] if len(day.parts) >= number else None
            return part is not None and edge(part.castings_dry_kg) >= least_kg and edge(part.castings_share) >= share

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
