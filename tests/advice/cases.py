"""Hand-built days and cases for the rules: a calm household bin, of which each test changes what it is about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from wormbin.advice.case import Case
from wormbin.figures import Band
from wormbin.materials.material import Material, Pace, Role
from wormbin.problems import Problem, RefusedError
from wormbin.process.views import Ahead, Day, Judged, Layers, Window
from wormbin.records.bins import Bin
from wormbin.records.entries import Check, Entry, Feeding, Portion, Stocking, What
from wormbin.records.farms import OnHand, Settings

TODAY = date(2026, 5, 20)
BIN = Bin(key="kitchen", name="Kitchen", length_m=0.5, width_m=0.4, depth_m=0.3, started=TODAY - timedelta(days=90))

CARDBOARD = Material(
    "shredded-cardboard", "shredded cardboard", Role.BEDDING, Pace.FIBRE, 0.0013, 0.46, 0.03, 0.08, 40.0, 3.0
)
LEAVES = Material("dry-leaves", "dry leaves", Role.BEDDING, Pace.FIBRE, 0.009, 0.48, 0.08, 0.15, 60.0, 2.5)
SCRAPS = Material("vegetable-scraps", "vegetable scraps", Role.FEED, Pace.QUICK, 0.025, 0.45, 0.08, 0.88, 500.0)
CITRUS = Material("citrus-peel", "citrus peel", Role.FEED, Pace.QUICK, 0.012, 0.46, 0.04, 0.77, 400.0, acid=True)
GRASS = Material("grass-clippings", "grass clippings", Role.FEED, Pace.QUICK, 0.035, 0.45, 0.10, 0.78, 250.0, rich=True)


@dataclass(frozen=True, slots=True)
class Shelf:
    """A material table of a few rows."""

    rows: tuple[Material, ...] = (CARDBOARD, LEAVES, SCRAPS, CITRUS, GRASS)

    def get(self, key: str) -> Material:
        for row in self.rows:
            if row.key == key:
                return row
        raise RefusedError(Problem("material", key, "a known material"))

    def __iter__(self) -> Iterator[Material]:
        return iter(self.rows)


SETTINGS = Settings(on_hand=(OnHand("shredded-cardboard", 2.0, 1.0),))


def band(value: float, spread: float = 0.1) -> Band:
    """A band about a value, ``spread`` of it to each side."""
    return Band(value * (1 - spread), value, value * (1 + spread))


def a_day(on: date = TODAY, **changes: Any) -> Day:
    """A calm day of a household bin; bands and layers may be changed by name."""
    calm = Day(
        on=on,
        day=(on - BIN.started).days,
        moisture=Band(0.78, 0.80, 0.82),
        feed_waiting_kg=band(0.5),
        feed_waiting_days=band(2.0, 0.2),
        slow_waiting_kg=Band.exactly(0.0),
        worms_kg=band(0.5),
        appetite_kg_day=band(0.25),
        processed_kg_day=band(0.03),
        castings_dry_kg=band(0.8),
        castings_share=band(0.5, 0.05),
        dry_kg=band(1.6),
        total_kg=band(8.0, 0.05),
        free_air_space=band(0.5),
        air_reach_m=band(0.5),
        contents_m=band(0.18, 0.05),
        temp_c=Band(20.0, 21.0, 22.0),
        heat_rise_c=Band.exactly(0.5),
        cn=Band(27.0, 30.0, 33.0),
        standing_water_kg=Band.exactly(0.0),
        fullness=band(0.6, 0.05),
        layers=Layers(0.01, 0.09, 0.08, 0.0),
    )
    return replace(calm, **changes)


def days(values: Sequence[dict[str, Any]], last: date = TODAY) -> tuple[Day, ...]:
    """One day for each set of changes, the last on ``last``."""
    first = last - timedelta(days=len(values) - 1)
    return tuple(a_day(first + timedelta(days=n), **changes) for n, changes in enumerate(values))


def entry(what: What, on: date, hour: int = 18, note: str = "", id_: str = "") -> Entry:
    """A line of the log on a day."""
    moment = datetime.combine(on, time(hour), UTC)
    return Entry(
        id=id_ or f"{what.__class__.__name__.lower()}-{on}-{hour}", bin=BIN.key, when=moment, what=what, note=note
    )


def fed(kg: float, on: date, material: str = "vegetable-scraps", hour: int = 18) -> Entry:
    """A feeding."""
    return entry(Feeding((Portion(material, kg),)), on, hour)


def stocked(on: date = BIN.started, kg: float = 0.45) -> Entry:
    """Worms put in."""
    return entry(Stocking(kg), on)


def looked(on: date, hour: int = 8, note: str = "", **seen: Any) -> Entry:
    """A check."""
    return entry(Check(**seen), on, hour, note)


def read(
    quantity: str, value: float, on: date, by: str = "", *, questioned: bool = False, weight: float = 1.0
) -> Judged:
    """A reading as the model judged it."""
    moment = datetime.combine(on, time(8), UTC)
    return Judged(f"check-{on}-8", moment, quantity, value, band(value), 0.05, weight, questioned, by)


CALM_LOG: tuple[Entry, ...] = (
    stocked(),
    *(fed(0.8, TODAY - timedelta(days=n)) for n in (17, 13, 10, 6, 3)),
    looked(TODAY - timedelta(days=1)),
)
CALM_READINGS = (read("moisture", 0.80, TODAY - timedelta(days=1), "squeeze"),)
NO_WINDOW = Window(None, None, None)


def ahead_of(day: Day, count: int = 30, *, harvest: Window = NO_WINDOW, eaten: bool = False, **changes: Any) -> Ahead:
    """A look-ahead of ``count`` days like ``day``; when ``eaten``, the feed waiting goes down by a day's work a day."""
    rows = []
    work, waiting = day.feed_waiting_days, day.feed_waiting_kg
    for number in range(1, count + 1):
        left = max(0.0, 1 - number / work.p50) if eaten and work.p50 > 0 else 1.0
        rows.append(
            replace(
                day,
                on=day.on + timedelta(days=number),
                day=day.day + number,
                feed_waiting_days=work.times(left),
                feed_waiting_kg=waiting.times(left),
                **changes,
            )
        )
    return Ahead(tuple(rows), harvest, ())


def a_case(
    history: Sequence[Day] | None = None,
    *,
    entries: tuple[Entry, ...] = CALM_LOG,
    judged: tuple[Judged, ...] = CALM_READINGS,
    settings: Settings = SETTINGS,
    bin: Bin = BIN,
    harvest: Window = NO_WINDOW,
    ahead: Ahead | None = None,
    table: Shelf | None = None,
    **today: Any,
) -> Case:
    """A calm case, with a history given or changes to all of its thirty days."""
    past = tuple(history) if history is not None else days([today] * 30)
    last = past[-1]
    return Case(
        bin=bin,
        now=datetime.combine(last.on, time(19), UTC),
        today=last,
        history=past,
        ahead=ahead or ahead_of(last, harvest=harvest),
        unfed=ahead_of(last, harvest=harvest, eaten=True),
        entries=entries,
        judged=judged,
        settings=settings,
        table=table or Shelf(),
    )


def piled(work: float, kg: float | None = None) -> dict[str, Any]:
    """So many days of work waiting, at a quarter of a kg a day unless said."""
    return {"feed_waiting_days": band(work, 0.05), "feed_waiting_kg": band(kg if kg is not None else work * 0.25, 0.05)}
